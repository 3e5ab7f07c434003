/* The whole answer as JSON: {"isosow": version, "crop": id, "places": [...]}, written place by
 * place so that many stations need not be held. null where there is no date. */
#ifndef ISW_OUTPUT_PLACE_JSON_H
#define ISW_OUTPUT_PLACE_JSON_H

#include <glib.h>

#include "survey/place.h"

/* fahrenheit: the unit of temperatures; first: no comma before the place. */
void isw_output_append_json_start(GString *out, const struct isw_plan *plan);
void isw_output_append_json_place(GString *out, const struct isw_plan *plan,
                                  const struct isw_place *place, bool fahrenheit, bool first);
void isw_output_append_json_end(GString *out);

/* Of several crops: {"isosow": version, "crops": [, then the whole answer of each crop as it is of
 * that crop alone, from start to end; then ]}. */
void isw_output_append_json_crops_start(GString *out);
void isw_output_append_json_next_crop(GString *out);
void isw_output_append_json_crops_end(GString *out);

/* For the other answers about places: what stands before "places" ({"isosow": ..., "crop": ..., ),
 * and a place from its brace to its period. */
void isw_output_append_json_top(GString *out, const struct isw_plan *plan);
void isw_output_append_json_place_head(GString *out, const struct isw_place *place, bool first);

#endif

/* The window card: a place's answer as text of 80 columns for a grower, the answer first. */
#ifndef ISW_OUTPUT_PLACE_CARD_H
#define ISW_OUTPUT_PLACE_CARD_H

#include <glib.h>

#include "output/card_options.h"
#include "survey/place.h"

/* Append the whole card. */
void isw_output_append_place_card(GString *out, const struct isw_plan *plan,
                                  const struct isw_place *place,
                                  const struct isw_card_options *options);

#endif

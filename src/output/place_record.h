/* How the real years of a place's record went, as files for programs have it. */
#ifndef ISW_OUTPUT_PLACE_RECORD_H
#define ISW_OUTPUT_PLACE_RECORD_H

#include <glib.h>

#include "survey/place.h"

/* A member "record" of a place, with a comma before it. The place has a backtest. */
void isw_output_append_json_record(GString *out, const struct isw_plan *plan,
                                   const struct isw_backtest *backtest);

/* Columns of CSV, each with a comma before it: their names, and the values of one variety (chosen
 * index v) in one season (s); backtest NULL: all empty. */
extern const char isw_output_record_columns[];
void isw_output_append_record_fields(GString *out, const struct isw_plan *plan, int v, int s,
                                     const struct isw_backtest *backtest);

#endif

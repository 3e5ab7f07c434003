/* How the real years of a place's record went, as files for programs have it. */
#ifndef ISW_OUTPUT_PLACE_RECORD_H
#define ISW_OUTPUT_PLACE_RECORD_H

#include <glib.h>

#include "survey/place.h"

/* A member "record" of a place, with a comma before it. The place has a backtest. */
void isw_output_append_json_record(GString *out, const struct isw_plan *plan,
                                   const struct isw_backtest *backtest);

/* Cells of a table's row: of one variety (chosen index v) in one season (s); backtest NULL: all
 * empty. Their columns: output/place_csv.c. */
enum { ISW_RECORD_CELLS = 11 };
void isw_output_add_record_cells(GPtrArray *row, const struct isw_plan *plan, int v, int s,
                                 const struct isw_backtest *backtest);

#endif

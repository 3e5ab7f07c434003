/* One row per place, variety and season, after RFC 4180 with LF: dates MM-DD or empty, counts 0
 * where there is none, score and risks with one decimal. crop_column: the crop's id stands before
 * all, where an answer is of several crops. */
#ifndef ISW_OUTPUT_PLACE_CSV_H
#define ISW_OUTPUT_PLACE_CSV_H

#include <glib.h>

#include "output/table_row.h"
#include "survey/place.h"

/* The columns, and the cells of one site's result in those that are not of a record. New row. */
const struct isw_column *isw_output_place_columns(bool crop_column, bool record, int *n);
GPtrArray *isw_output_new_place_row(const struct isw_plan *plan, const struct isw_site *site, int v,
                                    int s, const struct isw_result *result, bool crop_column);

/* The same of a whole place, with the cells of its record. */
GPtrArray *isw_output_new_record_row(const struct isw_plan *plan, const struct isw_site *site,
                                     int v, int s, const struct isw_place *place, bool crop_column);

/* record: the columns of a record behind the others (output/place_record.h). */
void isw_output_append_place_header(GString *out, bool crop_column, bool record);

/* The rows of one site, varieties, then seasons. results: as isw_growth_result_index says. */
void isw_output_append_place_rows(GString *out, const struct isw_plan *plan,
                                  const struct isw_site *site, const struct isw_result *results,
                                  bool crop_column);

/* The same of a whole place, with the columns of its record. */
void isw_output_append_record_rows(GString *out, const struct isw_plan *plan,
                                   const struct isw_site *site, const struct isw_place *place,
                                   bool crop_column);

#endif

/* A comparison in numbers: one row per season and region, as CSV and as text. */
#ifndef ISW_OUTPUT_COMPARE_TABLE_H
#define ISW_OUTPUT_COMPARE_TABLE_H

#include <glib.h>

#include "base/status.h"
#include "survey/comparison.h"

struct isw_compare_row {
  const char *season;
  const char *district; /* "": the whole grid */
  const struct isw_compare_tally *tally;
};

/* Columns season,district,area_km2,none,both,only_a,only_b (per cent of the area with climate data,
 * one decimal), median_score_gain,median_window_days_gain,median_best_sow_shift (empty where there
 * is none). LF line ends, RFC 4180 quoting. ISW_OUTPUT. */
enum isw_status isw_output_write_compare_csv(const char *path, int n_rows,
                                             const struct isw_compare_row *rows,
                                             struct isw_error *error);

/* The same for people, appended to text. */
void isw_output_append_compare_table(GString *text, int n_rows, const struct isw_compare_row *rows);

#endif

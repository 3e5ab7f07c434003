/* Sowing days of a place as rows of CSV, after RFC 4180 with LF: dates MM-DD or empty, score and
 * risks with one decimal, good 0 or 1, years empty where they are not counted. crop_column: the
 * crop's id stands before all, where an answer is of several crops. */
#ifndef ISW_OUTPUT_DAYS_CSV_H
#define ISW_OUTPUT_DAYS_CSV_H

#include <glib.h>

#include "survey/planting_plan.h"

/* name,variety,sow,season,score,years,good,transplant,harvest,growing_days,limit,frost_risk,
 * bolt_risk: varieties, then 1 January to 31 December. */
void isw_output_append_days_header(GString *out, bool crop_column);
void isw_output_append_days_rows(GString *out, const struct isw_place_days *days, bool crop_column);

/* The same of one sowing day (0..364), a row per variety; then type, 1 for the type of that date,
 * and next_window, the date on which a window of that variety opens next. */
void isw_output_append_sowing_header(GString *out, bool crop_column);
void isw_output_append_sowing_rows(GString *out, const struct isw_place_days *days, int day,
                                   bool crop_column);

/* cut,variety,sow,transplant,harvest,years; empty behind cut where nothing fits. */
void isw_output_append_cuts_header(GString *out, bool crop_column);
void isw_output_append_cuts_rows(GString *out, const struct isw_plan *plan, int n,
                                 const struct isw_planned_cut *cuts, bool crop_column);

#endif

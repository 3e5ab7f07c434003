#include "output/place_record.h"

#include <math.h>

#include "output/json_values.h"
#include "output/table_row.h"

/* The limit's name as files have it; "score" where the score was too low for what was asked and
 * nothing of its own held it down. */
static const char *name_fault(const struct isw_plan *plan, int fault,
                              char out[ISW_LIMIT_NAME_SIZE]) {
  return fault == ISW_LIMIT_NOTHING ? "score" : isw_growth_limit_name(plan->sheet, fault, out);
}

/* Something can fail only where something was sown. */
static bool has_failed(const struct isw_backtest_result *result, int y) {
  return result->sow_day >= 0 && !result->years[y].good;
}

/* ---- JSON ---- */

static void append_year(GString *out, const struct isw_plan *plan, bool failed, int year,
                        const struct isw_past_year *past) {
  char name[ISW_LIMIT_NAME_SIZE];
  g_string_append_printf(
      out, "{\"year\": %d, \"good\": %s, \"score\": %d.%d, \"failed_from\": ", year,
      past->good ? "true" : "false", past->score_tenths / 10, past->score_tenths % 10);
  isw_output_append_json_text(out, failed ? name_fault(plan, past->fault, name) : NULL);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "best_sow", past->best_sow_day);
  g_string_append_c(out, '}');
}

static void append_trend(GString *out, const struct isw_trend *trend) {
  isw_output_append_json_key(out, "trend");
  if (trend->n_recent == 0) {
    g_string_append(out, "null");
    return;
  }
  g_string_append_printf(
      out,
      "{\"recent_years\": %d, \"recent_good\": %d, \"before_years\": %d, \"before_good\": %d, "
      "\"good_beyond_chance\": %s, \"best_shift_days\": ",
      trend->n_recent, trend->good_recent, trend->n_before, trend->good_before,
      trend->good_beyond_chance ? "true" : "false");
  if (isnan(trend->shift_days))
    g_string_append(out, "null");
  else
    isw_output_append_json_number(out, trend->shift_days, 1);
  g_string_append_printf(out,
                         ", \"shift_of_recent\": %d, \"shift_of_before\": %d, "
                         "\"shift_beyond_chance\": %s}",
                         trend->best_recent, trend->best_before,
                         trend->shift_beyond_chance ? "true" : "false");
}

static void append_result(GString *out, const struct isw_plan *plan, int v, int s,
                          const struct isw_backtest *backtest) {
  const struct isw_backtest_season *season = &backtest->seasons[s];
  const struct isw_backtest_result *result =
      &backtest->results[isw_growth_result_index(plan, v, s)];
  g_string_append(out, "\n          {\"variety\": ");
  isw_output_append_json_text(out, plan->sheet->varieties[plan->varieties[v]].name);
  g_string_append(out, ", \"season\": ");
  isw_output_append_json_text(out, plan->sheet->seasons[plan->seasons[s]].name);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "sow", result->sow_day);
  g_string_append_printf(out, ", \"good\": %d, \"of\": %d, \"left_out\": %d,\n            ",
                         result->n_good, season->n_years, season->left_out);
  isw_output_append_json_date(out, "hindsight_sow", result->hindsight_day);
  g_string_append_printf(out, ", \"hindsight_good\": %d, ", result->hindsight_good);
  append_trend(out, &result->trend);
  g_string_append(out, ",\n            \"years\": [");
  for (int y = 0; y < season->n_years; y++) {
    if (y > 0) g_string_append(out, ",\n              ");
    append_year(out, plan, has_failed(result, y), season->years[y], &result->years[y]);
  }
  g_string_append(out, "]}");
}

void isw_output_append_json_record(GString *out, const struct isw_plan *plan,
                                   const struct isw_backtest *backtest) {
  g_string_append(out, ",\n      ");
  isw_output_append_json_key(out, "record");
  g_string_append(out, "{\"station\": ");
  isw_output_append_json_text(out, backtest->station);
  g_string_append_printf(out, ", \"from\": %d, \"to\": %d, \"results\": [", backtest->from_year,
                         backtest->to_year);
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++) {
      if (v + s > 0) g_string_append_c(out, ',');
      append_result(out, plan, v, s, backtest);
    }
  g_string_append(out, "]}");
}

/* ---- tables ---- */

static void add_failed(GPtrArray *row, const struct isw_plan *plan,
                       const struct isw_backtest_season *season,
                       const struct isw_backtest_result *result) {
  GString *text = g_string_new(NULL);
  for (int y = 0; y < season->n_years; y++) {
    char name[ISW_LIMIT_NAME_SIZE];
    if (!has_failed(result, y)) continue;
    g_string_append_printf(text, "%s%d %s", text->len > 0 ? "; " : "", season->years[y],
                           name_fault(plan, result->years[y].fault, name));
  }
  isw_output_add_cell(row, "%s", text->str);
  g_string_free(text, TRUE);
}

static void add_trend(GPtrArray *row, const struct isw_trend *trend) {
  enum { TREND_CELLS = 5 };
  if (trend->n_recent == 0) {
    isw_output_add_empty_cells(row, TREND_CELLS);
    return;
  }
  isw_output_add_cell(row, "%d", trend->n_recent);
  isw_output_add_cell(row, "%d", trend->good_recent);
  isw_output_add_cell(row, "%d", trend->n_before);
  isw_output_add_cell(row, "%d", trend->good_before);
  GString *shift = g_string_new(NULL);
  if (!isnan(trend->shift_days)) isw_output_append_json_number(shift, trend->shift_days, 1);
  isw_output_add_cell(row, "%s", shift->str);
  g_string_free(shift, TRUE);
}

void isw_output_add_record_cells(GPtrArray *row, const struct isw_plan *plan, int v, int s,
                                 const struct isw_backtest *backtest) {
  if (backtest == NULL) {
    isw_output_add_empty_cells(row, ISW_RECORD_CELLS);
    return;
  }
  const struct isw_backtest_season *season = &backtest->seasons[s];
  const struct isw_backtest_result *result =
      &backtest->results[isw_growth_result_index(plan, v, s)];
  char date[ISW_DATE_SIZE] = "";
  if (result->hindsight_day >= 0) isw_base_format_month_day(result->hindsight_day, date);
  isw_output_add_cell(row, "%d", season->n_years);
  isw_output_add_cell(row, "%d", result->n_good);
  add_failed(row, plan, season, result);
  isw_output_add_cell(row, "%s", date);
  isw_output_add_cell(row, "%d", result->hindsight_good);
  add_trend(row, &result->trend);
  isw_output_add_cell(row, "%s", backtest->station);
}

#include "output/compare_table.h"

#include <glib.h>
#include <math.h>

#include "output/csv_field.h"
#include "survey/area_share.h"

static const enum isw_verdict columns[] = {ISW_VERDICT_NONE, ISW_VERDICT_BOTH, ISW_VERDICT_ONLY_A,
                                           ISW_VERDICT_ONLY_B};

static double percent_of(const struct isw_compare_tally *tally, enum isw_verdict verdict) {
  return isw_survey_share_tenths(tally->verdict_m2[verdict], isw_survey_compared_m2(tally)) / 10.0;
}

static void append_row(GString *text, const struct isw_compare_row *row) {
  const struct isw_compare_tally *tally = row->tally;
  isw_output_append_csv_text(text, row->season);
  g_string_append_c(text, ',');
  isw_output_append_csv_name(text, row->district);
  double all_m2 = isw_survey_compared_m2(tally);
  g_string_append_printf(text, ",%.1f", all_m2 / 1e6);
  for (size_t i = 0; i < G_N_ELEMENTS(columns); i++)
    if (all_m2 > 0.0)
      g_string_append_printf(text, ",%.1f", percent_of(tally, columns[i]));
    else
      g_string_append_c(text, ',');
  const struct isw_area_spread *gains[] = {&tally->score_gain, &tally->window_days_gain};
  int value;
  for (size_t i = 0; i < G_N_ELEMENTS(gains); i++) {
    g_string_append_c(text, ',');
    if (isw_survey_spread_quantile(gains[i], 0.5, &value))
      g_string_append_printf(text, "%d", value);
  }
  g_string_append_c(text, ',');
  if (isw_survey_spread_circular_median(&tally->best_sow_shift, &value))
    g_string_append_printf(text, "%d", value);
  g_string_append_c(text, ',');
  if (isw_survey_spread_quantile(&tally->years_gain, 0.5, &value))
    g_string_append_printf(text, "%d", value);
  g_string_append_c(text, '\n');
}

enum isw_status isw_output_write_compare_csv(const char *path, int n_rows,
                                             const struct isw_compare_row *rows,
                                             struct isw_error *error) {
  GString *text = g_string_new(
      "season,district,area_km2,none,both,only_a,only_b,median_score_gain,"
      "median_window_days_gain,median_best_sow_shift,median_years_gain\n");
  for (int i = 0; i < n_rows; i++) append_row(text, &rows[i]);
  GError *failure = NULL;
  enum isw_status status = ISW_OK;
  if (!g_file_set_contents(path, text->str, (gssize)text->len, &failure)) {
    status = isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path, failure->message);
    g_error_free(failure);
  }
  g_string_free(text, TRUE);
  return status;
}

static void append_signed(GString *text, int width, bool there, int value) {
  if (!there)
    g_string_append_printf(text, " %*s", width, "-");
  else if (value > 0)
    g_string_append_printf(text, " %+*d", width, value);
  else
    g_string_append_printf(text, " %*d", width, value);
}

static const char *region_of(const struct isw_compare_row *row) {
  return row->district[0] != '\0' ? row->district : "whole grid";
}

void isw_output_append_compare_table(GString *text, int n_rows,
                                     const struct isw_compare_row *rows) {
  long widest = 10;
  for (int i = 0; i < n_rows; i++) widest = MAX(widest, g_utf8_strlen(region_of(&rows[i]), -1));
  g_string_append_printf(
      text,
      "%-10s %-*s     none    both  only A  only B   score    days  shift  years\n"
      "%-10s %-*s      %% of the area with data     median gain  of best day\n",
      "season", (int)widest, "region", "", (int)widest, "");
  for (int i = 0; i < n_rows; i++) {
    const struct isw_compare_tally *tally = rows[i].tally;
    const char *region = region_of(&rows[i]);
    int pad = (int)(widest - g_utf8_strlen(region, -1));
    g_string_append_printf(text, "%-10s %s%*s ", rows[i].season, region, pad, "");
    for (size_t k = 0; k < G_N_ELEMENTS(columns); k++)
      if (tally->cells > 0)
        g_string_append_printf(text, " %7.1f", percent_of(tally, columns[k]));
      else
        g_string_append_printf(text, " %7s", "-");
    int value = 0;
    bool there = isw_survey_spread_quantile(&tally->score_gain, 0.5, &value);
    append_signed(text, 7, there, value);
    there = isw_survey_spread_quantile(&tally->window_days_gain, 0.5, &value);
    append_signed(text, 7, there, value);
    there = isw_survey_spread_circular_median(&tally->best_sow_shift, &value);
    append_signed(text, 6, there, value);
    there = isw_survey_spread_quantile(&tally->years_gain, 0.5, &value);
    append_signed(text, 6, there, value);
    g_string_append_c(text, '\n');
  }
}

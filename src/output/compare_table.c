#include "output/compare_table.h"

#include <glib.h>
#include <math.h>

#include "output/csv_field.h"
#include "output/text_lines.h"
#include "output/text_result.h"
#include "survey/area_share.h"
#include "words/say.h"

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
  return isw_output_write_text(text, path, error);
}

enum { WORDS = 2, NUMBERS = 8, WIDEST = 200 };

static void add_numbers(struct isw_text_table *table, const struct isw_compare_row *row) {
  const struct isw_compare_tally *tally = row->tally;
  char numbers[NUMBERS][16];
  const char *cells[WORDS + NUMBERS] = {
      row->season,
      row->district[0] != '\0' ? row->district : isw_words_text(ISW_SAY_COMPARE_WHOLE_GRID)};
  for (int c = 0; c < NUMBERS; c++) {
    g_strlcpy(numbers[c], "-", sizeof numbers[c]);
    cells[WORDS + c] = numbers[c];
  }
  int column = 0;
  for (size_t k = 0; k < G_N_ELEMENTS(columns); k++, column++)
    if (tally->cells > 0)
      g_snprintf(numbers[column], sizeof numbers[column], "%.1f", percent_of(tally, columns[k]));
  int gains[NUMBERS];
  bool there[NUMBERS] = {false};
  there[column] = isw_survey_spread_quantile(&tally->score_gain, 0.5, &gains[column]);
  column++;
  there[column] = isw_survey_spread_quantile(&tally->window_days_gain, 0.5, &gains[column]);
  column++;
  there[column] = isw_survey_spread_circular_median(&tally->best_sow_shift, &gains[column]);
  column++;
  there[column] = isw_survey_spread_quantile(&tally->years_gain, 0.5, &gains[column]);
  for (int c = 0; c < NUMBERS; c++)
    if (there[c]) g_snprintf(numbers[c], sizeof numbers[c], gains[c] > 0 ? "%+d" : "%d", gains[c]);
  isw_output_add_row(table, cells);
}

void isw_output_append_compare_table(GString *text, int n_rows,
                                     const struct isw_compare_row *rows) {
  const char *heads[WORDS + NUMBERS] = {
      isw_words_text(ISW_SAY_COMPARE_SEASON), isw_words_text(ISW_SAY_COMPARE_REGION),
      isw_words_text(ISW_SAY_COMPARE_NONE),   isw_words_text(ISW_SAY_COMPARE_BOTH),
      isw_words_text(ISW_SAY_COMPARE_ONLY_A), isw_words_text(ISW_SAY_COMPARE_ONLY_B),
      isw_words_text(ISW_SAY_COMPARE_SCORE),  isw_words_text(ISW_SAY_COMPARE_DAYS),
      isw_words_text(ISW_SAY_COMPARE_SHIFT),  isw_words_text(ISW_SAY_COMPARE_YEARS)};
  unsigned numbers = ((1u << NUMBERS) - 1u) << WORDS;
  struct isw_text_table table = isw_output_start_table(WORDS + NUMBERS, 0, numbers);
  table.gap = 2;
  isw_output_add_row(&table, heads);
  for (int i = 0; i < n_rows; i++) add_numbers(&table, &rows[i]);
  isw_output_finish_table(&table, text, WIDEST);
  g_string_append_c(text, '\n');
  isw_output_append_wrapped(text, isw_words_text(ISW_SAY_COMPARE_NOTE), 0, 0, 80);
}

#include "survey/comparison.h"

#include "base/dates.h"

const char *const isw_survey_compare_band_names[ISW_COMPARE_BANDS] = {
    "score_gain", "window_days_gain", "best_sow_shift", "verdict", "years_gain"};
const char *const isw_survey_compare_band_units[ISW_COMPARE_BANDS] = {
    "points of 100", "days", "days, positive: B later", "code", "years of 10"};

/* The shorter way round the year, -182..182. */
static int16_t shift_days(int from, int to) {
  int forward = isw_base_days_forward(from, to);
  return (int16_t)(forward > ISW_HALF_YEAR_DAYS ? forward - ISW_YEAR_DAYS : forward);
}

void isw_survey_compare_cell(const int16_t a[ISW_CELL_BANDS], const int16_t b[ISW_CELL_BANDS],
                             int16_t out[ISW_COMPARE_BANDS]) {
  bool both_sow = a[ISW_BAND_BEST_SOW] > 0 && b[ISW_BAND_BEST_SOW] > 0;
  bool a_has = a[ISW_BAND_WINDOW_DAYS] > 0, b_has = b[ISW_BAND_WINDOW_DAYS] > 0;
  out[ISW_COMPARE_SCORE_GAIN] = (int16_t)(b[ISW_BAND_SCORE] - a[ISW_BAND_SCORE]);
  out[ISW_COMPARE_WINDOW_DAYS_GAIN] = (int16_t)(b[ISW_BAND_WINDOW_DAYS] - a[ISW_BAND_WINDOW_DAYS]);
  out[ISW_COMPARE_BEST_SOW_SHIFT] =
      both_sow ? shift_days(a[ISW_BAND_BEST_SOW], b[ISW_BAND_BEST_SOW]) : (int16_t)ISW_BANDS_NODATA;
  out[ISW_COMPARE_VERDICT] = a_has ? (b_has ? ISW_VERDICT_BOTH : ISW_VERDICT_ONLY_A)
                                   : (b_has ? ISW_VERDICT_ONLY_B : ISW_VERDICT_NONE);
  bool counted = a[ISW_BAND_YEARS] >= 0 && b[ISW_BAND_YEARS] >= 0;
  out[ISW_COMPARE_YEARS_GAIN] =
      counted ? (int16_t)(b[ISW_BAND_YEARS] - a[ISW_BAND_YEARS]) : (int16_t)ISW_BANDS_NODATA;
}

enum isw_gain_class isw_survey_gain_class(int verdict, int score_gain) {
  switch (verdict) {
    case ISW_VERDICT_ONLY_A:
      return score_gain <= -ISW_GAIN_MUCH ? ISW_GAIN_ONLY_A_MUCH : ISW_GAIN_ONLY_A;
    case ISW_VERDICT_ONLY_B:
      return score_gain >= ISW_GAIN_MUCH ? ISW_GAIN_ONLY_B_MUCH : ISW_GAIN_ONLY_B;
    case ISW_VERDICT_BOTH:
      return score_gain <= -ISW_GAIN_SOME  ? ISW_GAIN_BOTH_A
             : score_gain >= ISW_GAIN_SOME ? ISW_GAIN_BOTH_B
                                           : ISW_GAIN_BOTH_LIKE;
    default: return ISW_GAIN_NONE;
  }
}

void isw_survey_add_comparison(struct isw_compare_tally *tally,
                               const int16_t compared[ISW_COMPARE_BANDS], double area_m2) {
  int gain = compared[ISW_COMPARE_SCORE_GAIN], verdict = compared[ISW_COMPARE_VERDICT];
  tally->cells++;
  tally->verdict_m2[verdict] += area_m2;
  tally->class_m2[isw_survey_gain_class(verdict, gain)] += area_m2;
  isw_survey_add_to_spread(&tally->score_gain, gain, area_m2);
  isw_survey_add_to_spread(&tally->window_days_gain, compared[ISW_COMPARE_WINDOW_DAYS_GAIN],
                           area_m2);
  if (compared[ISW_COMPARE_YEARS_GAIN] != ISW_BANDS_NODATA)
    isw_survey_add_to_spread(&tally->years_gain, compared[ISW_COMPARE_YEARS_GAIN], area_m2);
  if (verdict == ISW_VERDICT_BOTH)
    isw_survey_add_to_spread(&tally->best_sow_shift, compared[ISW_COMPARE_BEST_SOW_SHIFT], area_m2);
}

void isw_survey_clear_comparison(struct isw_compare_tally *tally) {
  isw_survey_clear_spread(&tally->score_gain);
  isw_survey_clear_spread(&tally->window_days_gain);
  isw_survey_clear_spread(&tally->best_sow_shift);
  isw_survey_clear_spread(&tally->years_gain);
}

double isw_survey_compared_m2(const struct isw_compare_tally *tally) {
  double sum_m2 = 0.0;
  for (int v = 0; v < ISW_VERDICTS; v++) sum_m2 += tally->verdict_m2[v];
  return sum_m2;
}

/* One cell of A against one of B: gains, the shorter way round the year, verdicts. By hand. */
#include "suite_main.h"
#include "survey/comparison.h"

struct side {
  int16_t score, best_sow, window_days;
};

static const struct {
  const char *why;
  struct side a, b;
  int16_t gain, days, shift, verdict;
} cases[] = {
    {"both", {80, 100, 20}, {90, 110, 25}, 10, 5, 10, ISW_VERDICT_BOTH},
    {"B earlier", {80, 110, 20}, {70, 100, 20}, -10, 0, -10, ISW_VERDICT_BOTH},
    {"forward over New Year", {80, 360, 20}, {80, 5, 20}, 0, 0, 10, ISW_VERDICT_BOTH},
    {"back over New Year", {80, 5, 20}, {80, 360, 20}, 0, 0, -10, ISW_VERDICT_BOTH},
    {"182 days forward", {80, 1, 9}, {80, 183, 9}, 0, 0, 182, ISW_VERDICT_BOTH},
    {"183 forward are 182 back", {80, 1, 9}, {80, 184, 9}, 0, 0, -182, ISW_VERDICT_BOTH},
    {"B opens a window", {40, 100, 0}, {75, 90, 8}, 35, 8, -10, ISW_VERDICT_ONLY_B},
    {"only A", {75, 100, 8}, {60, 90, 0}, -15, -8, -10, ISW_VERDICT_ONLY_A},
    {"neither", {40, 100, 0}, {50, 90, 0}, 10, 0, -10, ISW_VERDICT_NONE},
    {"no best day in A", {0, 0, 0}, {75, 90, 8}, 75, 8, ISW_BANDS_NODATA, ISW_VERDICT_ONLY_B},
    {"no best day at all", {0, 0, 0}, {0, 0, 0}, 0, 0, ISW_BANDS_NODATA, ISW_VERDICT_NONE},
};

static void fill(const struct side *side, int16_t bands[ISW_CELL_BANDS]) {
  for (int b = 0; b < ISW_CELL_BANDS; b++) bands[b] = 0;
  bands[ISW_BAND_SCORE] = side->score;
  bands[ISW_BAND_BEST_SOW] = side->best_sow;
  bands[ISW_BAND_WINDOW_DAYS] = side->window_days;
}

START_TEST(years_gained) {
  static const struct {
    int16_t a, b, gain;
  } years[] = {{7, 10, 3}, {10, 0, -10}, {4, 4, 0}, {-1, -1, ISW_BANDS_NODATA}};
  for (size_t i = 0; i < sizeof years / sizeof years[0]; i++) {
    int16_t a[ISW_CELL_BANDS] = {0}, b[ISW_CELL_BANDS] = {0}, out[ISW_COMPARE_BANDS];
    struct isw_compare_tally tally = {.cells = 0};
    int median;
    a[ISW_BAND_YEARS] = years[i].a;
    b[ISW_BAND_YEARS] = years[i].b;
    isw_survey_compare_cell(a, b, out);
    ck_assert_int_eq(out[ISW_COMPARE_YEARS_GAIN], years[i].gain);
    isw_survey_add_comparison(&tally, out, 1.0);
    const bool counted = years[i].gain != ISW_BANDS_NODATA; /* else it enters no median */
    ck_assert_int_eq(isw_survey_spread_quantile(&tally.years_gain, 0.5, &median), counted);
    if (counted) ck_assert_int_eq(median, years[i].gain);
    isw_survey_clear_comparison(&tally);
  }
}
END_TEST

START_TEST(cell) {
  int16_t a[ISW_CELL_BANDS], b[ISW_CELL_BANDS], out[ISW_COMPARE_BANDS];
  fill(&cases[_i].a, a);
  fill(&cases[_i].b, b);
  isw_survey_compare_cell(a, b, out);
  ck_assert_msg(out[ISW_COMPARE_SCORE_GAIN] == cases[_i].gain &&
                    out[ISW_COMPARE_WINDOW_DAYS_GAIN] == cases[_i].days &&
                    out[ISW_COMPARE_BEST_SOW_SHIFT] == cases[_i].shift &&
                    out[ISW_COMPARE_VERDICT] == cases[_i].verdict,
                "%s: got %d %d %d %d", cases[_i].why, out[0], out[1], out[2], out[3]);
}
END_TEST

/* Exchanging the sides turns every sign, and "only A" into "only B". */
START_TEST(exchanged) {
  int16_t a[ISW_CELL_BANDS], b[ISW_CELL_BANDS], there[ISW_COMPARE_BANDS], back[ISW_COMPARE_BANDS];
  fill(&cases[_i].a, a);
  fill(&cases[_i].b, b);
  isw_survey_compare_cell(a, b, there);
  isw_survey_compare_cell(b, a, back);
  static const int turned[ISW_VERDICTS] = {ISW_VERDICT_NONE, ISW_VERDICT_BOTH, ISW_VERDICT_ONLY_B,
                                           ISW_VERDICT_ONLY_A};
  ck_assert_int_eq(back[ISW_COMPARE_SCORE_GAIN], -there[ISW_COMPARE_SCORE_GAIN]);
  ck_assert_int_eq(back[ISW_COMPARE_VERDICT], turned[there[ISW_COMPARE_VERDICT]]);
  if (there[ISW_COMPARE_BEST_SOW_SHIFT] != ISW_BANDS_NODATA)
    ck_assert_int_eq(back[ISW_COMPARE_BEST_SOW_SHIFT], -there[ISW_COMPARE_BEST_SOW_SHIFT]);
}
END_TEST

START_TEST(tallied) {
  struct isw_compare_tally tally = {.cells = 0};
  int16_t both[ISW_COMPARE_BANDS] = {10, 5, 3, ISW_VERDICT_BOTH};
  int16_t only_b[ISW_COMPARE_BANDS] = {40, 9, 100, ISW_VERDICT_ONLY_B};
  isw_survey_add_comparison(&tally, both, 1e6);
  isw_survey_add_comparison(&tally, only_b, 3e6);
  int value;
  ck_assert_double_eq(isw_survey_compared_m2(&tally), 4e6);
  ck_assert_double_eq(tally.verdict_m2[ISW_VERDICT_ONLY_B], 3e6);
  ck_assert_double_eq(tally.class_m2[ISW_GAIN_ONLY_B_MUCH], 3e6);
  ck_assert_double_eq(tally.class_m2[ISW_GAIN_BOTH_B], 1e6);
  ck_assert(isw_survey_spread_quantile(&tally.score_gain, 0.5, &value) && value == 40);
  /* Only where both have a window is there a shift to speak of. */
  ck_assert(isw_survey_spread_circular_median(&tally.best_sow_shift, &value) && value == 3);
  isw_survey_clear_comparison(&tally);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("comparison");
  TCase *tests = tcase_create("comparison");
  tcase_add_test(tests, years_gained);
  tcase_add_loop_test(tests, cell, 0, sizeof cases / sizeof cases[0]);
  tcase_add_loop_test(tests, exchanged, 0, sizeof cases / sizeof cases[0]);
  tcase_add_test(tests, tallied);
  suite_add_tcase(suite, tests);
  return suite;
}

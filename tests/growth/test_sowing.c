/* The stage clock and the score of one sowing day: worked out by hand at constant temperatures, and
 * against a plain day-by-day walk in made-up climates. */
#include <math.h>

#include "growth/day_response.h"
#include "hand_sheet.h"
#include "made_up.h"
#include "plain_path.h"
#include "suite_main.h"

static struct isw_plan plan;
static struct plain_programme_sums sums;

static struct isw_sowing sow(const struct isw_sheet *sheet, const struct isw_conditions *conditions,
                             const struct isw_normals *normals, int day) {
  struct isw_year year;
  struct isw_sowing sowing;
  isw_growth_make_plan(sheet, conditions, 0, NULL, 0, NULL, &plan);
  isw_growth_curve_year(normals, conditions->warmer_K, &year);
  plain_sum_programme(&plan, &plan.programmes[0], &year, &sums);
  plain_score_sowing(&plan, &plan.programmes[0], &sums, day, &sowing);
  return sowing;
}

/* By hand. Rate is 1 from 10 degC and temp/10 below; fit falls from 20 to 30 degC. */
static const struct {
  const char *why;
  double temp_C, leaf_days, head_days;
  int at_most_leaf, at_most_head;
  bool matures;
  int leaf_ends, growing_days, score_tenths, limit;
} clock_cases[] = {
    {"best", 10, 10, 20, 30, 60, true, 10, 30, 1000, 0},
    {"best, upper edge", 20, 10, 20, 30, 60, true, 10, 30, 1000, 0},
    {"half speed", 5, 10, 20, 30, 60, true, 20, 60, 500, 1},
    {"too warm, full speed", 25, 10, 20, 30, 60, true, 10, 30, 500, 2},
    {"at the very top", 30, 10, 20, 30, 60, true, 10, 30, 0, 2},
    {"0.7: 14.3 days are 15, 28.6 are 29", 7, 10, 20, 30, 60, true, 15, 44, 700, 1},
    {"fractional days are met at a day's end", 15, 2.5, 20, 30, 60, true, 3, 23, 1000, 0},
    {"a fraction under a day takes a day", 15, 0.25, 0.5, 30, 60, true, 1, 2, 1000, 0},
    {"at_most just met", 10.0 / 3.0, 10, 20, 30, 60, true, 30, 90, 333, 1},
    {"at_most passed in the first stage", 3.3, 10, 20, 30, 60, false, 0, 0, 0, 103},
    {"at_most passed in the second stage", 5, 10, 20, 30, 39, false, 20, 0, 0, 103},
    {"at_most met in the second stage", 5, 10, 20, 30, 40, true, 20, 60, 500, 1},
    {"365 days stand", 12, 165, 200, 365, 365, true, 165, 365, 1000, 0},
    {"366 do not", 12, 165.5, 200, 365, 365, false, 166, 0, 0, 103},
    {"366 do not, though each stage may", 12, 165.5, 200, 166, 200, false, 166, 0, 0, 103},
    {"nothing grows at 0", 0, 10, 20, 365, 365, false, 0, 0, 0, 103},
    {"score above 95: nothing limits", 9.6, 10, 20, 30, 60, true, 11, 32, 960, 0},
    {"score below 95: the cold does", 9.4, 10, 20, 30, 60, true, 11, 33, 940, 1},
};

/* The same rows through the door that maps use. */
START_TEST(clock_by_hand_in_a_cell) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_stage *stages = hand.varieties[0].stages;
  stages[0].days = clock_cases[_i].leaf_days;
  stages[1].days = clock_cases[_i].head_days;
  stages[0].at_most_days = clock_cases[_i].at_most_leaf;
  stages[1].at_most_days = clock_cases[_i].at_most_head;
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals =
      hand_constant_normals(clock_cases[_i].temp_C, clock_cases[_i].temp_C);
  struct isw_result result;
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, &result);
  bool dated = clock_cases[_i].score_tenths > 0;
  ck_assert_int_eq(result.score_tenths, clock_cases[_i].score_tenths);
  ck_assert_int_eq(result.growing_days, dated ? clock_cases[_i].growing_days : 0);
  ck_assert_int_eq(result.limit, clock_cases[_i].limit);
  ck_assert_int_eq(result.best_sow_day, dated ? 182 : -1); /* the middle of the year */
}
END_TEST

START_TEST(clock_by_hand) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_stage *stages = hand.varieties[0].stages;
  stages[0].days = clock_cases[_i].leaf_days;
  stages[1].days = clock_cases[_i].head_days;
  stages[0].at_most_days = clock_cases[_i].at_most_leaf;
  stages[1].at_most_days = clock_cases[_i].at_most_head;
  struct isw_normals normals =
      hand_constant_normals(clock_cases[_i].temp_C, clock_cases[_i].temp_C);
  struct isw_conditions conditions = isw_growth_default_conditions();
  static const int days[] = {0, 58, 182, 300, 364};
  for (size_t i = 0; i < sizeof days / sizeof days[0]; i++) {
    struct isw_sowing sowing = sow(&hand.sheet, &conditions, &normals, days[i]);
    ck_assert_msg(sowing.matures == clock_cases[_i].matures, "%s", clock_cases[_i].why);
    ck_assert_int_eq(sowing.growing_days, clock_cases[_i].growing_days);
    ck_assert_int_eq(sowing.runs[0].to_after, clock_cases[_i].leaf_ends);
    ck_assert_int_eq(sowing.score_tenths, clock_cases[_i].score_tenths);
    ck_assert_int_eq(sowing.limit, clock_cases[_i].limit);
    ck_assert_int_eq(sowing.runs[0].from_after, 0);
    if (!sowing.matures) continue;
    ck_assert_int_eq(sowing.n_stages, 2);
    ck_assert_int_eq(sowing.runs[1].from_after, sowing.runs[0].to_after);
    ck_assert_int_eq(sowing.runs[1].to_after, sowing.growing_days);
    ck_assert_double_eq_tol(sowing.runs[1].mean_C, clock_cases[_i].temp_C, 1e-9);
  }
}
END_TEST

/* survive = exp(-sum of the nights' odds); the odds are those of the normal table. 30 nights at z:
 * -2.5: 0.0062097; -3: 0.0013499; -4: 0.0000317 (standard normal table, from memory). */
static const struct {
  double z, odds;
  int score_tenths, limit;
  bool good;
} frost_cases[] = {{-2.5, 0.0062097, 830, ISW_LIMIT_FROST, false},
                   {-3.0, 0.0013499, 960, ISW_LIMIT_NOTHING, true},
                   {-4.0, 0.0000317, 999, ISW_LIMIT_NOTHING, true}};

START_TEST(frost_by_hand) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.spread_K = 2.0;
  for (int k = 0; k < 2; k++)
    hand.varieties[0].stages[k].dies_below_C = 12.0 + 2.0 * frost_cases[_i].z;
  struct isw_normals normals = hand_constant_normals(12.0, 18.0);
  struct isw_sowing sowing = sow(&hand.sheet, &conditions, &normals, 200);
  ck_assert_double_eq_tol(sowing.survive, exp(-30.0 * frost_cases[_i].odds), 5e-6);
  ck_assert_int_eq(sowing.score_tenths, frost_cases[_i].score_tenths);
  ck_assert_int_eq(sowing.limit, frost_cases[_i].limit);
  struct isw_scores scores;
  plain_score_year(&plan, &plan.programmes[0], &sums, &scores);
  ck_assert(scores.good[200] == frost_cases[_i].good);
}
END_TEST

START_TEST(each_stage_has_its_own_frost) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.spread_K = 3.0;
  hand.varieties[0].stages[0].dies_below_C = 12.0 - 3.0 * 2.0; /* z = -2: 0.0227501, 10 nights */
  struct isw_normals normals = hand_constant_normals(12.0, 18.0);
  struct isw_sowing sowing = sow(&hand.sheet, &conditions, &normals, 10);
  ck_assert_double_eq_tol(sowing.survive, exp(-10.0 * 0.0227501), 5e-6);
}
END_TEST

/* 7 degC: leaf takes 15 days, each a full chilling day (band -1, 3, 12, 15; almost no spread). */
static const struct {
  double safe, all, stay;
  int score_tenths, limit;
} bolt_cases[] = {{5, 20, 1.0 / 3.0, 233, ISW_LIMIT_BOLTING},
                  {15, 20, 1.0, 700, 1},
                  {16, 20, 1.0, 700, 1},
                  {10, 15, 0.0, 0, ISW_LIMIT_BOLTING},
                  {1, 14, 0.0, 0, ISW_LIMIT_BOLTING},
                  {14, 24, 0.9, 630, 1},
                  {8, 18, 0.3, 210, ISW_LIMIT_BOLTING}};

START_TEST(bolting_by_hand) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  hand.sheet.has_chilling = true;
  hand.sheet.chilling = (struct isw_band){-1, 3, 12, 15};
  hand.varieties[0].stages[0].chills = true;
  hand.varieties[0].bolts = true;
  hand.varieties[0].bolts_safe = bolt_cases[_i].safe;
  hand.varieties[0].bolts_all = bolt_cases[_i].all;
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.spread_K = 1e-3;
  struct isw_normals normals = hand_constant_normals(7.0, 7.0);
  struct isw_sowing sowing = sow(&hand.sheet, &conditions, &normals, 360);
  ck_assert_double_eq_tol(sowing.chilling_days, 15.0, 1e-9);
  ck_assert_double_eq_tol(sowing.stay, bolt_cases[_i].stay, 1e-9);
  ck_assert_int_eq(sowing.score_tenths, bolt_cases[_i].score_tenths);
  ck_assert_int_eq(sowing.limit, bolt_cases[_i].limit);
}
END_TEST

START_TEST(what_does_not_chill_does_not_bolt) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(7.0, 7.0);
  hand.varieties[0].bolts = true;
  hand.varieties[0].bolts_all = 1.0;
  hand.varieties[0].stages[0].chills = true;
  ck_assert_double_eq(sow(&hand.sheet, &conditions, &normals, 0).stay, 1.0); /* no chilling band */
  hand.sheet.has_chilling = true;
  hand.sheet.chilling = (struct isw_band){-1, 3, 12, 15};
  ck_assert_double_eq(sow(&hand.sheet, &conditions, &normals, 0).stay, 0.0);
  hand.varieties[0].stages[0].chills = false;
  ck_assert_double_eq(sow(&hand.sheet, &conditions, &normals, 0).stay, 1.0); /* no stage chills */
  hand.varieties[0].stages[0].chills = true;
  hand.varieties[0].bolts = false;
  ck_assert_double_eq(sow(&hand.sheet, &conditions, &normals, 0).stay, 1.0); /* a type that never */
}
END_TEST

/* With equal smallest values the first in the order stages, survive, stay is the limit. */
START_TEST(limit_of_ties_is_the_first) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  hand.sheet.has_chilling = true;
  hand.sheet.chilling = (struct isw_band){-1, 3, 12, 15};
  hand.varieties[0].stages[0].chills = true;
  hand.varieties[0].bolts = true;
  hand.varieties[0].bolts_safe = 10.0;
  hand.varieties[0].bolts_all = 30.0;
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.spread_K = 1e-3;
  struct isw_normals normals = hand_constant_normals(5.0, 5.0); /* fits 0.5; 20 days: stay 0.5 */
  struct isw_sowing sowing = sow(&hand.sheet, &conditions, &normals, 0);
  ck_assert_double_eq_tol(sowing.stay, 0.5, 1e-9);
  ck_assert_int_eq(sowing.limit, 1);
  hand.varieties[0].stages[0].band.best_from_C = 9.9; /* now the second stage fits least, by 1 % */
  ck_assert_int_eq(sow(&hand.sheet, &conditions, &normals, 0).limit, 3);
}
END_TEST

/* A day too cold at night and too warm at noon: what is missing most names the limit. */
START_TEST(wide_days_are_too_cold_or_too_warm) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals cold = hand_constant_normals(-8.0, 34.0);
  struct isw_normals warm = hand_constant_normals(-4.0, 38.0);
  ck_assert_int_eq(sow(&hand.sheet, &conditions, &cold, 0).limit, 1);
  ck_assert_int_eq(sow(&hand.sheet, &conditions, &warm, 0).limit, 2);
}
END_TEST

static const struct {
  double percent;
  int tenths;
} rounding_cases[] = {{0, 0},         {0.0499, 0},    {0.125, 1},   {0.25, 3},    {0.75, 8},
                      {69.875, 699},  {69.9375, 699}, {84.25, 843}, {84.75, 848}, {99.75, 998},
                      {99.9375, 999}, {99.96, 1000},  {100, 1000}};

START_TEST(tenths_are_rounded_half_up) {
  ck_assert_int_eq(isw_growth_round_tenths(rounding_cases[_i].percent), rounding_cases[_i].tenths);
}
END_TEST

/* A score that rounds to the threshold is good; survive and stay count unrounded. */
START_TEST(good_is_at_least_the_threshold) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  static struct isw_scores scores;
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(6.9996, 6.9996); /* 69.996: 70.0 */
  sow(&hand.sheet, &conditions, &normals, 0);
  plain_score_year(&plan, &plan.programmes[0], &sums, &scores);
  ck_assert_int_eq(scores.score_tenths[0], 700);
  ck_assert(scores.good[0]);
  conditions.good_score = 70.05;
  sow(&hand.sheet, &conditions, &normals, 0);
  plain_score_year(&plan, &plan.programmes[0], &sums, &scores);
  ck_assert(!scores.good[0]);
  conditions.good_score = 0.0; /* a score of 0 is never good */
  normals = hand_constant_normals(30.0, 30.0);
  sow(&hand.sheet, &conditions, &normals, 0);
  plain_score_year(&plan, &plan.programmes[0], &sums, &scores);
  ck_assert_int_gt(scores.growing_days[0], 0);
  ck_assert(!scores.good[0]);
}
END_TEST

static const struct {
  int limit;
  const char *name;
} limit_names[] = {{0, "nothing"},       {1, "leaf too cold"},  {2, "leaf too warm"},
                   {3, "head too cold"}, {4, "head too warm"},  {101, "frost"},
                   {102, "bolting"},     {103, "never matures"}};

START_TEST(limits_have_names) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  char text[ISW_LIMIT_NAME_SIZE];
  ck_assert_str_eq(isw_growth_limit_name(&hand.sheet, limit_names[_i].limit, text),
                   limit_names[_i].name);
}
END_TEST

static struct isw_normals make_up_normals(uint64_t *state) {
  struct isw_normals normals = {0};
  double mean = made_up(state, 2.0, 22.0), season = made_up(state, 2.0, 14.0);
  double swing = made_up(state, 2.0, 16.0);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    double middle = mean - season * cos((m - 0.5) * 0.5235987755982988) + made_up(state, -1.5, 1.5);
    normals.tmin_C[m] = middle - 0.5 * swing;
    normals.tmax_C[m] = middle + 0.5 * swing;
  }
  return normals;
}

/* The method walked day by day, with nothing summed beforehand. */
static struct isw_sowing walk(const struct isw_plan *p, const struct isw_year *year, int sow_day) {
  struct isw_sowing out = {.limit = ISW_LIMIT_NEVER_MATURES, .survive = 1.0, .stay = 1.0};
  const struct isw_programme *programme = &p->programmes[0];
  double kill = 0.0, chill = 0.0, least = 1.0;
  int today = 0;
  for (int k = 0; k < p->sheet->n_stages; k++) {
    const struct isw_stage *stage = &programme->stages[k];
    const struct isw_shelter *shelter =
        stage->shelter < 0 ? NULL : &p->sheet->shelters[stage->shelter];
    double advanced = 0.0, fit = 0.0;
    int days = 0;
    while (advanced < stage->days - 1e-6) {
      if (days >= stage->at_most_days || today >= 365) return out;
      int d = (sow_day + today) % 365;
      struct isw_day open = {year->tmin_C[d], year->tmax_C[d]};
      struct isw_day day = isw_growth_shelter_day(shelter, open);
      struct isw_response response = isw_growth_respond(&stage->band, p->sheet->swing, day);
      advanced += response.rate;
      fit += response.fit;
      kill += isw_growth_kill(stage->dies_below_C, p->conditions.spread_K, day.lo_C);
      if (stage->chills)
        chill += isw_growth_chilling(&p->sheet->chilling, shelter, p->conditions.spread_K, open);
      days++;
      today++;
    }
    out.runs[k].to_after = today;
    least = fmin(least, fit / days);
  }
  out.matures = true;
  out.growing_days = today;
  out.survive = exp(-kill);
  out.chilling_days = chill;
  out.stay = fmin(
      fmax((programme->bolts_all - chill) / (programme->bolts_all - programme->bolts_safe), 0.0),
      1.0);
  out.least_fit = least;
  out.score_tenths = isw_growth_round_tenths(100.0 * least * out.survive * out.stay);
  return out;
}

static void make_full_sheet(struct hand_sheet *hand) {
  static char nursery[] = "nursery";
  hand_sheet_init(hand);
  hand->sheet.swing = 0.5;
  hand->sheet.n_shelters = 1;
  hand->sheet.shelters[0] = (struct isw_shelter){nursery, 16, INFINITY, 28, 4, NULL};
  hand->sheet.has_chilling = true;
  hand->sheet.chilling = (struct isw_band){-1, 3, 12, 15};
  struct isw_variety *variety = &hand->varieties[0];
  variety->bolts = true;
  variety->bolts_safe = 7;
  variety->bolts_all = 13;
  variety->stages[0].shelter = 0;
  variety->stages[0].chills = variety->stages[1].chills = true;
  variety->stages[0].dies_below_C = -2.0;
  variety->stages[1].dies_below_C = -5.0;
  variety->stages[1].transplant = true;
}

START_TEST(a_plain_walk_agrees) {
  struct hand_sheet hand;
  make_full_sheet(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  uint64_t state = 5u + (uint64_t)_i * 1000003u;
  int matured = 0, limited = 0;
  for (int place = 0; place < 25; place++) {
    struct isw_normals normals = make_up_normals(&state);
    struct isw_year year;
    isw_growth_curve_year(&normals, 0.0, &year);
    for (int day = 0; day < ISW_YEAR_DAYS; day += 7) {
      struct isw_sowing got = sow(&hand.sheet, &conditions, &normals, day);
      struct isw_sowing expected = walk(&plan, &year, day);
      ck_assert(got.matures == expected.matures);
      ck_assert_int_eq(got.growing_days, expected.growing_days);
      if (!got.matures) continue;
      matured++;
      limited += got.stay < 1.0;
      ck_assert_double_eq_tol(got.survive, expected.survive, 1e-9);
      ck_assert_double_eq_tol(got.chilling_days, expected.chilling_days, 1e-9);
      ck_assert_double_eq_tol(got.stay, expected.stay, 1e-9);
      ck_assert_double_eq_tol(got.least_fit, expected.least_fit, 5.1e-7);
      ck_assert_int_eq(got.score_tenths, expected.score_tenths);
    }
  }
  ck_assert_int_gt(matured, 100);
  ck_assert_int_gt(limited, 20);
}
END_TEST

START_TEST(the_year_is_its_days) {
  struct hand_sheet hand;
  make_full_sheet(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  uint64_t state = 31u + (uint64_t)_i;
  struct isw_normals normals = make_up_normals(&state);
  static struct isw_scores scores;
  sow(&hand.sheet, &conditions, &normals, 0);
  plain_score_year(&plan, &plan.programmes[0], &sums, &scores);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    struct isw_sowing sowing;
    plain_score_sowing(&plan, &plan.programmes[0], &sums, day, &sowing);
    ck_assert_int_eq(scores.score_tenths[day], sowing.score_tenths);
    ck_assert_int_eq(scores.growing_days[day], sowing.growing_days);
    ck_assert_int_eq(scores.transplant_after[day], sowing.matures ? sowing.runs[1].from_after : 0);
    ck_assert(scores.good[day] == (sowing.matures && sowing.score_tenths >= 700 &&
                                   sowing.survive >= 0.9 && sowing.stay >= 0.9));
    ck_assert_int_ge(sowing.score_tenths, 0);
    ck_assert_int_le(sowing.score_tenths, 1000);
  }
}
END_TEST

/* Warming brings every harvest forward or leaves it; each stage then also ends no later. */
START_TEST(warmer_never_delays_a_stage) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  for (int k = 0; k < 2; k++) hand.varieties[0].stages[k].at_most_days = 365;
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_conditions warmer = conditions;
  uint64_t state = 600u + (uint64_t)_i;
  int compared = 0;
  for (int place = 0; place < 40; place++) {
    struct isw_normals normals = make_up_normals(&state);
    warmer.warmer_K = made_up(&state, 0.1, 4.0);
    for (int day = 0; day < ISW_YEAR_DAYS; day += 31) {
      struct isw_sowing before = sow(&hand.sheet, &conditions, &normals, day);
      if (!before.matures) continue;
      struct isw_sowing after = sow(&hand.sheet, &warmer, &normals, day);
      ck_assert(after.matures);
      for (int k = 0; k < 2; k++) ck_assert_int_le(after.runs[k].to_after, before.runs[k].to_after);
      compared++;
    }
  }
  ck_assert_int_gt(compared, 100);
}
END_TEST

Suite *isw_test_suite(void) {
#define COUNT(table) (int)(sizeof table / sizeof table[0])
  Suite *suite = suite_create("sowing");
  TCase *hand = tcase_create("by hand");
  tcase_add_loop_test(hand, clock_by_hand, 0, COUNT(clock_cases));
  tcase_add_loop_test(hand, clock_by_hand_in_a_cell, 0, COUNT(clock_cases));
  tcase_add_loop_test(hand, frost_by_hand, 0, COUNT(frost_cases));
  tcase_add_test(hand, each_stage_has_its_own_frost);
  tcase_add_loop_test(hand, bolting_by_hand, 0, COUNT(bolt_cases));
  tcase_add_test(hand, what_does_not_chill_does_not_bolt);
  tcase_add_test(hand, limit_of_ties_is_the_first);
  tcase_add_test(hand, wide_days_are_too_cold_or_too_warm);
  tcase_add_loop_test(hand, tenths_are_rounded_half_up, 0, COUNT(rounding_cases));
  tcase_add_test(hand, good_is_at_least_the_threshold);
  tcase_add_loop_test(hand, limits_have_names, 0, COUNT(limit_names));
  suite_add_tcase(suite, hand);
  TCase *walked = tcase_create("properties");
  tcase_set_timeout(walked, 60);
  tcase_add_loop_test(walked, a_plain_walk_agrees, 0, 4);
  tcase_add_loop_test(walked, the_year_is_its_days, 0, 8);
  tcase_add_loop_test(walked, warmer_never_delays_a_stage, 0, 3);
  suite_add_tcase(suite, walked);
  return suite;
}

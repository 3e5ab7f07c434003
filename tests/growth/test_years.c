/* Ten equally likely years, worked out by hand at constant temperatures: a year is the climate
 * moved by z times the year spread, z being the middles of the ten tenths of the normal
 * distribution (standard normal table, from memory: 0.12566 0.38532 0.67449 1.03643 1.64485). Asked
 * of the plain reference and of the door alike. */
#include <math.h>

#include "hand_sheet.h"
#include "reference_cell.h"
#include "suite_main.h"

enum { REFERENCE, DOOR, WAYS };

static void ask(int way, const struct isw_sheet *sheet, const struct isw_conditions *conditions,
                const struct isw_normals *normals, struct isw_result *out) {
  static struct isw_plan plan;
  static struct reference_memory memory;
  if (way == DOOR) {
    hand_sheet_cell(sheet, conditions, normals, false, out);
    return;
  }
  isw_growth_make_plan(sheet, conditions, 0, NULL, 0, NULL, &plan);
  reference_cell(&plan, normals, false, &memory, out);
}

/* The middles of the tenths, by the normal distribution itself: Phi(z) = .55, .65, .75, .85, .95.
 */
START_TEST(years_are_the_middles_of_tenths) {
  const double root_half = 0.70710678118654752440;
  for (int i = 0; i < REFERENCE_SIDE_YEARS; i++)
    ck_assert_double_eq_tol(0.5 * erfc(-reference_year_z[i] * root_half), 0.55 + 0.1 * i, 5e-6);
}
END_TEST

/* Fit is 1 from 10 to 20 degC and a tenth less per degree outside; 70 points need 7..23. Warm side:
 * the room up to 23 over z x spread. */
static const struct {
  const char *why;
  double temp_C, year_spread_K;
  int years; /* 0 and no score of 70: not good in the normal year */
  bool normal;
} constant[] = {
    {"room for all", 15.0, 1.3, 10, true},
    {"2.5 K of 1.3: all five (2.138)", 20.5, 1.3, 10, true},
    {"1.8 K: the fourth (1.347)", 21.2, 1.3, 9, true},
    {"1.3 K: the third (.877)", 21.7, 1.3, 8, true},
    {"0.7 K: the second (.501)", 22.3, 1.3, 7, true},
    {"0.3 K: the first (.163)", 22.7, 1.3, 6, true},
    {"0.1 K: none", 22.9, 1.3, 5, true},
    {"not good in the normal year", 23.1, 1.3, 0, false},
    {"cold side: 0.3 K", 7.3, 1.3, 6, true},
    {"cold side: 1.8 K", 8.8, 1.3, 9, true},
    {"cold side, but not in the normal year", 6.9, 1.3, 0, false},
    {"a maritime climate", 21.7, 1.0, 9, true}, /* z x 1: 1.036, 1.645 */
    {"no spread between years: all are the normal year", 22.99, 0.0, 10, true},
    {"both sides, 8 K each of 10: fifth 16.4, fourth 10.4, third 6.7", 15.0, 10.0, 6, true},
    {"a spread beyond any climate", 15.0, 70.0, 0, true}, /* first 8.8 */
};

static void check_constant(int way, int i, struct hand_sheet *hand,
                           const struct isw_conditions *conditions,
                           const struct isw_normals *normals) {
  const char *who = way == DOOR ? "door" : "reference", *why = constant[i].why;
  const bool windowed = constant[i].years >= conditions->least_years;
  struct isw_result result;
  ask(way, &hand->sheet, conditions, normals, &result);
  ck_assert_msg(result.years == constant[i].years, "%s, %s: %d years", who, why, result.years);
  ck_assert_msg((result.score_tenths >= 700) == constant[i].normal, "%s, %s", who, why);
  ck_assert_msg((result.window.days > 0) == windowed, "%s, %s: window", who, why);
  ck_assert_int_eq(result.edge, 0);
}

/* The options' year spread, and the place's own in its stead. */
START_TEST(years_of_a_constant_climate) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(constant[_i].temp_C, constant[_i].temp_C);
  for (int way = 0; way < WAYS; way++) {
    conditions.year_spread_K = constant[_i].year_spread_K;
    normals.has_year_spread = false;
    check_constant(way, _i, &hand, &conditions, &normals);
    conditions.year_spread_K = 29.0;
    normals.has_year_spread = true;
    normals.year_spread_K = constant[_i].year_spread_K;
    check_constant(way, _i, &hand, &conditions, &normals);
  }
}
END_TEST

/* A good day needs so many years: all values of --years. */
START_TEST(least_years) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.least_years = 1 + _i % 10;
  for (int way = 0; way < WAYS; way++)
    for (int i = 0; i < (int)(sizeof constant / sizeof constant[0]); i++) {
      struct isw_normals normals = hand_constant_normals(constant[i].temp_C, constant[i].temp_C);
      conditions.year_spread_K = constant[i].year_spread_K;
      check_constant(way, i, &hand, &conditions, &normals);
    }
}
END_TEST

START_TEST(years_0_counts_none) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.least_years = 0;
  for (int way = 0; way < WAYS; way++)
    for (int i = 0; i < (int)(sizeof constant / sizeof constant[0]); i++) {
      struct isw_normals normals = hand_constant_normals(constant[i].temp_C, constant[i].temp_C);
      struct isw_result result;
      conditions.year_spread_K = constant[i].year_spread_K;
      ask(way, &hand.sheet, &conditions, &normals, &result);
      ck_assert_msg(result.years == -1, "%s: %d years", constant[i].why, result.years);
      ck_assert_msg((result.window.days > 0) == constant[i].normal, "%s", constant[i].why);
    }
}
END_TEST

/* Chilling holds between 0.6 and 1.3 K above the normal year only, so that the third warm year
 * (+.877) bolts and its neighbours do not. Asked from outside, its fifth year decides; where heat
 * spoils the fifth, the third's no leaves the second. By hand, 1.3 K per z: .163 .501 .877 1.347
 * 2.138; good days end at 23 degC. */
static const struct {
  const char *why;
  double temp_C;
  int years;
} outside[] = {
    {"fifth at 17.1: 5, whatever the third says", 15.0, 10},
    {"fifth at 23.1 too warm, third bolts: the second, though the fourth is good", 21.0, 7},
};

START_TEST(a_side_is_asked_from_outside) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  const double temp_C = outside[_i].temp_C;
  conditions.spread_K = 0.01;
  hand.sheet.has_chilling = true;
  hand.sheet.chilling = (struct isw_band){temp_C + 0.6, temp_C + 0.8, temp_C + 1.0, temp_C + 1.3};
  hand.varieties[0].bolts = true;
  hand.varieties[0].bolts_safe = 1.0;
  hand.varieties[0].bolts_all = 2.0;
  hand.varieties[0].stages[0].chills = true;
  struct isw_normals normals = hand_constant_normals(temp_C, temp_C);
  for (int way = 0; way < WAYS; way++) {
    struct isw_result result;
    ask(way, &hand.sheet, &conditions, &normals, &result);
    ck_assert_msg(result.years == outside[_i].years, "%s: %d years, %s", outside[_i].why,
                  result.years, way == DOOR ? "door" : "reference");
  }
}
END_TEST

/* The shift comes before the shelter: a nursery that warms to 16 whatever comes hides cold years.
 */
START_TEST(years_are_shifted_before_any_shelter) {
  static char nursery[] = "nursery";
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  hand.sheet.n_shelters = 1;
  hand.sheet.shelters[0] = (struct isw_shelter){nursery, 16, INFINITY, INFINITY, INFINITY, NULL};
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(7.3, 7.3);
  struct isw_result result;
  for (int way = 0; way < WAYS; way++) {
    conditions.grown_under = ISW_OPEN_GROUND;
    ask(way, &hand.sheet, &conditions, &normals, &result);
    ck_assert_int_eq(result.years, 6);
    conditions.grown_under = 0;
    ask(way, &hand.sheet, &conditions, &normals, &result);
    ck_assert_int_eq(result.years, 10);
  }
}
END_TEST

/* 30 days from sowing to cutting at 15 degC. Cut from 21 December to 10 January: sow from 21
 * November to 11 December, all days being equal. */
START_TEST(cut_over_new_year) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.has_cut = true;
  conditions.cut_from_day = 354;
  conditions.cut_to_day = 9;
  struct isw_normals normals = hand_constant_normals(15.0, 15.0);
  struct isw_result result;
  for (int way = 0; way < WAYS; way++) {
    hand.sheet.seasons[0].sow_from_day = 0;
    hand.sheet.seasons[0].sow_to_day = 364;
    ask(way, &hand.sheet, &conditions, &normals, &result);
    ck_assert_int_eq(result.window.from_day, 324);
    ck_assert_int_eq(result.window.to_day, 344);
    ck_assert_int_eq(result.window.days, 21);
    ck_assert_int_eq(result.best_sow_day, 334);
    ck_assert_int_eq(result.harvest_day, 364);
    ck_assert_int_eq(result.cut_from_day, 354);
    ck_assert_int_eq(result.cut_to_day, 9);
    ck_assert_int_eq(result.years, 10);
    hand.sheet.seasons[0].sow_to_day = 300;
    ask(way, &hand.sheet, &conditions, &normals, &result);
    ck_assert_int_eq(result.limit, ISW_LIMIT_CUT_OUTSIDE);
    ck_assert_int_eq(result.best_sow_day, -1);
    ck_assert_int_eq(result.window.days, 0);
    ck_assert_int_eq(result.score_tenths, 0);
    ck_assert_int_eq(result.years, 0);
    ck_assert_int_eq(result.growing_days, 0);
    ck_assert_double_eq(result.frost_risk, 0.0);
    normals =
        hand_constant_normals(-30.0, -10.0); /* where nothing matures, nothing is cut outside */
    ask(way, &hand.sheet, &conditions, &normals, &result);
    ck_assert_int_eq(result.limit, ISW_LIMIT_NEVER_MATURES);
    normals = hand_constant_normals(15.0, 15.0);
  }
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("years");
  TCase *years = tcase_create("years");
  tcase_set_timeout(years, 60);
  tcase_add_test(years, years_are_the_middles_of_tenths);
  tcase_add_loop_test(years, years_of_a_constant_climate, 0,
                      (int)(sizeof constant / sizeof constant[0]));
  tcase_add_loop_test(years, least_years, 0, 10);
  tcase_add_test(years, years_0_counts_none);
  tcase_add_loop_test(years, a_side_is_asked_from_outside, 0, 2);
  tcase_add_test(years, years_are_shifted_before_any_shelter);
  tcase_add_test(years, cut_over_new_year);
  suite_add_tcase(suite, years);
  return suite;
}

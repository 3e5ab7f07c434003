/* One place through the whole model, with a sheet made by hand. */
#include <math.h>
#include <stdlib.h>

#include "hand_sheet.h"
#include "plain_path.h"
#include "suite_main.h"

/* Best from 10 to 20 degC, nothing at 0 and 30: a cold winter, a hot summer. */
static const struct isw_normals two_seasons = {
    .tmin_C = {-8, -6, 0, 6, 12, 18, 22, 21, 14, 8, 1, -5},
    .tmax_C = {0, 3, 9, 16, 22, 28, 33, 32, 25, 18, 9, 2}};

START_TEST(constant_climate_is_good_all_year) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(12.0, 18.0);
  struct isw_result result;
  hand_sheet_cell(&hand.sheet, &conditions, &normals, _i == 1, &result);
  ck_assert_int_eq(result.score_tenths, 1000);
  /* the season, which begins 182 days later in the south */
  ck_assert_int_eq(result.window.from_day, _i == 1 ? 182 : 0);
  ck_assert_int_eq(result.window.to_day, _i == 1 ? 181 : 364);
  ck_assert_int_eq(result.window.days, 365);
  ck_assert_int_eq(result.growing_days, 30);
  /* all days tie: the season's middle */
  ck_assert_int_eq(result.best_sow_day, _i == 1 ? 364 : 182);
  ck_assert_int_eq(result.harvest_day, _i == 1 ? 29 : 212);
  ck_assert_int_eq(result.years, 10);
  ck_assert_int_eq(result.edge, 0);
  ck_assert_int_eq(result.transplant_day, -1);
  ck_assert_int_eq(result.limit, ISW_LIMIT_NOTHING);
  ck_assert_double_eq_tol(result.frost_risk, 0.0, 1e-12);
}
END_TEST

START_TEST(never_matures) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(-30.0, -10.0);
  struct isw_result result;
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, &result);
  ck_assert_int_eq(result.score_tenths, 0);
  ck_assert_int_eq(result.best_sow_day, -1);
  ck_assert_int_eq(result.window.days, 0);
  ck_assert_int_eq(result.harvest_day, -1);
  ck_assert_int_eq(result.growing_days, 0);
  ck_assert_int_eq(result.limit, ISW_LIMIT_NEVER_MATURES);
  ck_assert_double_eq(result.frost_risk, 0.0);
  ck_assert_double_eq(result.bolt_risk, 0.0);
}
END_TEST

/* Matures, but is worth nothing: the limit and the risks stand without dates. */
START_TEST(a_season_of_zeros_has_a_limit_and_no_dates) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_result result;
  struct isw_normals normals = hand_constant_normals(35.0, 40.0);
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, &result);
  ck_assert_int_eq(result.score_tenths, 0);
  ck_assert_int_eq(result.best_sow_day, -1);
  ck_assert_int_eq(result.growing_days, 0);
  ck_assert_int_eq(result.limit, 2); /* leaf too warm */
  normals = hand_constant_normals(12.0, 16.0);
  for (int k = 0; k < 2; k++) hand.varieties[0].stages[k].dies_below_C = 12.0; /* each night 1/2 */
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, &result);
  ck_assert_int_eq(result.best_sow_day, -1);
  ck_assert_int_eq(result.limit, ISW_LIMIT_FROST);
  ck_assert_double_eq_tol(result.frost_risk, 1.0 - exp(-15.0), 1e-6);
  ck_assert_double_eq(result.bolt_risk, 0.0);
}
END_TEST

START_TEST(dates_wrap_at_new_year) {
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  hand.varieties[0].stages[1].transplant = true;
  hand.sheet.seasons[0].sow_from_day = 358; /* 25 December to 31 December */
  hand.sheet.seasons[0].sow_to_day = 364;
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(12.0, 18.0);
  struct isw_result result;
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, &result);
  ck_assert_int_eq(result.best_sow_day, 361);
  ck_assert_int_eq(result.transplant_day, 6);
  ck_assert_int_eq(result.harvest_day, 26);
  ck_assert_int_eq(result.cut_from_day, 23);
  ck_assert_int_eq(result.cut_to_day, 29);
  conditions.start = ISW_START_DIRECT;
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, &result);
  ck_assert_int_eq(result.transplant_day, -1);
  ck_assert_int_eq(result.harvest_day, 26);
}
END_TEST

/* The nursery's warmth is there for a nursery start and gone for a direct one. */
START_TEST(each_season_has_its_own_start) {
  static char nursery[] = "nursery", direct[] = "direct";
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  hand.sheet.n_shelters = 1;
  hand.sheet.shelters[0] = (struct isw_shelter){nursery, 16, INFINITY, INFINITY, INFINITY, NULL};
  hand.varieties[0].stages[0].shelter = 0;
  hand.varieties[0].stages[1].transplant = true;
  hand.sheet.n_seasons = 2;
  hand.sheet.seasons[1] = hand.sheet.seasons[0];
  hand.sheet.seasons[1].name = direct;
  hand.sheet.seasons[1].start = ISW_START_DIRECT;
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_normals normals = hand_constant_normals(8.0, 8.0);
  struct isw_result results[2];
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, results);
  ck_assert_int_eq(results[0].growing_days, 10 + 25); /* 10 days at 16, 20/0.8 at 8 */
  ck_assert_int_eq(results[0].transplant_day, 182 + 10);
  ck_assert_int_eq(results[1].growing_days, 13 + 25); /* 10/0.8 = 12.5 days */
  ck_assert_int_eq(results[1].transplant_day, -1);
  conditions.grown_under = 0; /* and all of it under the nursery */
  hand_sheet_cell(&hand.sheet, &conditions, &normals, false, results);
  ck_assert_int_eq(results[0].growing_days, 30);
  ck_assert_int_eq(results[1].growing_days, 30);
}
END_TEST

/* A shelter for some seasons and varieties: the answers are those of the sheet with that shelter
 * for all where it is used, and those of the sheet without it elsewhere, to the last bit. */
START_TEST(a_shelter_of_a_few_is_one_of_two_sheets) {
  static char cover[] = "cover", spring[] = "spring", autumn[] = "autumn";
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_result results[3][4];
  enum { LISTED, EVERYWHERE, NOWHERE };
  for (int sheet = LISTED; sheet <= NOWHERE; sheet++) {
    struct hand_sheet hand;
    hand_sheet_init(&hand);
    hand.sheet.n_shelters = 1;
    hand.sheet.shelters[0] = (struct isw_shelter){cover, 14, 3, 22, 2, NULL};
    hand.sheet.shelter_uses[0].only_in_seasons = sheet == LISTED;
    hand.sheet.shelter_uses[0].not_in_season[1] = sheet == LISTED;
    hand.sheet.shelter_uses[0].not_for_variety[0] = sheet == LISTED;
    hand.sheet.n_varieties = 2;
    for (int v = 0; v < 2; v++) {
      hand.varieties[v].stages[0].dies_below_C = -1.0;
      hand.varieties[v].stages[1].days = 20.0 + v;
      hand.varieties[v].stages[1].shelter = sheet == NOWHERE ? ISW_OPEN_GROUND : 0;
    }
    hand.sheet.n_seasons = 2;
    hand.sheet.seasons[0] = (struct isw_season){
        .name = spring, .sow_from_day = 30, .sow_to_day = 150, .preferred = {0, 1}};
    hand.sheet.seasons[1] = (struct isw_season){
        .name = autumn, .sow_from_day = 200, .sow_to_day = 320, .preferred = {0, 1}};
    hand_sheet_cell(&hand.sheet, &conditions, &two_seasons, false, results[sheet]);
  }
  for (int i = 0; i < 4; i++) {
    const bool used = i == 1 * 2 + 0; /* the second variety in spring */
    const struct isw_result *is = &results[LISTED][i];
    const struct isw_result *same = &results[used ? EVERYWHERE : NOWHERE][i];
    const struct isw_result *other = &results[used ? NOWHERE : EVERYWHERE][i];
    ck_assert_int_gt(is->score_tenths, 0);
    ck_assert_int_eq(is->score_tenths, same->score_tenths);
    ck_assert_int_eq(is->best_sow_day, same->best_sow_day);
    ck_assert_int_eq(is->window.from_day, same->window.from_day);
    ck_assert_int_eq(is->window.days, same->window.days);
    ck_assert_int_eq(is->growing_days, same->growing_days);
    ck_assert_int_eq(is->years, same->years);
    ck_assert_int_eq(is->limit, same->limit);
    ck_assert_double_eq(is->frost_risk, same->frost_risk);
    ck_assert(is->window.from_day != other->window.from_day ||
              is->window.days != other->window.days);
  }
}
END_TEST

/* A chosen few come out the same as among all, in sheet order. */
START_TEST(a_choice_of_varieties_and_seasons) {
  static char spring[] = "spring", autumn[] = "autumn";
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  hand.sheet.n_varieties = 3;
  for (int v = 0; v < 3; v++) hand.varieties[v].stages[1].days = 20.0 + 5.0 * v;
  hand.sheet.n_seasons = 3;
  hand.sheet.seasons[1] = (struct isw_season){
      .name = spring, .sow_from_day = 30, .sow_to_day = 150, .preferred = {0, 1, 2}};
  hand.sheet.seasons[2] = (struct isw_season){
      .name = autumn, .sow_from_day = 200, .sow_to_day = 320, .preferred = {0, 1, 2}};
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_result all[9], few[4];
  hand_sheet_cell(&hand.sheet, &conditions, &two_seasons, false, all);
  static struct isw_plan plan;
  static struct isw_growth_workspace workspace;
  static const int varieties[] = {2, 0, 2}, seasons[] = {2, 1};
  isw_growth_make_plan(&hand.sheet, &conditions, 3, varieties, 2, seasons, &plan);
  ck_assert_int_eq(plan.n_varieties, 2);
  ck_assert_int_eq(plan.n_seasons, 2);
  isw_growth_start_workspace(&plan, &workspace);
  isw_growth_cell(&workspace, &two_seasons, false, few);
  static const int same[4] = {0 * 3 + 1, 0 * 3 + 2, 2 * 3 + 1, 2 * 3 + 2};
  for (int i = 0; i < 4; i++) {
    ck_assert_int_gt(few[i].score_tenths, 0);
    ck_assert_int_eq(few[i].score_tenths, all[same[i]].score_tenths);
    ck_assert_int_eq(few[i].best_sow_day, all[same[i]].best_sow_day);
    ck_assert_int_eq(few[i].window.from_day, all[same[i]].window.from_day);
    ck_assert_int_eq(few[i].window.days, all[same[i]].window.days);
    ck_assert_int_eq(few[i].harvest_day, all[same[i]].harvest_day);
    ck_assert_int_eq(few[i].limit, all[same[i]].limit);
  }
  ck_assert_int_ne(few[0].harvest_day, few[2].harvest_day);
}
END_TEST

/* A season's best day and window, found again by looking at every sowing day the door tells. */
START_TEST(the_cell_agrees_with_its_days) {
  enum { FROM = 30, TO = 150 };
  struct hand_sheet hand;
  hand_sheet_init(&hand);
  for (int k = 0; k < 2; k++) hand.varieties[0].stages[k].dies_below_C = -3.0;
  hand.sheet.seasons[0].sow_from_day = FROM;
  hand.sheet.seasons[0].sow_to_day = TO;
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.warmer_K = 0.5 * (_i - 6);
  static struct isw_plan plan;
  static struct isw_growth_workspace workspace;
  static struct isw_scores scores;
  struct isw_result result;
  isw_growth_make_plan(&hand.sheet, &conditions, 0, NULL, 0, NULL, &plan);
  isw_growth_start_workspace(&plan, &workspace);
  isw_growth_score_year(&workspace, &two_seasons, 0, &scores);
  isw_growth_cell(&workspace, &two_seasons, false, &result);
  int most = 0, highest = 0, good = 0;
  for (int day = FROM; day <= TO; day++) {
    if (!scores.good[day] || scores.years[day] < most) continue;
    if (scores.years[day] > most || scores.score_tenths[day] > highest)
      highest = scores.score_tenths[day];
    most = scores.years[day];
  }
  ck_assert_int_gt(result.window.days, 7);
  ck_assert_int_ge(result.window.from_day, FROM);
  ck_assert_int_le(result.window.to_day, TO);
  ck_assert_int_eq(result.years, most);
  ck_assert_int_eq(scores.years[result.best_sow_day], most);
  ck_assert_int_eq(result.score_tenths, scores.score_tenths[result.best_sow_day]);
  ck_assert_int_le(highest - result.score_tenths, 10);
  ck_assert_int_eq(result.growing_days, scores.growing_days[result.best_sow_day]);
  for (int day = result.window.from_day; day <= result.window.to_day; day++)
    good += scores.good[day];
  ck_assert_int_eq(good, result.window.days);
  ck_assert(result.window.from_day == FROM || !scores.good[result.window.from_day - 1]);
  ck_assert(result.window.to_day == TO || !scores.good[result.window.to_day + 1]);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("cell");
  TCase *cell = tcase_create("cell");
  tcase_add_loop_test(cell, constant_climate_is_good_all_year, 0, 2);
  tcase_add_test(cell, a_shelter_of_a_few_is_one_of_two_sheets);
  tcase_add_test(cell, never_matures);
  tcase_add_test(cell, a_season_of_zeros_has_a_limit_and_no_dates);
  tcase_add_test(cell, dates_wrap_at_new_year);
  tcase_add_test(cell, each_season_has_its_own_start);
  tcase_add_test(cell, a_choice_of_varieties_and_seasons);
  tcase_add_loop_test(cell, the_cell_agrees_with_its_days, 0, 13);
  suite_add_tcase(suite, cell);
  return suite;
}

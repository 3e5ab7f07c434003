/* The year in one line and what lies beyond a season: worked by hand on made-up answers (the rules
 * are docs/site.md's and docs/method.md's). */
#include "made_place.h"
#include "suite_main.h"
#include "survey/place_types.h"

static void check_run(const struct isw_dated_type *run, int variety, int from_day, int to_day,
                      bool follows) {
  ck_assert_int_eq(run->variety, variety);
  ck_assert_int_eq(run->from_day, from_day);
  ck_assert_int_eq(run->to_day, to_day);
  ck_assert_int_eq(run->days, isw_base_days_forward(from_day, to_day) + 1);
  ck_assert_int_eq(run->follows, follows);
}

START_TEST(types_follow_each_other) {
  struct made made = make_place(false);
  struct isw_year_types types;
  /* Spring prefers b: it has the days that both have. Across the seasons' end a goes on. */
  give_window(&made, A, SPRING, on(3, 1), 76); /* to 15 May */
  give_window(&made, B, SPRING, on(3, 20), 10);
  give_window(&made, A, SUMMER, on(5, 16), 5);
  give_window(&made, A, AUTUMN, on(8, 10), 3);
  give_window(&made, B, AUTUMN, on(8, 11), 4);
  isw_survey_list_types(&made.plan, made.place, &types);
  ck_assert_int_eq(types.first_day, 0);
  ck_assert_int_eq(types.n_runs, 5);
  check_run(&types.runs[0], A, on(3, 1), on(3, 19), false);
  check_run(&types.runs[1], B, on(3, 20), on(3, 29), true);
  check_run(&types.runs[2], A, on(3, 30), on(5, 20), true); /* one run over two seasons */
  check_run(&types.runs[3], A, on(8, 10), on(8, 12), false);
  check_run(&types.runs[4], B, on(8, 13), on(8, 14), true);
  ck_assert_int_eq(types.of_day[on(7, 10)], -1); /* no season there */
  forget_place(&made);
}
END_TEST

START_TEST(what_crosses_the_years_end_is_told_last_and_whole) {
  struct made made = make_place(false);
  struct isw_year_types types;
  give_window(&made, A, SPRING, on(1, 1), 31);
  give_window(&made, A, AUTUMN, on(10, 1), 92); /* to 31 December */
  give_window(&made, B, SUMMER, on(6, 1), 2);
  isw_survey_list_types(&made.plan, made.place, &types);
  ck_assert_int_eq(types.n_runs, 2);
  check_run(&types.runs[0], B, on(6, 1), on(6, 2), false);
  check_run(&types.runs[1], A, on(10, 1), on(1, 31), false);
  forget_place(&made);
}
END_TEST

START_TEST(a_southern_year_begins_with_its_first_season) {
  struct made made = make_place(true);
  struct isw_year_types types;
  isw_survey_list_types(&made.plan, made.place, &types);
  ck_assert_int_eq(types.first_day, on(7, 1)); /* 1 January + 182 days is 2 July */
  ck_assert_int_eq(types.n_runs, 0);
  forget_place(&made);
}
END_TEST

/* Good days from 10 April to 20 June; spring ends on 15 May. Scores in tenths, years 9 unless said.
 */
START_TEST(the_day_beyond_is_the_middle_of_a_flat_top) {
  struct made made = make_place(false);
  struct isw_scores *scores = &made.place->scores[made.plan.programme_of[A][SPRING]];
  for (int day = on(4, 10); day <= on(6, 20); day++) {
    scores->good[day] = true;
    scores->years[day] = 9;
    scores->score_tenths[day] = 800;
  }
  for (int day = on(6, 1); day <= on(6, 4); day++) scores->score_tenths[day] = 900;
  scores->score_tenths[on(6, 5)] = 891;  /* 0.9 below: still top */
  scores->score_tenths[on(5, 31)] = 889; /* 1.1 below: not */
  scores->score_tenths[on(6, 10)] = 990;
  scores->years[on(6, 10)] = 8; /* fewer years: not better */
  ck_assert_int_eq(isw_survey_day_beyond(&made.plan, made.place, A, SPRING, true), -1);
  result_at(&made, A, SPRING)->edge = ISW_EDGE_GOES_ON_AFTER | ISW_EDGE_BETTER_AFTER;
  /* 1-5 June: five days, the middle is the third */
  ck_assert_int_eq(isw_survey_day_beyond(&made.plan, made.place, A, SPRING, true), on(6, 3));
  scores->score_tenths[on(6, 5)] = 800; /* 1-4 June: the earlier of the two in the middle */
  ck_assert_int_eq(isw_survey_day_beyond(&made.plan, made.place, A, SPRING, true), on(6, 2));
  ck_assert_int_eq(isw_survey_day_beyond(&made.plan, made.place, A, SPRING, false), -1);
  /* And seen from summer, backward: 10 April to 15 May, all alike; the middle of 36 days. */
  result_at(&made, A, SUMMER)->edge = ISW_EDGE_GOES_ON_BEFORE;
  ck_assert_int_eq(isw_survey_day_beyond(&made.plan, made.place, A, SUMMER, false), on(4, 10) + 17);
  forget_place(&made);
}
END_TEST

START_TEST(another_type_must_be_ten_points_better) {
  struct made made = make_place(false);
  result_at(&made, A, SUMMER)->score_tenths = 800;
  give_window(&made, A, SUMMER, on(6, 1), 8);
  result_at(&made, B, SUMMER)->score_tenths = 900;
  ck_assert_int_eq(isw_survey_better_type(&made.plan, made.place, A, SUMMER), -1); /* no window */
  give_window(&made, B, SUMMER, on(6, 1), 1);
  ck_assert_int_eq(isw_survey_better_type(&made.plan, made.place, A, SUMMER), B);
  result_at(&made, B, SUMMER)->score_tenths = 899;
  ck_assert_int_eq(isw_survey_better_type(&made.plan, made.place, A, SUMMER), -1);
  forget_place(&made);
}
END_TEST

START_TEST(odds_span_the_window) {
  struct made made = make_place(false);
  struct isw_scores *scores = &made.place->scores[made.plan.programme_of[A][AUTUMN]];
  give_window(&made, A, AUTUMN, on(12, 30), 3); /* across New Year */
  double frost[3] = {0.1, 0.3, 0.2}, bolt[3] = {0.0, 0.05, 0.4};
  for (int i = 0; i < 3; i++) {
    scores->survive[isw_base_wrap_day(on(12, 30) + i)] = 1 - frost[i];
    scores->stay[isw_base_wrap_day(on(12, 30) + i)] = 1 - bolt[i];
  }
  struct isw_result *r = result_at(&made, A, AUTUMN);
  r->frost_risk = frost[2];
  r->bolt_risk = bolt[1];
  struct isw_risk_range odds = isw_survey_risk_range(&made.plan, made.place, A, AUTUMN);
  ck_assert_double_eq_tol(odds.frost_least, 0.1, 1e-12);
  ck_assert_double_eq_tol(odds.frost_most, 0.3, 1e-12);
  ck_assert_double_eq_tol(odds.bolt_least, 0.0, 1e-12);
  ck_assert_double_eq_tol(odds.bolt_most, 0.4, 1e-12);
  r->window.days = 0;
  odds = isw_survey_risk_range(&made.plan, made.place, A, AUTUMN);
  ck_assert_double_eq_tol(odds.frost_least, 0.2, 1e-12);
  ck_assert_double_eq_tol(odds.bolt_most, 0.05, 1e-12);
  forget_place(&made);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("place types");
  TCase *core = tcase_create("place types");
  tcase_add_test(core, types_follow_each_other);
  tcase_add_test(core, what_crosses_the_years_end_is_told_last_and_whole);
  tcase_add_test(core, a_southern_year_begins_with_its_first_season);
  tcase_add_test(core, the_day_beyond_is_the_middle_of_a_flat_top);
  tcase_add_test(core, another_type_must_be_ten_points_better);
  tcase_add_test(core, odds_span_the_window);
  suite_add_tcase(suite, core);
  return suite;
}

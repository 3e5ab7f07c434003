/* What is said of a place, worked by hand on made-up answers (docs/site.md says what a card says).
 */
#include "made_place.h"
#include "suite_main.h"
#include "words/place_words.h"

static struct isw_words_place about(struct made *made) {
  return (struct isw_words_place){&made->plan, made->place, false};
}

static void check(char *said, const char *wanted) {
  if (wanted == NULL)
    ck_assert_ptr_null(said);
  else
    ck_assert_str_eq(said, wanted);
  g_free(said);
}

START_TEST(a_window_its_best_day_and_its_years) {
  struct made made = make_place(false);
  struct isw_result *r = result_at(&made, A, AUTUMN);
  give_window(&made, A, AUTUMN, on(8, 5), 19);
  r->best_sow_day = on(8, 13);
  r->years = 9;
  check(isw_words_sowing(r),
        "Sow 5 August to 23 August (19 days), best 13 August. Good in 9 of 10 years.");
  r->years = -1; /* --years 0 */
  check(isw_words_sowing(r), "Sow 5 August to 23 August (19 days), best 13 August.");
  give_window(&made, A, AUTUMN, on(8, 13), 1);
  r->years = 7;
  check(isw_words_sowing(r), "Sow on 13 August (1 day). Good in 7 of 10 years.");
  r->window = (struct isw_window){-1, -1, 0};
  r->years = 4;
  check(isw_words_sowing(r),
        "Risky: no window. The best day to sow is 13 August. Good in 4 of 10 years.");
  r->years = 0;
  check(isw_words_years(r), "Good in none of 10 years.");
  r->window = (struct isw_window){0, 364, 365};
  r->years = 10;
  check(isw_words_sowing(r), "Sow on any day of the year, best 13 August. Good in 10 of 10 years.");
  forget_place(&made);
}
END_TEST

START_TEST(the_cut_from_first_to_last) {
  struct made made = make_place(false);
  struct isw_result *r = result_at(&made, A, AUTUMN);
  give_window(&made, A, AUTUMN, on(8, 5), 19);
  r->transplant_day = on(9, 3);
  r->harvest_day = on(10, 30);
  r->cut_from_day = on(10, 21);
  r->cut_to_day = on(11, 14);
  check(isw_words_growing(r),
        "Transplant about 3 September. Cut between 21 October and 14 November.");
  r->transplant_day = -1;
  r->cut_to_day = r->cut_from_day;
  check(isw_words_growing(r), "Cut about 30 October.");
  forget_place(&made);
}
END_TEST

START_TEST(beyond_the_seasons_ends) {
  struct made made = make_place(false);
  struct isw_words_place place = about(&made);
  struct isw_scores *scores = &made.place->scores[made.plan.programme_of[A][SUMMER]];
  for (int day = on(5, 1); day <= on(7, 9); day++) {
    scores->good[day] = true;
    scores->years[day] = 8;
    scores->score_tenths[day] = 800;
  }
  scores->score_tenths[on(7, 7)] = 850;
  scores->score_tenths[on(5, 4)] = 850;
  struct isw_result *r = result_at(&made, A, SUMMER);
  check(isw_words_edge(&place, A, SUMMER), NULL);
  r->edge = ISW_EDGE_GOES_ON_BEFORE;
  check(isw_words_edge(&place, A, SUMMER), "Good days begin in spring already.");
  r->edge = ISW_EDGE_GOES_ON_BEFORE | ISW_EDGE_BETTER_BEFORE;
  check(isw_words_edge(&place, A, SUMMER),
        "Good days begin in spring already. Better still earlier: 4 May (spring).");
  /* July is in no season of this sheet */
  r->edge = ISW_EDGE_GOES_ON_AFTER;
  check(isw_words_edge(&place, A, SUMMER), "Goes on after this season.");
  r->edge = ISW_EDGE_GOES_ON_BEFORE | ISW_EDGE_GOES_ON_AFTER | ISW_EDGE_BETTER_AFTER;
  check(
      isw_words_edge(&place, A, SUMMER),
      "Good days begin in spring already. Goes on after this season. Better still later: 7 July.");
  result_at(&made, A, SPRING)->edge = ISW_EDGE_GOES_ON_AFTER | ISW_EDGE_BETTER_AFTER;
  check(isw_words_edge(&place, A, SPRING), "Goes on into summer. Better still later: 7 July.");
  forget_place(&made);
}
END_TEST

START_TEST(the_year_in_one_line) {
  struct made made = make_place(false);
  struct isw_words_place place = about(&made);
  struct isw_year_types types;
  isw_survey_list_types(&made.plan, made.place, &types);
  check(isw_words_types(&place, &types), "On no day of the year is anything worth sowing.");
  give_window(&made, A, SPRING, on(3, 1), 1);
  give_window(&made, B, SUMMER, on(6, 1), 10);
  give_window(&made, A, SUMMER, on(5, 20), 20);
  isw_survey_list_types(&made.plan, made.place, &types);
  /* summer has sheet order: a before b */
  check(isw_words_types(&place, &types), "1 Mar a; 20 May-8 Jun a, to 10 Jun b.");
  forget_place(&made);
}
END_TEST

START_TEST(another_type_and_the_odds) {
  struct made made = make_place(false);
  struct isw_words_place place = about(&made);
  struct isw_result *a = result_at(&made, A, AUTUMN), *b = result_at(&made, B, AUTUMN);
  give_window(&made, A, AUTUMN, on(8, 10), 2);
  give_window(&made, B, AUTUMN, on(8, 1), 9);
  a->score_tenths = 801;
  b->score_tenths = 900;
  check(isw_words_better_type(&place, A, AUTUMN), NULL);
  b->score_tenths = 901;
  check(isw_words_better_type(&place, A, AUTUMN),
        "b promises more: score 90 of 100, sown 1 August to 9 August.");
  struct isw_scores *scores = &made.place->scores[made.plan.programme_of[A][AUTUMN]];
  scores->survive[on(8, 10)] = 0.999;
  scores->survive[on(8, 11)] = 0.9;
  a->frost_risk = 0.05;
  check(isw_words_risks(&place, A, AUTUMN), "Frost does not come into it."); /* no stage dies */
  made.plan.sheet->varieties[made.plan.varieties[A]].stages[0].dies_below_C = -2;
  check(isw_words_risks(&place, A, AUTUMN), "Frost rare to at times (0.1 to 10.0 %).");
  scores->survive[on(8, 11)] = 0.9991; /* as printed the same: told once */
  a->frost_risk = 0.001;
  check(isw_words_risks(&place, A, AUTUMN), "Frost rare (0.1 %).");
  forget_place(&made);
}
END_TEST

START_TEST(a_season_without_a_pick) {
  struct made made = make_place(false);
  struct isw_words_place place = about(&made);
  struct isw_result *a = result_at(&made, A, SUMMER), *b = result_at(&made, B, SUMMER);
  check(isw_words_no_pick(&place, SUMMER), "Nothing to sow: no variety gets ready.");
  a->limit = b->limit = 1;
  check(isw_words_no_pick(&place, SUMMER), "Nothing to sow: the growing stage passes in the cold.");
  /* Years before the score. */
  a->best_sow_day = b->best_sow_day = on(6, 3);
  a->score_tenths = 800;
  b->score_tenths = 620;
  b->years = 2;
  check(isw_words_no_pick(&place, SUMMER),
        "Nothing to sow. The nearest is b on 3 June. Good in 2 of 10 years. Score 62 of 100, weak; "
        "the weak point: the growing stage passes in the cold.");
  b->score_tenths = 4;
  check(isw_words_no_pick(&place, SUMMER), "Nothing to sow: the growing stage passes in the cold.");
  made.plan.conditions.cut_from_day = on(11, 1);
  made.plan.conditions.cut_to_day = on(11, 30);
  a->best_sow_day = b->best_sow_day = -1;
  a->limit = b->limit = ISW_LIMIT_CUT_OUTSIDE;
  check(isw_words_no_pick(&place, SUMMER),
        "Nothing to sow: no sowing here is cut between 1 November and 30 November.");
  forget_place(&made);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("place words");
  TCase *core = tcase_create("place words");
  tcase_add_test(core, a_window_its_best_day_and_its_years);
  tcase_add_test(core, the_cut_from_first_to_last);
  tcase_add_test(core, beyond_the_seasons_ends);
  tcase_add_test(core, the_year_in_one_line);
  tcase_add_test(core, another_type_and_the_odds);
  tcase_add_test(core, a_season_without_a_pick);
  suite_add_tcase(suite, core);
  return suite;
}

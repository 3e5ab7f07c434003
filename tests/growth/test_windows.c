/* Seasons, best days and windows on scores made by hand. */
#include <stdlib.h>

#include "growth/windows.h"
#include "plain_path.h"
#include "suite_main.h"

enum { PIECES_MAX = 5 };
/* Days from..to (inclusive, wrapping) with this score; good where it is 700 or more. Negative: that
 * score, but not good whatever it is (frost or bolting). */
struct piece {
  int from, to, tenths;
};

static void make_scores(const struct piece pieces[PIECES_MAX], struct isw_scores *scores) {
  *scores = (struct isw_scores){0};
  for (int p = 0; p < PIECES_MAX && pieces[p].tenths != 0; p++)
    for (int i = 0; i <= isw_base_days_forward(pieces[p].from, pieces[p].to); i++) {
      int day = isw_base_wrap_day(pieces[p].from + i);
      scores->score_tenths[day] = (int16_t)abs(pieces[p].tenths);
      scores->growing_days[day] = 80;
      scores->good[day] = pieces[p].tenths >= 700;
    }
}

static const struct {
  const char *why;
  int season_from, season_to;
  struct piece pieces[PIECES_MAX];
  int best, window_from, window_to, window_days;
} cases[] = {
    {"one run", 100, 200, {{120, 130, 800}}, 120, 120, 130, 11},
    {"the first of equal scores", 100, 200, {{120, 130, 800}, {150, 160, 800}}, 120, 120, 130, 11},
    {"the highest score", 100, 200, {{120, 130, 800}, {150, 160, 801}}, 150, 150, 160, 11},
    {"peak inside its run", 100, 200, {{120, 130, 800}, {125, 125, 950}}, 125, 120, 130, 11},
    {"the window reaches past the season", 100, 200, {{90, 210, 800}}, 100, 90, 210, 121},
    {"a better day outside the season does not count",
     100,
     200,
     {{95, 110, 800}, {96, 96, 990}},
     100,
     95,
     110,
     16},
    {"season across New Year, ties in season order", 350, 20, {{360, 5, 750}}, 360, 360, 5, 11},
    {"season across New Year, best after it", 350, 20, {{360, 5, 750}, {3, 3, 900}}, 3, 360, 5, 11},
    {"season across New Year, tie on both sides",
     350,
     20,
     {{2, 4, 900}, {355, 357, 900}},
     355,
     355,
     357,
     3},
    {"window across New Year from a spring season", 0, 134, {{300, 30, 800}}, 0, 300, 30, 96},
    {"a good day wins over a better one that is not good",
     100,
     200,
     {{120, 130, 710}, {150, 160, -900}},
     120,
     120,
     130,
     11},
    {"without good days the highest score",
     100,
     200,
     {{120, 130, 500}, {140, 141, 699}},
     140,
     -1,
     -1,
     0},
    {"high scores that freeze give a day, no window", 100, 200, {{150, 160, -900}}, 150, -1, -1, 0},
    {"good days elsewhere are another season's",
     100,
     200,
     {{120, 130, 300}, {250, 260, 900}},
     120,
     -1,
     -1,
     0},
    {"all the year good", 100, 200, {{0, 364, 800}}, 100, 0, 364, 365},
    {"all but one day", 100, 200, {{51, 49, 800}}, 100, 51, 49, 364},
    {"one day", 100, 200, {{150, 150, 700}}, 150, 150, 150, 1},
    {"one day, at the season's end", 100, 200, {{200, 200, 700}}, 200, 200, 200, 1},
    {"the day after the season", 100, 200, {{201, 201, 700}}, -1, -1, -1, 0},
    {"nothing", 100, 200, {{0, 0, 0}}, -1, -1, -1, 0},
};

START_TEST(best_day_and_window) {
  struct isw_season season = {.sow_from_day = cases[_i].season_from,
                              .sow_to_day = cases[_i].season_to};
  struct isw_scores scores;
  make_scores(cases[_i].pieces, &scores);
  int fallback, best = plain_best_day(&scores, isw_growth_season_days(&season, false), &fallback);
  ck_assert_msg(best == cases[_i].best, "%s: best %d", cases[_i].why, best);
  if (best < 0 || !scores.good[best]) {
    ck_assert_msg(cases[_i].window_days == 0, "%s", cases[_i].why);
    return;
  }
  struct isw_window window = isw_growth_run_around(scores.good, best);
  ck_assert_msg(window.from_day == cases[_i].window_from, "%s: from %d", cases[_i].why,
                window.from_day);
  ck_assert_msg(window.to_day == cases[_i].window_to, "%s: to %d", cases[_i].why, window.to_day);
  ck_assert_msg(window.days == cases[_i].window_days, "%s: days %d", cases[_i].why, window.days);
}
END_TEST

/* From any of its days a run is the same. */
START_TEST(a_run_is_the_same_from_each_day) {
  struct isw_scores scores;
  struct piece pieces[PIECES_MAX] = {{340, 40, 800}, {100, 120, 800}};
  make_scores(pieces, &scores);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    if (!scores.good[day]) continue;
    struct isw_window window = isw_growth_run_around(scores.good, day);
    bool summer = day >= 100 && day <= 120;
    ck_assert_int_eq(window.from_day, summer ? 100 : 340);
    ck_assert_int_eq(window.to_day, summer ? 120 : 40);
    ck_assert_int_eq(window.days, summer ? 21 : 66);
  }
}
END_TEST

/* Where every score is 0 the maturing day with the largest least fit speaks for the season. */
START_TEST(fallback_of_a_season_without_scores) {
  struct isw_scores scores = {0};
  struct isw_season season = {.sow_from_day = 340, .sow_to_day = 30};
  struct isw_window days = isw_growth_season_days(&season, false);
  int fallback;
  ck_assert_int_eq(plain_best_day(&scores, days, &fallback), -1);
  ck_assert_int_eq(fallback, -1);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) scores.least_fit[day] = 0.9;
  ck_assert_int_eq(plain_best_day(&scores, days, &fallback), -1);
  ck_assert_int_eq(fallback, -1); /* a fit is no fit when nothing matures */
  static const struct {
    int day;
    double least_fit;
  } maturing[] = {{350, 0.0}, {10, 0.4}, {355, 0.4}, {100, 0.8}};
  static const int expected[] = {350, 10, 355, 355}; /* 100 is outside the season */
  for (int i = 0; i < 4; i++) {
    scores.growing_days[maturing[i].day] = 90;
    scores.least_fit[maturing[i].day] = maturing[i].least_fit;
    ck_assert_int_eq(plain_best_day(&scores, days, &fallback), -1);
    ck_assert_int_eq(fallback, expected[i]);
  }
}
END_TEST

static const struct {
  int from, to, south_from, south_to, days;
} hemispheres[] = {
    {0, 134, 182, 316, 135},  /* 1 January - 15 May: 2 July - 13 November */
    {135, 195, 317, 12, 61},  /* 16 May - 15 July: across New Year */
    {196, 364, 13, 181, 169}, /* 16 July - 31 December */
    {300, 60, 117, 242, 126}, /* across New Year in the north */
    {0, 364, 182, 181, 365},  /* all year */
    {364, 364, 181, 181, 1},
};

START_TEST(southern_seasons_are_182_days_later) {
  struct isw_season season = {.sow_from_day = hemispheres[_i].from,
                              .sow_to_day = hemispheres[_i].to};
  struct isw_window north = isw_growth_season_days(&season, false);
  struct isw_window south = isw_growth_season_days(&season, true);
  ck_assert_int_eq(north.from_day, hemispheres[_i].from);
  ck_assert_int_eq(north.to_day, hemispheres[_i].to);
  ck_assert_int_eq(south.from_day, hemispheres[_i].south_from);
  ck_assert_int_eq(south.to_day, hemispheres[_i].south_to);
  ck_assert_int_eq(north.days, hemispheres[_i].days);
  ck_assert_int_eq(south.days, hemispheres[_i].days);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("windows");
  TCase *windows = tcase_create("windows");
  tcase_add_loop_test(windows, best_day_and_window, 0, (int)(sizeof cases / sizeof cases[0]));
  tcase_add_test(windows, a_run_is_the_same_from_each_day);
  tcase_add_test(windows, fallback_of_a_season_without_scores);
  tcase_add_loop_test(windows, southern_seasons_are_182_days_later, 0,
                      (int)(sizeof hemispheres / sizeof hemispheres[0]));
  suite_add_tcase(suite, windows);
  return suite;
}

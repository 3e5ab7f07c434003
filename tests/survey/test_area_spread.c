/* Quantiles by area, and medians around the year: worked out by hand. */
#include "suite_main.h"
#include "survey/area_spread.h"

enum { PARTS_MAX = 6 };

static const struct {
  const char *why;
  int n;
  struct {
    int value;
    double area_m2;
  } parts[PARTS_MAX];
  int lower, median, upper, circular;
} cases[] = {
    {"one value", 1, {{7, 2}}, 7, 7, 7, 7},
    {"equal areas: the first that reaches half", 4, {{1, 1}, {2, 1}, {3, 1}, {4, 1}}, 1, 2, 3, 2},
    {"odd count", 3, {{5, 1}, {9, 1}, {6, 1}}, 5, 6, 9, 6},
    {"area decides, not count", 3, {{1, 1}, {2, 1}, {50, 10}}, 50, 50, 50, 50},
    {"exactly a quarter", 3, {{10, 25}, {20, 50}, {30, 25}}, 10, 20, 20, 20},
    {"no area counts for nothing", 3, {{1, 0}, {8, 1}, {2, -3}}, 8, 8, 8, 8},
    {"the same value twice", 3, {{4, 1}, {9, 1.5}, {4, 1}}, 4, 4, 9, 4},
    /* 170 + 180 - 180 days: on the circle 180, -180 (185) and 170 lie within 15 days. */
    {"shifts of half a year", 3, {{170, 1}, {180, 1}, {-180, 1}}, -180, 170, 180, 180},
    /* 360, 363 and 2: around New Year the middle one is 363. */
    {"across New Year", 3, {{360, 1}, {363, 1}, {2, 1}}, 2, 360, 363, 363},
    {"no shift between two", 3, {{-20, 1}, {0, 1}, {30, 1}}, -20, 0, 30, 0},
    {"a tie goes to the smaller shift", 2, {{10, 1}, {20, 1}}, 10, 10, 20, 10},
};

START_TEST(by_hand) {
  struct isw_area_spread spread = {NULL};
  for (int i = 0; i < cases[_i].n; i++)
    isw_survey_add_to_spread(&spread, cases[_i].parts[i].value, cases[_i].parts[i].area_m2);
  int lower = -999, median = -999, upper = -999, circular = -999;
  ck_assert(isw_survey_spread_quantile(&spread, 0.25, &lower));
  ck_assert(isw_survey_spread_quantile(&spread, 0.5, &median));
  ck_assert(isw_survey_spread_quantile(&spread, 0.75, &upper));
  ck_assert(isw_survey_spread_circular_median(&spread, &circular));
  ck_assert_msg(lower == cases[_i].lower && median == cases[_i].median &&
                    upper == cases[_i].upper && circular == cases[_i].circular,
                "%s: got %d %d %d, circular %d", cases[_i].why, lower, median, upper, circular);
  isw_survey_clear_spread(&spread);
}
END_TEST

START_TEST(nothing_added) {
  struct isw_area_spread spread = {NULL};
  int value;
  ck_assert(!isw_survey_spread_quantile(&spread, 0.5, &value));
  ck_assert(!isw_survey_spread_circular_median(&spread, &value));
  ck_assert_double_eq(isw_survey_spread_m2(&spread), 0.0);
  isw_survey_clear_spread(&spread);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("area spread");
  TCase *tests = tcase_create("area spread");
  tcase_add_loop_test(tests, by_hand, 0, sizeof cases / sizeof cases[0]);
  tcase_add_test(tests, nothing_added);
  suite_add_tcase(suite, tests);
  return suite;
}

/* Types of dates, worked by hand after the method's definition: the type of a date is the first
 * variety, in the season's order, whose window holds it; a region's date has a type where at least
 * half of its area can sow. */
#include <glib.h>

#include "guide/type_days.h"
#include "suite_main.h"

enum { VARIETIES = 3 };
static struct isw_sheet *sheet;
static struct isw_plan *plan;

/* Three of the built-in sheet's varieties in its autumn, whose order is the sheet's. */
static void start(void) {
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_crop_load_sheet("napa-cabbage", &sheet, &error) == ISW_OK, "%s", error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  int varieties[] = {0, 1, 3}, season = 2;
  plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(sheet, &conditions, VARIETIES, varieties, 1, &season, plan);
  ck_assert_str_eq(sheet->seasons[season].name, "autumn");
  for (int i = 0; i < sheet->n_varieties; i++)
    ck_assert_int_eq(sheet->seasons[season].preferred[i], i);
}

static void end(void) {
  g_free(plan);
  isw_crop_free_sheet(sheet);
}

static const struct {
  const char *what;
  struct isw_window season, windows[VARIETIES];
  int n;
  struct isw_type_days_run runs[4];
} cells[] = {
    {"one after the other",
     {200, 364, 165},
     {{210, 219, 10}, {205, 229, 25}, {220, 239, 20}},
     4,
     {{1, 5, 9}, {0, 10, 19}, {1, 20, 29}, {2, 30, 39}}},
    {"the first covers all",
     {200, 364, 165},
     {{205, 239, 35}, {210, 219, 10}, {-1, -1, 0}},
     1,
     {{0, 5, 39}}},
    {"a gap",
     {200, 364, 165},
     {{200, 200, 1}, {-1, -1, 0}, {202, 203, 2}},
     2,
     {{0, 0, 0}, {2, 2, 3}}},
    {"over New Year",
     {300, 50, 116},
     {{360, 2, 8}, {-1, -1, 0}, {362, 9, 13}},
     2,
     {{0, 60, 67}, {2, 68, 74}}},
    {"beyond the season",
     {200, 364, 165},
     {{190, 209, 20}, {-1, -1, 0}, {360, 10, 16}},
     2,
     {{0, 0, 9}, {2, 160, 164}}},
    {"the whole year", {0, 364, 365}, {{-1, -1, 0}, {0, 364, 365}, {10, 20, 11}}, 1, {{1, 0, 364}}},
    {"nothing", {200, 364, 165}, {{-1, -1, 0}, {-1, -1, 0}, {-1, -1, 0}}, 0, {{0, 0, 0}}},
};

static void compare(const char *what, int n, const struct isw_type_days_run *runs, int wanted_n,
                    const struct isw_type_days_run *wanted) {
  ck_assert_msg(n == wanted_n, "%s: %d runs, not %d", what, n, wanted_n);
  for (int i = 0; i < n; i++)
    ck_assert_msg(
        runs[i].v == wanted[i].v && runs[i].from == wanted[i].from && runs[i].to == wanted[i].to,
        "%s: run %d is of %d, %d to %d", what, i, runs[i].v, runs[i].from, runs[i].to);
}

START_TEST(cell_reads_as_it_is_planted) {
  struct isw_type_days_run runs[ISW_CELL_RUNS_MAX];
  int n = isw_guide_find_cell_runs(plan, 0, cells[_i].season, cells[_i].windows, runs);
  compare(cells[_i].what, n, runs, cells[_i].n, cells[_i].runs);
}
END_TEST

/* Three cells of 4, 3 and 3 m2. Day 0-9: the first alone, 4 of 10, too little. Day 10-19: 4 of type
 * 0, 3 of type 2: type 0. Day 20-29: 4 of type 0 and 6 of type 2: type 2. Day 30-34: 3 + 3 of type
 * 2. Day 35-39: 3 of type 1 and 3 of type 2: the first in order. Then 3: too little. */
START_TEST(region_says_what_most_of_it_can_sow) {
  static const struct isw_type_days_run first[] = {{0, 0, 29}},
                                        second[] = {{2, 10, 34}, {1, 35, 44}},
                                        third[] = {{2, 20, 39}};
  static const struct isw_type_days_run wanted[] = {{0, 10, 19}, {2, 20, 34}, {1, 35, 39}};
  struct isw_type_days days = {.span_m2 = 0.0};
  struct isw_type_days_run runs[ISW_REGION_RUNS_MAX];
  isw_guide_add_cell_runs(&days, 1, first, 4.0);
  isw_guide_add_cell_runs(&days, 2, second, 3.0);
  isw_guide_add_cell_runs(&days, 1, third, 3.0);
  isw_guide_add_cell_runs(&days, 0, NULL, 5.0);
  ck_assert(days.span_m2 > 9.99 && days.span_m2 < 10.01);
  compare("ten", isw_guide_find_region_runs(plan, 0, &days, 10.0, runs), runs, 3, wanted);
  /* Of 20 m2 exactly half can sow, on days 20 to 29 only. */
  static const struct isw_type_days_run half[] = {{2, 20, 29}};
  compare("half", isw_guide_find_region_runs(plan, 0, &days, 20.0, runs), runs, 1, half);
  ck_assert_int_eq(isw_guide_find_region_runs(plan, 0, &days, 20.1, runs), 0);
  isw_guide_clear_type_days(&days);
  ck_assert_int_eq(isw_guide_find_region_runs(plan, 0, &days, 0.0, runs), 0);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("type_days");
  TCase *tests = tcase_create("type_days");
  tcase_add_checked_fixture(tests, start, end);
  tcase_add_loop_test(tests, cell_reads_as_it_is_planted, 0, (int)G_N_ELEMENTS(cells));
  tcase_add_test(tests, region_says_what_most_of_it_can_sow);
  suite_add_tcase(suite, tests);
  return suite;
}

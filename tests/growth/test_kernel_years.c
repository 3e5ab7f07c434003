/* The kernel's ten years, held against the kernel itself where it is simpler: the same place moved
 * as a whole, with no years counted; and a run in which every day is asked to the end. The plain
 * path is held against it in test_kernel.c. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "growth/cell.h"
#include "growth/kernel_room.h"
#include "kernel_cases.h"
#include "suite_main.h"

/* The middles of the ten tenths of the standard normal distribution, one side's. */
enum { SIDE_YEARS = 5 };
static const double year_z[SIDE_YEARS] = {0.12566, 0.38532, 0.67449, 1.03643, 1.64485};

struct bench {
  struct isw_plan plan;
  struct isw_growth_workspace counted, uncounted;
  struct isw_scores scores, moved[2 * SIDE_YEARS + 1]; /* coldest to warmest */
  struct isw_result results[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
  struct isw_result in_full[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
};

static struct isw_sheet *builtin_sheet(void) {
  struct isw_sheet *sheet = NULL;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  return sheet;
}

static struct isw_normals moved_by(const struct isw_normals *normals, double warmer_K) {
  struct isw_normals moved = *normals;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    moved.tmin_C[m] += warmer_K;
    moved.tmax_C[m] += warmer_K;
  }
  return moved;
}

/* One side from outside, as docs/method.md says. */
static int side_years(const struct bench *bench, int side, int day) {
  bool good[SIDE_YEARS + 1];
  for (int i = 1; i <= SIDE_YEARS; i++) good[i] = bench->moved[SIDE_YEARS + side * i].good[day];
  return good[5] ? 5 : good[3] ? (good[4] ? 4 : 3) : good[2] ? 2 : good[1] ? 1 : 0;
}

/* Returns how many of the normal year's good days differ. */
static int compare_days(struct bench *bench, const struct isw_normals *normals, int p,
                        long *compared) {
  const double spread_K =
      normals->has_year_spread ? normals->year_spread_K : bench->plan.conditions.year_spread_K;
  int differ = 0;
  for (int i = -SIDE_YEARS; i <= SIDE_YEARS; i++) {
    const double z = i == 0 ? 0.0 : i > 0 ? year_z[i - 1] : -year_z[-i - 1];
    const struct isw_normals moved = moved_by(normals, z * spread_K);
    isw_growth_score_year(&bench->uncounted, &moved, p, &bench->moved[SIDE_YEARS + i]);
  }
  isw_growth_score_year(&bench->counted, normals, p, &bench->scores);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    const bool good = bench->moved[SIDE_YEARS].good[day];
    const int years = good ? side_years(bench, 1, day) + side_years(bench, -1, day) : 0;
    *compared += good;
    differ += years != bench->scores.years[day];
    if (years == bench->scores.years[day])
      ck_assert(bench->scores.good[day] == (good && years >= bench->plan.conditions.least_years));
  }
  return differ;
}

static void start(struct bench *bench, const struct isw_sheet *sheet,
                  const struct isw_conditions *conditions) {
  static struct isw_plan uncounted;
  struct isw_conditions none = *conditions;
  none.least_years = 0;
  isw_growth_make_plan(sheet, &none, 0, NULL, 0, NULL, &uncounted);
  isw_growth_make_plan(sheet, conditions, 0, NULL, 0, NULL, &bench->plan);
  isw_growth_start_workspace(&bench->plan, &bench->counted);
  isw_growth_start_workspace(&uncounted, &bench->uncounted);
}

/* Only rounding can tell a moved day from a shifted one; it decided none of a million. */
static void check_years(struct bench *bench, int n_sheets, int n_places, bool random) {
  static struct random_sheet made;
  struct dice dice = {random ? 11 : 12};
  struct isw_sheet *builtin = builtin_sheet();
  long compared = 0, differ = 0;
  for (int s = 0; s < n_sheets; s++) {
    struct isw_conditions conditions = isw_growth_default_conditions();
    const struct isw_sheet *sheet = builtin;
    if (random) {
      random_sheet(&dice, dice_whole(&dice, 1, 16), dice_whole(&dice, 1, 20), &made);
      sheet = &made.sheet;
      conditions = random_conditions(&dice, sheet);
      conditions.has_cut = false;
      conditions.least_years = dice_whole(&dice, 1, 10);
      conditions.year_spread_K = dice_between(&dice, 0.0, 3.0);
    }
    start(bench, sheet, &conditions);
    for (int i = 0; i < n_places; i++) {
      const struct isw_normals normals = random_place(&dice);
      for (int p = 0; p < bench->plan.n_programmes; p++)
        differ += compare_days(bench, &normals, p, &compared);
    }
  }
  printf("%s: %ld good days, %ld have other years\n", random ? "random sheets" : "built-in sheet",
         compared, differ);
  ck_assert_int_gt(compared, 1000);
  ck_assert_int_le(differ, compared / 100000);
  isw_crop_free_sheet(builtin);
}

START_TEST(test_years_of_days) {
  struct bench *bench = calloc(1, sizeof *bench);
  check_years(bench, _i == 0 ? 1 : 200, _i == 0 ? 300 : 2, _i == 1);
  free(bench);
}
END_TEST

static bool same(const struct isw_result *a, const struct isw_result *b) {
  return a->score_tenths == b->score_tenths && a->best_sow_day == b->best_sow_day &&
         a->window.from_day == b->window.from_day && a->window.to_day == b->window.to_day &&
         a->window.days == b->window.days && a->years == b->years && a->edge == b->edge &&
         a->limit == b->limit && a->harvest_day == b->harvest_day &&
         a->cut_from_day == b->cut_from_day && a->cut_to_day == b->cut_to_day;
}

static void cell_in_full(struct isw_growth_workspace *workspace, const struct isw_normals *normals,
                         bool south, struct isw_result *results) {
  struct isw_kernel_room *room = isw_growth_room_of(workspace);
  const struct isw_kernel_recipe *recipe = &room->recipe;
  isw_growth_kernel_start_place(recipe, room->routines, normals, south, true, &room->tables);
  for (int i = 0; i < recipe->n_steps; i++) {
    const struct isw_kernel_step *step = &recipe->steps[i];
    isw_growth_kernel_do_step(recipe, room->routines, step, &room->tables);
    if (step->work != ISW_KERNEL_DO_YEARS) continue;
    const struct isw_kernel_batch batch = recipe->batches[step->what];
    for (int p = batch.first; p < batch.first + batch.n; p++)
      isw_growth_kernel_results(recipe, room->routines, p, south, &room->tables, results);
  }
}

/* Days that are not asked to the end must not matter to any season. */
START_TEST(test_what_is_not_asked_does_not_matter) {
  static struct random_sheet made;
  struct bench *bench = calloc(1, sizeof *bench);
  struct dice dice = {13};
  struct isw_sheet *builtin = builtin_sheet();
  int windows = 0, cut = 0;
  for (int s = 0; s < 400; s++) {
    const struct isw_sheet *sheet = builtin;
    struct isw_conditions conditions = isw_growth_default_conditions();
    if (s % 2 == 1) {
      random_sheet(&dice, dice_whole(&dice, 1, 16), dice_whole(&dice, 1, 20), &made);
      sheet = &made.sheet;
      conditions = random_conditions(&dice, sheet);
    }
    conditions.least_years = dice_whole(&dice, 1, 10);
    conditions.year_spread_K = dice_between(&dice, 0.0, 3.0);
    conditions.has_cut = dice_chance(&dice, 0.3);
    conditions.cut_from_day = dice_whole(&dice, 0, ISW_YEAR_DAYS - 1);
    conditions.cut_to_day = dice_whole(&dice, 0, ISW_YEAR_DAYS - 1);
    start(bench, sheet, &conditions);
    for (int i = 0; i < 4; i++) {
      const struct isw_normals normals = random_place(&dice);
      const bool south = dice_chance(&dice, 0.5);
      isw_growth_cell(&bench->counted, &normals, south, bench->results);
      cell_in_full(&bench->counted, &normals, south, bench->in_full);
      for (int r = 0; r < bench->plan.n_varieties * bench->plan.n_seasons; r++) {
        ck_assert_msg(same(&bench->results[r], &bench->in_full[r]),
                      "sheet %d, place %d, result %d: %d of ten years, %d when all are asked", s, i,
                      r, bench->results[r].years, bench->in_full[r].years);
        windows += bench->results[r].window.days > 0;
        cut += bench->results[r].limit == ISW_LIMIT_CUT_OUTSIDE;
      }
    }
  }
  ck_assert_int_gt(windows, 300);
  ck_assert_int_gt(cut, 50);
  free(bench);
  isw_crop_free_sheet(builtin);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("kernel years");
  TCase *cases = tcase_create("years");
  tcase_set_timeout(cases, 240);
  tcase_add_loop_test(cases, test_years_of_days, 0, 2);
  tcase_add_test(cases, test_what_is_not_asked_does_not_matter);
  suite_add_tcase(suite, cases);
  return suite;
}

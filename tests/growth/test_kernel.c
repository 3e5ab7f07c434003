/* The kernel against the plain path (reference_cell.h), and its kinds of processor against each
 * other. The plain path itself is held against published figures in the other tests of growth. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "growth/cell.h"
#include "growth/kernel_room.h"
#include "kernel_cases.h"
#include "suite_main.h"

static struct isw_sheet *builtin_sheet(void) {
  struct isw_sheet *sheet = NULL;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  return sheet;
}

/* Results that differ are explained one by one; that they are few is checked here. */
static void check_few_differ(const char *what, struct kernel_bench *bench, double most_share) {
  printf("%s: %ld results, %ld differ within the tolerance\n", what, bench->compared,
         bench->differing);
  ck_assert_int_ge(bench->compared, 1);
  ck_assert_double_le((double)bench->differing / (double)bench->compared, most_share);
}

START_TEST(test_builtin_sheet_on_random_places) {
  struct isw_sheet *sheet = builtin_sheet();
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct kernel_bench *bench = kernel_bench_new(sheet, &conditions);
  struct dice dice = {20240601};
  for (int i = 0; i < 10000; i++) {
    struct isw_normals normals = random_place(&dice);
    check_against_reference(bench, &normals, i % 2 == 1);
  }
  check_few_differ("random places", bench, 0.003);
  free(bench);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(test_real_and_sample_stations) {
  static const char *const paths[] = {TEST_SOURCE_DIR "/data/colorado/stations.csv",
                                      TEST_SAMPLE_DIR "/stations.csv",
                                      TEST_SHARED_DATA "/places/places.csv"};
  static struct isw_normals normals[1000];
  const char *path = paths[_i];
  int n = read_station_normals(path, 1000, normals);
  if (n < 0) {
    printf("skipped: no %s\n", path);
    return;
  }
  ck_assert_int_gt(n, 0);
  struct isw_sheet *sheet = builtin_sheet();
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct kernel_bench *bench = kernel_bench_new(sheet, &conditions);
  for (int i = 0; i < n; i++) {
    check_against_reference(bench, &normals[i], false);
    check_against_reference(bench, &normals[i], true);
    check_all_routines_alike(bench, &normals[i], false);
  }
  check_few_differ(path, bench, 0.01);
  free(bench);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(test_random_sheets) {
  static struct random_sheet sheet;
  static const struct {
    int n_stages, n_varieties, sheets, places;
  } rows[] = {{1, 1, 60, 8},  {1, 5, 30, 6},  {2, 3, 60, 6}, {5, 4, 60, 6}, {8, 6, 20, 4},
              {16, 1, 20, 4}, {16, 12, 5, 3}, {3, 64, 3, 3}, {16, 64, 1, 2}};
  struct dice dice = {(uint64_t)(7000 + _i)};
  long compared = 0, differing = 0;
  for (int i = 0; i < rows[_i].sheets; i++) {
    random_sheet(&dice, rows[_i].n_stages, rows[_i].n_varieties, &sheet);
    struct isw_conditions conditions = random_conditions(&dice, &sheet.sheet);
    struct kernel_bench *bench = kernel_bench_new(&sheet.sheet, &conditions);
    for (int place = 0; place < rows[_i].places; place++) {
      struct isw_normals normals = random_place(&dice);
      check_against_reference(bench, &normals, place % 2 == 1);
      check_all_routines_alike(bench, &normals, place % 2 == 1);
    }
    compared += bench->compared;
    differing += bench->differing;
    free(bench);
  }
  printf("sheets of %d stages, %d varieties: %ld results, %ld differ within the tolerance\n",
         rows[_i].n_stages, rows[_i].n_varieties, compared, differing);
  ck_assert_int_le(differing, compared / 50 + 2);
}
END_TEST

START_TEST(test_kinds_of_processor_alike) {
  struct isw_sheet *sheet = builtin_sheet();
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct kernel_bench *bench = kernel_bench_new(sheet, &conditions);
  struct dice dice = {31};
  int kinds = 0;
  while (isw_growth_kernel_routines(kinds) != NULL) kinds++;
  printf("kinds of processor compared: %d\n", kinds);
  for (int i = 0; i < 20000; i++) {
    struct isw_normals normals = random_place(&dice);
    check_all_routines_alike(bench, &normals, i % 2 == 1);
  }
  free(bench);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* Places at the ends of what there is: always the same, no swing, far too cold or hot, swings and
 * spreads beyond any climate. */
START_TEST(test_extreme_places) {
  static const double means_C[] = {-60.0, -20.0, -1.0, 0.0,  3.0,  12.0, 15.0,
                                   17.0,  18.0,  21.0, 25.0, 28.0, 36.0, 60.0};
  static const double swings_K[] = {0.0, 1e-9, 1e-6, 0.01, 6.0, 40.0, 90.0};
  static const double yearly_K[] = {0.0, 40.0};
  static const double spreads_K[] = {1e-3, 3.0, 1000.0};
  struct isw_sheet *sheet = builtin_sheet();
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.spread_K = spreads_K[_i];
  struct kernel_bench *bench = kernel_bench_new(sheet, &conditions);
  for (size_t m = 0; m < sizeof means_C / sizeof *means_C; m++) {
    for (size_t w = 0; w < sizeof swings_K / sizeof *swings_K; w++) {
      for (size_t y = 0; y < sizeof yearly_K / sizeof *yearly_K; y++) {
        struct isw_normals normals = {0};
        for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
          double mean = means_C[m] + (i < 6 ? -yearly_K[y] : yearly_K[y]);
          normals.tmin_C[i] = mean - 0.5 * swings_K[w];
          normals.tmax_C[i] = mean + 0.5 * swings_K[w];
        }
        check_against_reference(bench, &normals, false);
        check_all_routines_alike(bench, &normals, false);
      }
    }
  }
  free(bench);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* A place that is best all year: every clock takes exactly its days, the window is the season. */
START_TEST(test_best_all_year) {
  static struct random_sheet sheet;
  struct dice dice = {5};
  random_sheet(&dice, 3, 1, &sheet);
  sheet.sheet.has_chilling = false;
  sheet.sheet.n_seasons = 1;
  sheet.sheet.seasons[0].start = ISW_START_NURSERY;
  static const double days[3] = {4.0, 17.5, 22.0};
  for (int k = 0; k < 3; k++)
    sheet.varieties[0].stages[k] = (struct isw_stage){.shelter = ISW_OPEN_GROUND,
                                                      .transplant = k == 1,
                                                      .days = days[k],
                                                      .at_most_days = 60,
                                                      .band = {0.0, 10.0, 25.0, 35.0},
                                                      .dies_below_C = -INFINITY};
  sheet.varieties[0].bolts = false;
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct kernel_bench *bench = kernel_bench_new(&sheet.sheet, &conditions);
  struct isw_normals normals = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = 12.0;
    normals.tmax_C[m] = 22.0;
  }
  check_against_reference(bench, &normals, false);
  const struct isw_result *result = &bench->results[0];
  ck_assert_int_eq(bench->differing, 0);
  ck_assert_int_eq(result->score_tenths, 1000);
  const struct isw_season *season = &sheet.sheet.seasons[0];
  const int season_days = isw_base_days_forward(season->sow_from_day, season->sow_to_day) + 1;
  ck_assert_int_eq(result->best_sow_day,
                   isw_base_wrap_day(season->sow_from_day + (season_days - 1) / 2));
  ck_assert_int_eq(result->window.days, season_days);
  ck_assert_int_eq(result->window.from_day, season->sow_from_day);
  ck_assert_int_eq(result->window.to_day, season->sow_to_day);
  ck_assert_int_eq(result->years, 10);
  ck_assert_int_eq(result->edge, season_days < ISW_YEAR_DAYS
                                     ? ISW_EDGE_GOES_ON_BEFORE | ISW_EDGE_GOES_ON_AFTER
                                     : 0);
  ck_assert_int_eq(result->growing_days, 4 + 18 + 22);
  ck_assert_int_eq(result->limit, ISW_LIMIT_NOTHING);
  free(bench);
}
END_TEST

/* A comparison that could not fail would prove nothing: results moved by more than the tolerance
 * must be refused. */
START_TEST(test_reference_refuses_wrong_results) {
  struct isw_sheet *sheet = builtin_sheet();
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct kernel_bench *bench = kernel_bench_new(sheet, &conditions);
  static struct isw_normals normals[1000];
  int n = read_station_normals(TEST_SAMPLE_DIR "/stations.csv", 1000, normals);
  if (n < 0) {
    printf("skipped: no sample stations\n");
    return;
  }
  int tried = 0;
  for (int i = 0; i < n; i++) {
    isw_growth_cell(&bench->workspace, &normals[i], false, bench->results);
    for (int r = 0; r < bench->plan.n_varieties * bench->plan.n_seasons; r++) {
      const struct isw_result right = bench->results[r];
      if (right.window.days < 10 || right.window.days > 300) continue;
      enum { WRONGS = 11 };
      struct isw_result wrong[WRONGS];
      for (int w = 0; w < WRONGS; w++) wrong[w] = right;
      wrong[0].score_tenths -= 3;
      wrong[1].window.to_day = isw_base_wrap_day(right.window.to_day + 8);
      wrong[1].window.days += 8;
      wrong[2].window.from_day = isw_base_wrap_day(right.window.from_day + 8);
      wrong[2].window.days -= 8;
      wrong[3].growing_days += 2;
      wrong[4].frost_risk += 0.001;
      wrong[5].limit = ISW_LIMIT_NEVER_MATURES;
      wrong[6].years += right.years < 10 ? 1 : -1;
      wrong[7].edge ^= ISW_EDGE_GOES_ON_BEFORE;
      wrong[8].edge ^=
          right.edge & ISW_EDGE_GOES_ON_AFTER ? ISW_EDGE_BETTER_AFTER : ISW_EDGE_GOES_ON_AFTER;
      wrong[9].cut_to_day = isw_base_wrap_day(right.cut_to_day + 2);
      wrong[10].best_sow_day = isw_base_wrap_day(right.best_sow_day + 4);
      const int v = r / bench->plan.n_seasons, s = r % bench->plan.n_seasons;
      for (int w = 0; w < WRONGS; w++) {
        ck_assert_msg(!reference_same(&wrong[w], &right), "wrong result %d looks right", w);
        ck_assert_msg(reference_accepts(&bench->plan, &normals[i], false, v, s, &bench->memory,
                                        &wrong[w]) != NULL,
                      "wrong result %d is accepted", w);
        tried++;
      }
    }
  }
  ck_assert_int_gt(tried, 10);
  free(bench);
  isw_crop_free_sheet(sheet);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("kernel");
  TCase *cases = tcase_create("kernel");
  tcase_set_timeout(cases, 240);
  tcase_add_test(cases, test_builtin_sheet_on_random_places);
  tcase_add_loop_test(cases, test_real_and_sample_stations, 0, 3);
  tcase_add_loop_test(cases, test_random_sheets, 0, 9);
  tcase_add_test(cases, test_kinds_of_processor_alike);
  tcase_add_loop_test(cases, test_extreme_places, 0, 3);
  tcase_add_test(cases, test_best_all_year);
  tcase_add_test(cases, test_reference_refuses_wrong_results);
  suite_add_tcase(suite, cases);
  return suite;
}

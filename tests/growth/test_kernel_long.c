/* The kernel against the plain path on a million random places, and many random sheets. */
#include <stdio.h>
#include <stdlib.h>

#include "kernel_cases.h"
#include "suite_main.h"

enum { RUNS = 20, PLACES_PER_RUN = 50000, SHEETS_PER_RUN = 50 };

START_TEST(test_million_places) {
  struct isw_sheet *sheet = NULL;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct kernel_bench *bench = kernel_bench_new(sheet, &conditions);
  struct dice dice = {(uint64_t)(1000000 + _i)};
  for (int i = 0; i < PLACES_PER_RUN; i++) {
    struct isw_normals normals = random_place(&dice);
    check_against_reference(bench, &normals, i % 2 == 1);
  }
  printf("%ld results, %ld differ within the tolerance\n", bench->compared, bench->differing);
  ck_assert_int_le(bench->differing, bench->compared / 400);
  free(bench);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(test_many_random_sheets) {
  static struct random_sheet sheet;
  struct dice dice = {(uint64_t)(90000 + _i)};
  for (int i = 0; i < SHEETS_PER_RUN; i++) {
    const int n_stages = dice_chance(&dice, 0.2) ? 16 : dice_whole(&dice, 1, 7);
    random_sheet(&dice, n_stages, dice_whole(&dice, 1, 6), &sheet);
    struct isw_conditions conditions = random_conditions(&dice, &sheet.sheet);
    struct kernel_bench *bench = kernel_bench_new(&sheet.sheet, &conditions);
    for (int place = 0; place < 20; place++) {
      struct isw_normals normals = random_place(&dice);
      check_against_reference(bench, &normals, place % 2 == 1);
      check_all_routines_alike(bench, &normals, place % 2 == 1);
    }
    free(bench);
  }
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("kernel, long");
  TCase *cases = tcase_create("kernel");
  tcase_set_timeout(cases, 1800);
  tcase_add_loop_test(cases, test_many_random_sheets, 0, RUNS);
  tcase_add_loop_test(cases, test_million_places, 0, RUNS);
  suite_add_tcase(suite, cases);
  return suite;
}

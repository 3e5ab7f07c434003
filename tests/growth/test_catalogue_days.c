/* Types made from a catalogue (crop/sheet_new.h) in the growing model, at real stations: do the
 * days pass as printed, and does heat stood open summers? */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "crop/sheet_new.h"
#include "napa.h"
#include "suite_main.h"

static struct isw_sheet *with_type(struct isw_sheet *sheet, const char *name, double hottest_C) {
  const struct isw_catalogue_type type = {.like = "early-heat-tolerant",
                                          .name = name,
                                          .days = 55,
                                          .hottest_week_C = hottest_C,
                                          .stands_C = NAN};
  struct isw_error error;
  struct isw_sheet *more = NULL;
  char *text;
  ck_assert_int_eq(isw_crop_write_new_type(sheet, &type, &text, &error), ISW_OK);
  ck_assert_int_eq(isw_crop_parse_sheet(text, strlen(text), "s.yaml", &more, &error), ISW_OK);
  g_free(text);
  isw_crop_free_sheet(sheet);
  return more;
}

/* Real normals (tests/tables/station_normals.txt): where the type has a window, its best day takes
 * the catalogue's days, give or take three; no window is shorter with more heat stood, and a
 * summer opens. */
START_TEST(a_catalogues_days_pass) {
  struct isw_sheet *both = NULL;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &both, &error), ISW_OK);
  both = with_type(with_type(both, "to-28", 28), "to-33", 33);
  static struct isw_plan plan;
  static struct isw_growth_workspace workspace;
  static struct isw_result results[NAPA_RESULTS_MAX];
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(both, &conditions, 0, NULL, 0, NULL, &plan);
  isw_growth_start_workspace(&plan, &workspace);
  const int v28 = isw_crop_find_variety(both, "to-28"), v33 = isw_crop_find_variety(both, "to-33");
  const int summer = isw_crop_find_season(both, "summer");
  int windows = 0, opened = 0;
  for (int station = 0; station < 4; station++) {
    char name[SCIENCE_TEXT_SIZE];
    struct isw_normals normals = napa_station_row(station, name);
    isw_growth_cell(&workspace, &normals, false, results);
    for (int s = 0; s < both->n_seasons; s++) {
      const struct isw_result *a = &results[isw_growth_result_index(&plan, v28, s)],
                              *b = &results[isw_growth_result_index(&plan, v33, s)];
      ck_assert_msg(b->window.days >= a->window.days, "%s: %d, %d days", name, a->window.days,
                    b->window.days);
      if (s == summer && a->window.days == 0 && b->window.days > 0) opened++;
      if (b->window.days == 0) continue;
      windows++;
      ck_assert_msg(b->growing_days >= 53 && b->growing_days <= 58, "%s: %d days", name,
                    b->growing_days);
    }
  }
  ck_assert_int_ge(windows, 6);
  ck_assert_int_ge(opened, 1);
  isw_crop_free_sheet(both);
}
END_TEST

/* isw_crop_days_per_best_day: the built-in types' windows at these stations. The figure comes from
 * 57 places; at these four it must not be far off. */
START_TEST(days_per_best_day_as_measured) {
  struct isw_error error;
  static struct isw_plan plan;
  static struct isw_growth_workspace workspace;
  static struct isw_result results[NAPA_RESULTS_MAX];
  struct isw_conditions conditions = isw_growth_default_conditions();
  double sum = 0;
  int n = 0;
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++) {
    struct isw_sheet *sheet;
    ck_assert_int_eq(isw_crop_load_sheet(isw_crop_builtin_name(i), &sheet, &error), ISW_OK);
    isw_growth_make_plan(sheet, &conditions, 0, NULL, 0, NULL, &plan);
    isw_growth_start_workspace(&plan, &workspace);
    for (int station = 0; station < 4; station++) {
      char name[SCIENCE_TEXT_SIZE];
      struct isw_normals normals = napa_station_row(station, name);
      isw_growth_cell(&workspace, &normals, false, results);
      for (int v = 0; v < sheet->n_varieties; v++)
        for (int s = 0; s < sheet->n_seasons; s++) {
          const struct isw_result *r = &results[isw_growth_result_index(&plan, v, s)];
          if (r->window.days == 0) continue;
          double best_days = 0;
          for (int k = 0; k < sheet->n_stages; k++) best_days += sheet->varieties[v].stages[k].days;
          sum += r->growing_days / best_days;
          n++;
        }
    }
    isw_crop_free_sheet(sheet);
  }
  ck_assert_int_ge(n, 40);
  ck_assert_double_eq_tol(sum / n, isw_crop_days_per_best_day, 0.015);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("catalogue days");
  TCase *days = tcase_create("days");
  tcase_add_test(days, a_catalogues_days_pass);
  tcase_add_test(days, days_per_best_day_as_measured);
  suite_add_tcase(suite, days);
  return suite;
}

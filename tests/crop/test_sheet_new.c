/* A type from a catalogue: its numbers by hand, from the rule of crop/sheet_new.h. What it does at
 * real stations is in growth/test_catalogue_days.c. */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "crop/sheet_doubts.h"
#include "crop/sheet_new.h"
#include "suite_main.h"

static const struct isw_catalogue_type says_nothing = {
    .days = NAN, .hottest_week_C = NAN, .stands_C = NAN};

static struct isw_sheet *load(const char *name) {
  struct isw_sheet *sheet;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet(name, &sheet, &error), ISW_OK);
  return sheet;
}

static struct isw_sheet *parse(const char *text) {
  struct isw_sheet *sheet;
  struct isw_error error;
  enum isw_status status = isw_crop_parse_sheet(text, strlen(text), "s.yaml", &sheet, &error);
  ck_assert_msg(status == ISW_OK, "%s\n%s", error.text, text);
  return sheet;
}

/* The sheet with the type; its variety is the last. */
static struct isw_sheet *with_type(const struct isw_sheet *sheet, struct isw_catalogue_type type) {
  char *text;
  struct isw_error error;
  enum isw_status status = isw_crop_write_new_type(sheet, &type, &text, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  struct isw_sheet *more = parse(text);
  ck_assert_int_eq(more->n_varieties, sheet->n_varieties + 1);
  g_free(text);
  return more;
}

static void same_variety(const struct isw_sheet *sheet, const struct isw_variety *a,
                         const struct isw_variety *b) {
  ck_assert_str_eq(a->name, b->name);
  ck_assert_str_eq(a->title, b->title);
  ck_assert_double_eq(a->bolts_safe, b->bolts_safe);
  for (int k = 0; k < sheet->n_stages; k++) {
    ck_assert_double_eq(a->stages[k].days, b->stages[k].days);
    ck_assert_int_eq(a->stages[k].at_most_days, b->stages[k].at_most_days);
    ck_assert_int_eq(memcmp(&a->stages[k].band, &b->stages[k].band, sizeof a->stages[k].band), 0);
    ck_assert(a->stages[k].dies_below_C == b->stages[k].dies_below_C);
  }
}

/* 55 / 1.03 = 53.4 days at best, 4 of them the first stage's; the share of the rest is 49.4 / 62.
 * 33 is 1 K above the 32 where the late stages stop; 0.75 K of that is for what is best. -4 is 2 K
 * above the -6 of the last stage. */
static void same_varieties(const struct isw_sheet *sheet, const struct isw_sheet *more) {
  for (int v = 0; v < sheet->n_varieties; v++)
    same_variety(sheet, &sheet->varieties[v], &more->varieties[v]);
}

START_TEST(the_cabbage_by_hand) {
  struct isw_sheet *sheet = load("napa-cabbage");
  struct isw_catalogue_type type = {.days = 55, .hottest_week_C = 33, .stands_C = -4};
  struct isw_sheet *more = with_type(sheet, type);
  const struct isw_variety *made = &more->varieties[sheet->n_varieties];
  ck_assert_str_eq(made->name, "55-day");
  ck_assert_str_eq(made->title, "55-day type");
  ck_assert_double_eq(made->bolts_safe, 5);
  ck_assert_double_eq(made->bolts_all, 10);
  const double days[] = {4, 12, 15.9, 8.8, 12.7}, best_to[] = {28, 25, 22, 24.8, 24.8},
               stops[] = {36, 32, 33, 33, 33}, dies[] = {-1, -2, -2, -3, -4};
  for (int k = 0; k < sheet->n_stages; k++) {
    ck_assert_double_eq_tol(made->stages[k].days, days[k], 1e-9);
    ck_assert_double_eq_tol(made->stages[k].band.best_to_C, best_to[k], 1e-9);
    ck_assert_double_eq_tol(made->stages[k].band.stops_above_C, stops[k], 1e-9);
    ck_assert_double_eq_tol(made->stages[k].dies_below_C, dies[k], 1e-9);
    ck_assert_int_eq(made->stages[k].at_most_days, (int)ceil(3 * days[k] - 1e-9));
  }
  same_varieties(sheet, more);
  isw_crop_free_sheet(more);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* Which of the sheet's types it is made from: the nearest in days, else in heat, else the first. */
static const struct {
  const char *crop;
  double days, hottest_C;
  const char *like;
} nearest[] = {{"napa-cabbage", 55, NAN, "early-heat-tolerant"},
               {"napa-cabbage", 71, NAN, "spring-slow-bolting"},
               {"napa-cabbage", 76, NAN, "standard"},
               {"napa-cabbage", 100, NAN, "late-storage"},
               {"napa-cabbage", NAN, 34, "early-heat-tolerant"},
               {"napa-cabbage", NAN, 29.2, "spring-slow-bolting"},
               {"napa-cabbage", NAN, NAN, "late-storage"},
               {"broccoli", 90, NAN, "early"},
               {"broccoli", NAN, 21, "late"},
               {"crisphead-lettuce", NAN, 22, "cold-season"}};

START_TEST(the_nearest_type_is_taken) {
  struct isw_sheet *sheet = load(nearest[_i].crop);
  struct isw_catalogue_type type = {.name = "new",
                                    .days = nearest[_i].days,
                                    .hottest_week_C = nearest[_i].hottest_C,
                                    .stands_C = NAN};
  char *text, *like = g_strdup_printf(", like %s of this sheet, the nearest.", nearest[_i].like);
  struct isw_error error;
  ck_assert_int_eq(isw_crop_write_new_type(sheet, &type, &text, &error), ISW_OK);
  ck_assert_msg(strstr(text, like) != NULL, "%s", like);
  g_free(like);
  g_free(text);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* Every built-in type, with many a catalogue's numbers: the sheet loads, raises no doubt, and the
 * type is what was asked for. */
START_TEST(built_in_sheets_take_any_type) {
  const double heats_C[] = {NAN, 24, 29, 35}, frosts_C[] = {NAN, 0, -5, -12};
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++) {
    struct isw_sheet *sheet = load(isw_crop_builtin_name(i));
    for (int n = 0; n < sheet->n_varieties * 4 * 4; n++) {
      const int v = n / 16;
      struct isw_catalogue_type type = {.like = sheet->varieties[v].name,
                                        .name = "new",
                                        .title = "A \"quoted\" \\ t\u00eftle # no comment",
                                        .days = 60 + 7 * (n % 9),
                                        .hottest_week_C = heats_C[n % 4],
                                        .stands_C = frosts_C[n / 4 % 4]};
      struct isw_sheet *more = with_type(sheet, type);
      const struct isw_variety *made = &more->varieties[sheet->n_varieties];
      ck_assert_str_eq(made->title, type.title);
      ck_assert_double_eq_tol(isw_crop_total_days(more, sheet->n_varieties),
                              type.days / isw_crop_days_per_best_day, 0.0501);
      double hottest_C = -INFINITY, hardiest_C = INFINITY;
      const int last = sheet->n_stages - 1;
      for (int k = last - 1; k <= last; k++)
        hottest_C = fmax(hottest_C, made->stages[k].band.stops_above_C);
      for (int k = 0; k <= last; k++) {
        hardiest_C = fmin(hardiest_C, made->stages[k].dies_below_C);
        ck_assert_double_le(made->stages[k].dies_below_C, 0);
      }
      if (!isnan(type.hottest_week_C))
        ck_assert_double_eq_tol(hottest_C, type.hottest_week_C, 1e-9);
      if (type.stands_C < -2) ck_assert_double_eq_tol(hardiest_C, type.stands_C, 1e-9);
      char **doubts = isw_crop_list_doubts(more);
      ck_assert_msg(doubts[0] == NULL, "%s %g: %s", type.like, type.days, doubts[0]);
      g_strfreev(doubts);
      isw_crop_free_sheet(more);
    }
    isw_crop_free_sheet(sheet);
  }
}
END_TEST

#define HEAD                                                                   \
  "crop: s\nswing: 0.5\nseasons: [{season: s, sow: [01-01, 12-31]}]\nstages: " \
  "[{stage: a, days: 40, band: "
#define CELSIUS "unit: C\n" HEAD "[4, 15, 22, 30]}]\n"

/* However the list of varieties is written. */
static const char *const lists[] = {
    CELSIUS "varieties: [{variety: x}]\n",
    CELSIUS "varieties: [{variety: x}, {variety: y}, ] # \u00e4\ntasks: []\n",
    CELSIUS "varieties:\n  [\n    {variety: x}, # one\n    {variety: y}  # two\n  ]\n",
    CELSIUS "varieties:\n- variety: x\n- variety: y",
    CELSIUS "varieties:\n    - {variety: x} # \u00e4\n\n    # of the tasks\ntasks: []\n",
    CELSIUS "varieties:\n  - variety: x\n    title: >-\n      in two\n      lines\n\n\ntasks: []\n",
    CELSIUS "varieties:\r\n  - variety: x\r\n    title: t\r\ntasks: []\r\n",
    CELSIUS
    "varieties:\n  - variety: x\n    stages:\n      - stage: a\n        days: 30 # d\ntasks: []\n",
    "\xef\xbb\xbf# \u00e4\u00f6\n" CELSIUS "varieties:\n  - variety: x\ntasks: []\n",
    "unit: F\n" HEAD "[39, 59, 72, 86]}]\nvarieties: [{variety: x}]\n"};

START_TEST(any_style_of_list_is_written_on) {
  struct isw_sheet *sheet = parse(lists[_i]);
  struct isw_catalogue_type type = {.days = 44, .hottest_week_C = 32, .stands_C = NAN};
  struct isw_sheet *more = with_type(sheet, type);
  const struct isw_stage *stage = &more->varieties[sheet->n_varieties].stages[0];
  ck_assert_double_eq_tol(stage->days, 42.7, 1e-9);
  ck_assert_double_eq_tol(stage->band.stops_above_C, 32, 0.06);
  ck_assert_int_eq(more->n_tasks, sheet->n_tasks);
  same_varieties(sheet, more);
  isw_crop_free_sheet(more);
  isw_crop_free_sheet(sheet);
}
END_TEST

static const struct {
  struct isw_catalogue_type type;
  const char *message;
} refusals[] = {
    {{.like = "nobody", .days = 55, .hottest_week_C = NAN, .stands_C = NAN},
     "has no variety 'nobody'; it has: late-storage, standard"},
    {{.name = "standard", .days = 55, .hottest_week_C = NAN, .stands_C = NAN}, "already"},
    {{.name = "Hot type", .days = 55, .hottest_week_C = NAN, .stands_C = NAN}, "made of a-z"},
    {{.title = "a\nb", .days = 55, .hottest_week_C = NAN, .stands_C = NAN}, "control character"},
    {{.title = "", .days = 55, .hottest_week_C = NAN, .stands_C = NAN}, "1 to 120"},
    {{.days = 5, .hottest_week_C = NAN, .stands_C = NAN}, "too few"},
    {{.days = 55, .hottest_week_C = 12, .stands_C = NAN}, "no temperature to be at its best"}};

START_TEST(what_makes_no_sheet_is_refused) {
  struct isw_sheet *sheet = load("napa-cabbage");
  struct isw_error error;
  char *text;
  ck_assert_int_eq(isw_crop_write_new_type(sheet, &refusals[_i].type, &text, &error), ISW_USAGE);
  ck_assert_msg(strstr(error.text, refusals[_i].message) != NULL, "%s", error.text);
  ck_assert_ptr_null(text);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(a_crop_that_cannot_freeze_stands_no_frost) {
  struct isw_sheet *sheet = parse(lists[0]);
  struct isw_catalogue_type type = says_nothing;
  struct isw_error error;
  char *text;
  type.stands_C = -3;
  ck_assert_int_eq(isw_crop_write_new_type(sheet, &type, &text, &error), ISW_USAGE);
  ck_assert_ptr_nonnull(strstr(error.text, "can freeze"));
  isw_crop_free_sheet(sheet);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("sheet new");
  TCase *made = tcase_create("made");
  tcase_add_test(made, the_cabbage_by_hand);
  tcase_add_loop_test(made, the_nearest_type_is_taken, 0, (int)G_N_ELEMENTS(nearest));
  tcase_add_test(made, built_in_sheets_take_any_type);
  tcase_add_loop_test(made, any_style_of_list_is_written_on, 0, (int)G_N_ELEMENTS(lists));
  tcase_add_loop_test(made, what_makes_no_sheet_is_refused, 0, (int)G_N_ELEMENTS(refusals));
  tcase_add_test(made, a_crop_that_cannot_freeze_stands_no_frost);
  suite_add_tcase(suite, made);
  return suite;
}

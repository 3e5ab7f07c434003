/* What is legal but unlikely in a sheet: each doubt has a sheet that raises it and no other, and
 * the built-in sheets, which were held against published calendars, raise none. */
#include <glib.h>
#include <string.h>

#include "crop/sheet_doubts.h"
#include "suite_main.h"

static struct isw_sheet *parse(const char *unit, const char *top, const char *stages,
                               const char *varieties) {
  char *text = g_strdup_printf(
      "crop: small\nunit: %s\n%s\nstages:\n%s\nseasons: [{season: spring, sow: "
      "[03-01, 04-30]}]\nvarieties: [%s]\n",
      unit, top, stages, varieties);
  struct isw_sheet *sheet;
  struct isw_error error;
  enum isw_status status = isw_crop_parse_sheet(text, strlen(text), "small.yaml", &sheet, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  g_free(text);
  return sheet;
}

#define STAGE "  - {stage: a, days: 30, band: [4, 17, 22, 30], dies_below: -4}\n"
#define ONLY "{variety: only}"

static const struct {
  const char *unit, *top, *stages, *varieties, *doubt; /* NULL: none */
} cases[] = {
    {"C", "swing: 0.5", STAGE, ONLY, NULL},
    {"F", "swing: 0.5", "  - {stage: a, days: 30, band: [4, 17, 22, 30], dies_below: -4}", ONLY,
     "in a sheet of unit F?"},
    {"C", "swing: 0.5", "  - {stage: a, days: 61, band: [4, 17, 22, 30]}", ONLY, "takes 61 days"},
    {"C", "swing: 0.5", "  - {stage: a, days: 30, band: [4, 17, 22, 30], dies_below: 2}", ONLY,
     "no frost"},
    {"C", "swing: 1", STAGE, ONLY, "swing 0.5?"},
    {"C", "swing: 0.5\nchilling: {band: [-1, 3, 12, 15]}", STAGE, ONLY, "it never bolts"},
    {"C", "swing: 0.5",
     "  - {stage: a, days: 30, band: [4, 12, 22, 30]}\n  - {stage: b, days: 30, band: [4, 18, 22, "
     "30]}",
     ONLY, "cooler later"},
    {"C", "swing: 0.5", STAGE, "{variety: one}, {variety: two, stages: [{stage: a, days: 9}]}",
     "takes 9 days in all"},
    {"C", "swing: 0.5", "  - {stage: a, days: 15, band: [4, 17, 22, 30]}",
     "{variety: one}, {variety: two, stages: [{stage: a, days: 50}]}", "takes 50 days in all"},
};

START_TEST(each_doubt_is_raised) {
  struct isw_sheet *sheet =
      parse(cases[_i].unit, cases[_i].top, cases[_i].stages, cases[_i].varieties);
  char **doubts = isw_crop_list_doubts(sheet);
  ck_assert_uint_eq(g_strv_length(doubts), cases[_i].doubt != NULL);
  if (cases[_i].doubt != NULL)
    ck_assert_msg(strstr(doubts[0], cases[_i].doubt) != NULL, "%s", doubts[0]);
  g_strfreev(doubts);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(built_in_sheets_raise_none) {
  struct isw_sheet *sheet;
  struct isw_error error;
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++) {
    ck_assert_int_eq(isw_crop_load_sheet(isw_crop_builtin_name(i), &sheet, &error), ISW_OK);
    char **doubts = isw_crop_list_doubts(sheet);
    ck_assert_msg(doubts[0] == NULL, "%s: %s", isw_crop_builtin_name(i), doubts[0]);
    g_strfreev(doubts);
    isw_crop_free_sheet(sheet);
  }
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("sheet doubts");
  TCase *doubts = tcase_create("doubts");
  tcase_add_loop_test(doubts, each_doubt_is_raised, 0, (int)(sizeof cases / sizeof cases[0]));
  tcase_add_test(doubts, built_in_sheets_raise_none);
  suite_add_tcase(suite, doubts);
  return suite;
}

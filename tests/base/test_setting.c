/* Settings named in messages become options where the message is shown. */
#include <string.h>

#include "base/setting.h"
#include "suite_main.h"

static const struct {
  const char *said, *shown;
} cases[] = {
    {"", ""},
    {"nothing named", "nothing named"},
    {"say it with \u2039unit\u203a C", "say it with --unit C"},
    {"\u2039lapse-monthly\u203a", "--lapse-monthly"},
    {"swap \u2039tmin\u203a and \u2039tmax\u203a", "swap --tmin and --tmax"},
    /* What is no setting stays: not closed, no letters, other letters, a mark inside a mark. */
    {"\u2039unit", "\u2039unit"},
    {"\u2039\u203a", "\u2039\u203a"},
    {"\u2039Unit 1\u203a", "\u2039Unit 1\u203a"},
    {"\u2039\u2039crs\u203a", "\u2039--crs"},
    {"\xe2", "\xe2"},
};

START_TEST(settings_become_options) {
  char text[64];
  strcpy(text, cases[_i].said);
  isw_base_show_settings(text);
  ck_assert_str_eq(text, cases[_i].shown);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("setting");
  TCase *tcase = tcase_create("shown");
  tcase_add_loop_test(tcase, settings_become_options, 0, sizeof cases / sizeof *cases);
  suite_add_tcase(suite, tcase);
  return suite;
}

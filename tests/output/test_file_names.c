/* File names made of names: the rule of output/file_names.h, by hand; no source outside. */
#include <glib.h>
#include <string.h>

#include "output/file_names.h"
#include "suite_main.h"

static const struct {
  const char *names[4], *files[4];
} cases[] = {
    {{"Northport"}, {"northport.png"}},
    {{"Old Mill (north)", "St. Anne's", "a/b\\c"},
     {"old-mill-north.png", "st-anne-s.png", "a-b-c.png"}},
    /* no way out of the folder, none that is hidden */
    {{"../../etc/passwd", ".hidden", "-rf"}, {"etc-passwd.png", "hidden.png", "rf.png"}},
    {{"", "...", "station 2"}, {"station.png", "station-2.png", "station-2-2.png"}},
    {{"Mill", "mill", "MILL", "mill 2"}, {"mill.png", "mill-2.png", "mill-3.png", "mill-2-2.png"}},
    /* Microsoft, "Naming files, paths, and namespaces": reserved device names, from memory */
    {{"CON", "nul", "Com1", "console"}, {"con-2.png", "nul-2.png", "com1-2.png", "console.png"}},
    /* letters of any script, composed the same way however they came */
    {{"S\u00e3o Paulo", "Sa\u0303o Paulo", "\u5317\u4eac"},
     {"s\u00e3o-paulo.png", "s\u00e3o-paulo-2.png", "\u5317\u4eac.png"}},
    {{"line\nbreak\ttab", "\xff\xfe"}, {"line-break-tab.png", "station.png"}},
};

START_TEST(names_are_safe_and_apart) {
  int n = 0;
  while (n < 4 && cases[_i].names[n] != NULL) n++;
  char **files = isw_output_name_files("", n, cases[_i].names, ".png");
  for (int i = 0; i < n; i++) ck_assert_str_eq(files[i], cases[_i].files[i]);
  ck_assert_ptr_null(files[n]);
  g_strfreev(files);
}
END_TEST

/* A name of 300 letters of two bytes, twice: both fit a file system's 255 bytes, and differ. */
START_TEST(long_names_fit) {
  GString *name = g_string_new(NULL);
  for (int i = 0; i < 300; i++) g_string_append(name, "\u00e9");
  const char *const names[] = {name->str, name->str};
  char **files = isw_output_name_files("a-crop-", 2, names, ".png");
  for (int i = 0; i < 2; i++) {
    ck_assert_uint_le(strlen(files[i]), 120);
    ck_assert(g_utf8_validate(files[i], -1, NULL));
    ck_assert(g_str_has_prefix(files[i], "a-crop-\u00e9"));
  }
  ck_assert_str_ne(files[0], files[1]);
  g_strfreev(files);
  g_string_free(name, TRUE);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("file names");
  TCase *names = tcase_create("names");
  tcase_add_loop_test(names, names_are_safe_and_apart, 0, (int)(sizeof cases / sizeof cases[0]));
  tcase_add_test(names, long_names_fit);
  suite_add_tcase(suite, names);
  return suite;
}

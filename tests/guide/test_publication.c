/* A publisher's texts in pieces. The marks are those of plain text mail ("- " for an item, an empty
 * line between paragraphs): common practice, no source. */
#include "guide/publication.h"
#include "suite_main.h"

static const struct {
  const char *text, *pieces; /* items with a "*" in front, "|" between */
} texts[] = {
    {"one", "one"},
    {"one\ntwo\n\nthree", "one two|three"},
    {"  a   b\t c  ", "a b c"},
    {"- a\n- b\nc\n\nd", "*a|*b c|d"},
    {"\n\n\n", ""},
    {"-a", "-a"},
    {"a\n- b", "a|*b"},
};

START_TEST(a_text_falls_into_paragraphs_and_items) {
  GArray *pieces = isw_guide_split_text(texts[_i].text);
  GString *told = g_string_new(NULL);
  for (guint i = 0; i < pieces->len; i++) {
    const struct isw_text_piece *piece = &g_array_index(pieces, struct isw_text_piece, i);
    g_string_append_printf(told, "%s%s%s", i > 0 ? "|" : "", piece->item ? "*" : "", piece->text);
  }
  ck_assert_str_eq(told->str, texts[_i].pieces);
  g_string_free(told, TRUE);
  g_array_unref(pieces);
}
END_TEST

START_TEST(a_name_finds_its_text) {
  char *pairs[] = {"spring=first", "spring-late=x=y", "spring-late=again", NULL};
  ck_assert_str_eq(isw_guide_text_of(pairs, "spring"), "first");
  ck_assert_str_eq(isw_guide_text_of(pairs, "spring-late"), "x=y");
  ck_assert_ptr_null(isw_guide_text_of(pairs, "sprin"));
  ck_assert_ptr_null(isw_guide_text_of(NULL, "spring"));
}
END_TEST

START_TEST(an_imprint_says_only_what_is_known) {
  struct isw_publication publication = {.publisher = "P", .contact = "C"};
  char *line = isw_guide_imprint(&publication);
  ck_assert_str_eq(line, "Published by P. Questions: C");
  g_free(line);
  ck_assert_ptr_null(isw_guide_imprint(&(struct isw_publication){.licence = "L"}));
  ck_assert_ptr_null(isw_guide_address_words(&publication));
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("publication");
  TCase *tcase = tcase_create("publication");
  tcase_add_loop_test(tcase, a_text_falls_into_paragraphs_and_items, 0,
                      (int)(sizeof texts / sizeof texts[0]));
  tcase_add_test(tcase, a_name_finds_its_text);
  tcase_add_test(tcase, an_imprint_says_only_what_is_known);
  suite_add_tcase(suite, tcase);
  return suite;
}

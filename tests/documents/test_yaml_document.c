/* What a YAML document refuses, in the words of the kind of document it is. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "documents/yaml_reader.h"
#include "suite_main.h"

static const struct isw_yaml_kind tool_list = {"tool list", "spades and rakes"};

static const struct {
  const char *text;
  const char *says;
} refused[] = {
    {"", "tools.yaml: empty; a tool list needs spades and rakes"},
    {"# only a comment\n", "tools.yaml: empty; a tool list needs spades and rakes"},
    {"a: \xE4\n", "tools.yaml:1: not UTF-8 text; save the tool list as UTF-8"},
    {"a: 1\n---\nb: 1\n", "tools.yaml:2: a second document begins"},
    {"a: &x 1\n", "tools.yaml:1: an anchor (&name)"},
    {"a: 1\nb: *x\n", "tools.yaml:2: an alias (*name)"},
    {"a: !!str 1\n", "tools.yaml:1: a tag (!name)"},
    {"a: [[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]\n", "tools.yaml:1: nested too deeply"},
    {"a: [1\n", "tools.yaml:2: not valid YAML"},
};

START_TEST(test_speaks_of_its_kind) {
  struct isw_error error = {ISW_OK, ""};
  yaml_document_t document;
  const char *text = refused[_i].text;
  ck_assert_int_eq(
      isw_documents_open_yaml(&tool_list, text, strlen(text), "tools.yaml", &document, &error),
      ISW_INPUT_CONTENT);
  ck_assert_msg(strncmp(error.text, refused[_i].says, strlen(refused[_i].says)) == 0, "%s",
                error.text);
  ck_assert_msg(strstr(error.text, "sheet") == NULL && strstr(error.text, "crop") == NULL, "%s",
                error.text);
}
END_TEST

START_TEST(test_too_large) {
  size_t size = ISW_YAML_BYTES_MAX + 1;
  char *text = malloc(size);
  memset(text, '#', size);
  struct isw_error error = {ISW_OK, ""};
  yaml_document_t document;
  ck_assert_int_eq(isw_documents_open_yaml(&tool_list, text, size, "t", &document, &error),
                   ISW_INPUT_CONTENT);
  ck_assert_ptr_nonnull(strstr(error.text, "a tool list is a page or two of text"));
  free(text);
}
END_TEST

/* Enter a document with the keys k0 .. k<n - 1>. */
static bool enter(const char *text, int n, struct isw_error *error) {
  enum { MOST = 100 };
  static char names[MOST][8];
  const char *keys[MOST + 1] = {NULL};
  for (int i = 0; i < n; i++) {
    snprintf(names[i], sizeof names[i], "k%d", i);
    keys[i] = names[i];
  }
  yaml_document_t document;
  ck_assert_int_eq(isw_documents_open_yaml(&tool_list, text, strlen(text), "t", &document, error),
                   ISW_OK);
  struct isw_yaml_reader reader = {&tool_list, "t", &document, error};
  struct isw_yaml_map top;
  bool fine = isw_documents_enter_map(&reader, yaml_document_get_root_node(&document), NULL, NULL,
                                      keys, &top);
  yaml_document_delete(&document);
  return fine;
}

START_TEST(test_any_number_of_keys) {
  struct isw_error error = {ISW_OK, ""};
  ck_assert(enter("k0: 1\nk99: 1\nk31: 1\nk32: 1\n", 100, &error));
  ck_assert(!enter("k99: 1\nk0: 1\nk99: 2\n", 100, &error));
  ck_assert_str_eq(error.text, "t:3: key 'k99' is given twice, first in line 1; keep one");
  ck_assert(!enter("k100: 1\n", 100, &error));
  ck_assert_ptr_nonnull(strstr(error.text, "t:1: unknown key 'k100'; did you mean 'k10'?"));
}
END_TEST

START_TEST(test_not_a_group) {
  struct isw_error error = {ISW_OK, ""};
  ck_assert(!enter("- 1\n", 1, &error));
  ck_assert_str_eq(error.text, "t:1: the tool list is a list; give a group of keys: k0 ...");
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("yaml document");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, test_speaks_of_its_kind, 0, (int)(sizeof refused / sizeof refused[0]));
  tcase_add_test(all, test_too_large);
  tcase_add_test(all, test_any_number_of_keys);
  tcase_add_test(all, test_not_a_group);
  suite_add_tcase(suite, all);
  return suite;
}

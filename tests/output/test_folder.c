/* The results folder: refused, replaced, swept, never half done. */
#define _XOPEN_SOURCE 700

#include <glib.h>
#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

#include "output/folder.h"
#include "suite_main.h"

static char *new_dir(void) {
  char *dir = g_build_filename(TEST_BINARY_DIR, "folder-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(dir));
  return dir;
}

static void put(const char *dir, const char *name, const char *text) {
  char *path = g_build_filename(dir, name, NULL);
  ck_assert(g_file_set_contents(path, text, -1, NULL));
  g_free(path);
}

static char *get(const char *dir, const char *name) {
  char *path = g_build_filename(dir, name, NULL), *text = NULL;
  g_file_get_contents(path, &text, NULL, NULL);
  g_free(path);
  return text;
}

static int count_entries(const char *dir) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  int n = 0;
  while (entries != NULL && g_dir_read_name(entries) != NULL) n++;
  if (entries != NULL) g_dir_close(entries);
  return n;
}

static void remove_dir(char *dir) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL) {
    char *path = g_build_filename(dir, name, NULL);
    g_remove(path);
    g_free(path);
  }
  g_dir_close(entries);
  g_rmdir(dir);
  g_free(dir);
}

static struct isw_folder *open_folder(const char *dir, bool overwrite) {
  static const char *const names[] = {"a.tif"};
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  enum isw_status status = isw_output_open_folder(dir, overwrite, 1, names, NULL, &folder, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  return folder;
}

/* A run that makes a.tif (with this text) and a run.json listing `results`. */
static void run_once(const char *dir, bool overwrite, const char *text, const char *record) {
  struct isw_folder *folder = open_folder(dir, overwrite);
  struct isw_error error = {.text = ""};
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.tif"), text, -1, NULL));
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "run.json"), record, -1, NULL));
  ck_assert_msg(isw_output_commit_folder(folder, "run.json", &error) == ISW_OK, "%s", error.text);
  isw_output_free_folder(folder);
}

START_TEST(results_appear_together_and_nothing_else) {
  char *dir = new_dir();
  run_once(dir, false, "one", "{}");
  char *text = get(dir, "a.tif");
  ck_assert_str_eq(text, "one");
  ck_assert_int_eq(count_entries(dir), 2);
  g_free(text);
  remove_dir(dir);
}
END_TEST

START_TEST(existing_results_are_refused) {
  static const char *const existing[] = {"a.tif", "run.json"};
  char *dir = new_dir();
  put(dir, existing[_i], "old");
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  static const char *const names[] = {"a.tif"};
  ck_assert_int_eq(isw_output_open_folder(dir, false, 1, names, NULL, &folder, &error),
                   ISW_USAGE_EXISTS);
  ck_assert_ptr_nonnull(strstr(error.text, existing[_i]));
  ck_assert_int_eq(count_entries(dir), 1);
  remove_dir(dir);
}
END_TEST

START_TEST(overwriting_removes_what_the_earlier_run_listed) {
  char *dir = new_dir();
  put(dir, "mine.txt", "not a result");
  put(dir, "b.tif", "old result");
  put(dir, "run.json",
      "{\"results\": [{\"file\": \"b.tif\"}, {\"file\": \"../mine.txt\"}, {\"file\": \"a.tif\"}]}");
  run_once(dir, true, "two", "{}");
  char *b = get(dir, "b.tif"), *mine = get(dir, "mine.txt"), *a = get(dir, "a.tif");
  ck_assert_ptr_null(b);
  ck_assert_str_eq(mine, "not a result");
  ck_assert_str_eq(a, "two");
  ck_assert_int_eq(count_entries(dir), 3);
  g_free(mine);
  g_free(a);
  remove_dir(dir);
}
END_TEST

START_TEST(a_failed_run_leaves_the_old_result) {
  char *dir = new_dir();
  run_once(dir, false, "one", "{}");
  struct isw_folder *folder = open_folder(dir, true);
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.tif"), "half", -1, NULL));
  isw_output_free_folder(folder);
  char *text = get(dir, "a.tif");
  ck_assert_str_eq(text, "one");
  ck_assert_int_eq(count_entries(dir), 2);
  g_free(text);
  remove_dir(dir);
}
END_TEST

START_TEST(leftovers_are_swept_but_not_a_living_runs) {
  char *dir = new_dir();
  char *dead = g_build_filename(dir, ".isosow-unfinished-abcdef", NULL);
  ck_assert_int_eq(g_mkdir(dead, 0777), 0);
  put(dead, "a.tif", "half");
  struct isw_folder *living = open_folder(dir, true);
  ck_assert(!g_file_test(dead, G_FILE_TEST_EXISTS));
  const char *path = isw_output_temporary_path(living, "a.tif");
  ck_assert(g_file_set_contents(path, "in the making", -1, NULL));
  struct isw_folder *second = open_folder(dir, true);
  ck_assert(g_file_test(path, G_FILE_TEST_EXISTS));
  isw_output_free_folder(second);
  isw_output_free_folder(living);
  ck_assert_int_eq(count_entries(dir), 0);
  g_free(dead);
  remove_dir(dir);
}
END_TEST

START_TEST(a_symlink_is_replaced_not_followed) {
  char *dir = new_dir(), *elsewhere = new_dir();
  put(elsewhere, "precious", "keep me");
  char *target = g_build_filename(elsewhere, "precious", NULL);
  char *link = g_build_filename(dir, "a.tif", NULL);
  ck_assert_int_eq(symlink(target, link), 0);
  run_once(dir, true, "new", "{}");
  char *kept = get(elsewhere, "precious"), *made = get(dir, "a.tif");
  ck_assert_str_eq(kept, "keep me");
  ck_assert_str_eq(made, "new");
  g_free(kept);
  g_free(made);
  g_free(target);
  g_free(link);
  remove_dir(dir);
  remove_dir(elsewhere);
}
END_TEST

START_TEST(a_folder_that_cannot_be_is_said) {
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  char *dir = new_dir();
  put(dir, "file", "x");
  char *on_file = g_build_filename(dir, "file", NULL);
  char *below_file = g_build_filename(dir, "file", "below", NULL);
  ck_assert_int_eq(isw_output_open_folder(on_file, false, 0, NULL, NULL, &folder, &error),
                   ISW_OUTPUT);
  ck_assert_int_eq(isw_output_open_folder(below_file, false, 0, NULL, NULL, &folder, &error),
                   ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "cannot be written"));
  g_free(on_file);
  g_free(below_file);
  remove_dir(dir);
}
END_TEST

/* Worked examples of SHA-256 published with FIPS 180-4: of "abc", and of a message of two blocks.
 */
START_TEST(checksums_are_sha256) {
  static const char two_blocks[] = "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
  char *dir = new_dir();
  put(dir, "abc", "abc");
  put(dir, "two", two_blocks);
  char *paths[] = {g_build_filename(dir, "abc", NULL), g_build_filename(dir, "absent", NULL),
                   g_build_filename(dir, "two", NULL)};
  for (int threads = 1; threads <= 4; threads++) {
    struct isw_checked_file files[] = {{.path = paths[0]}, {.path = paths[1]}, {.path = paths[2]}};
    struct isw_error error = {.text = ""};
    ck_assert_int_eq(isw_output_checksum_files(3, files, threads, &error), ISW_INPUT_FILE);
    ck_assert_ptr_nonnull(strstr(error.text, "absent"));
    ck_assert(!files[1].there);
    ck_assert_str_eq(files[0].sha256,
                     "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    ck_assert_int_eq(files[0].size, 3);
    ck_assert_str_eq(files[2].sha256,
                     "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    ck_assert_int_eq(files[2].size, sizeof two_blocks - 1);
  }
  for (int i = 0; i < 3; i++) g_free(paths[i]);
  remove_dir(dir);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("folder");
  TCase *folder = tcase_create("folder");
  tcase_add_test(folder, results_appear_together_and_nothing_else);
  tcase_add_loop_test(folder, existing_results_are_refused, 0, 2);
  tcase_add_test(folder, overwriting_removes_what_the_earlier_run_listed);
  tcase_add_test(folder, a_failed_run_leaves_the_old_result);
  tcase_add_test(folder, leftovers_are_swept_but_not_a_living_runs);
  tcase_add_test(folder, a_symlink_is_replaced_not_followed);
  tcase_add_test(folder, a_folder_that_cannot_be_is_said);
  tcase_add_test(folder, checksums_are_sha256);
  suite_add_tcase(suite, folder);
  return suite;
}

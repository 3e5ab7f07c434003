/* A single file: whole or not there, whoever is at work beside it. */
#define _XOPEN_SOURCE 700

#include <fcntl.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "output/whole_file.h"
#include "suite_main.h"

static char *dir, *path;

static void set_up(void) {
  dir = g_build_filename(TEST_BINARY_DIR, "whole-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(dir));
  path = g_build_filename(dir, "chart.png", NULL);
}

static int count_entries(void) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  int n = 0;
  while (g_dir_read_name(entries) != NULL) n++;
  g_dir_close(entries);
  return n;
}

static void tear_down(void) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL) {
    char *entry = g_build_filename(dir, name, NULL);
    g_remove(entry);
    g_free(entry);
  }
  g_dir_close(entries);
  g_rmdir(dir);
  g_free(dir);
  g_free(path);
}

static struct isw_whole_file *start(void) {
  struct isw_whole_file *file = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_output_start_file(path, &file, &error) == ISW_OK, "%s", error.text);
  fputs("new", isw_output_file_stream(file));
  return file;
}

static void expect_text(const char *expected) {
  char *text = NULL;
  ck_assert(g_file_get_contents(path, &text, NULL, NULL));
  ck_assert_str_eq(text, expected);
  g_free(text);
}

START_TEST(takes_its_name_at_the_end) {
  mode_t mask = umask(022);
  if (_i == 1) ck_assert(g_file_set_contents(path, "old", -1, NULL));
  struct isw_whole_file *file = start();
  ck_assert_int_eq(g_file_test(path, G_FILE_TEST_EXISTS), _i == 1);
  ck_assert_int_eq(isw_output_finish_file(file, NULL), ISW_OK);
  expect_text("new");
  ck_assert_int_eq(count_entries(), 1);
  struct stat facts;
  ck_assert_int_eq(stat(path, &facts), 0);
  ck_assert_int_eq(facts.st_mode & 0777, 0644);
  umask(mask);
}
END_TEST

START_TEST(given_up_leaves_nothing) {
  isw_output_drop_file(start());
  ck_assert_int_eq(count_entries(), 0);
}
END_TEST

START_TEST(what_comes_meanwhile_stays) {
  if (_i == 1) ck_assert(g_file_set_contents(path, "old", -1, NULL));
  struct isw_whole_file *file = start();
  ck_assert(g_file_set_contents(path, "theirs", -1, NULL));
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_output_finish_file(file, &error), ISW_OUTPUT);
  expect_text("theirs");
  ck_assert_int_eq(count_entries(), 1);
}
END_TEST

/* A planted link under the final name is replaced; what it leads to is left. */
START_TEST(links_are_not_followed) {
  char *target = g_build_filename(dir, "precious", NULL);
  ck_assert(g_file_set_contents(target, "precious", -1, NULL));
  ck_assert_int_eq(symlink(target, path), 0);
  ck_assert_int_eq(isw_output_finish_file(start(), NULL), ISW_OK);
  char *text = NULL;
  ck_assert(g_file_get_contents(target, &text, NULL, NULL));
  ck_assert_str_eq(text, "precious");
  expect_text("new");
  g_free(text);
  g_free(target);
}
END_TEST

/* A killed writer's file goes, a living one's stays. */
START_TEST(leftovers_are_swept) {
  char *dead = g_strdup_printf("%s/.chart.png-unfinished-000000", dir);
  char *living = g_strdup_printf("%s/.chart.png-unfinished-111111", dir);
  ck_assert(g_file_set_contents(dead, "half", -1, NULL));
  ck_assert(g_file_set_contents(living, "half", -1, NULL));
  int lock = g_open(living, O_RDWR, 0);
  ck_assert_int_eq(flock(lock, LOCK_EX | LOCK_NB), 0);
  ck_assert_int_eq(isw_output_finish_file(start(), NULL), ISW_OK);
  ck_assert(!g_file_test(dead, G_FILE_TEST_EXISTS));
  ck_assert(g_file_test(living, G_FILE_TEST_EXISTS));
  close(lock);
  g_free(dead);
  g_free(living);
}
END_TEST

START_TEST(a_full_disk_is_said) {
  struct rlimit limit = {2, 2};
  signal(SIGXFSZ, SIG_IGN);
  struct isw_whole_file *file = start();
  ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_output_finish_file(file, &error), ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "chart.png: cannot be written"));
  ck_assert_ptr_nonnull(strstr(error.text, "room on the disk"));
  ck_assert_int_eq(count_entries(), 0);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("whole file");
  TCase *whole = tcase_create("whole file");
  tcase_add_checked_fixture(whole, set_up, tear_down);
  tcase_add_loop_test(whole, takes_its_name_at_the_end, 0, 2);
  tcase_add_test(whole, given_up_leaves_nothing);
  tcase_add_loop_test(whole, what_comes_meanwhile_stays, 0, 2);
  tcase_add_test(whole, links_are_not_followed);
  tcase_add_test(whole, leftovers_are_swept);
  tcase_add_test(whole, a_full_disk_is_said);
  suite_add_tcase(suite, whole);
  return suite;
}

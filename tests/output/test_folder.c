/* The results folder: refused, replaced, swept, never half done. */
#define _XOPEN_SOURCE 700

#include <glib.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "output/checksum.h"
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

/* A run that will make a.tif; input: a path it reads, or NULL. */
static enum isw_status try_folder(const char *dir, enum isw_replace replace, const char *input,
                                  struct isw_folder **folder, struct isw_error *error) {
  static const char *const names[] = {"a.tif"};
  const struct isw_earlier_request request = {.dir = dir,
                                              .replace = replace,
                                              .n_names = 1,
                                              .names = names,
                                              .n_inputs = input != NULL ? 1 : 0,
                                              .inputs = &input,
                                              .threads = 1};
  return isw_output_open_folder(&request, NULL, folder, error);
}

static struct isw_folder *open_folder(const char *dir, bool overwrite) {
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  enum isw_status status =
      try_folder(dir, overwrite ? ISW_REPLACE_RESULTS : ISW_REPLACE_NOTHING, NULL, &folder, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  return folder;
}

/* run.json in dir: pairs of a result's name and the text whose checksum it has; NULL ends them. */
static void put_record(const char *dir, const char *const *results) {
  GString *text = g_string_new("{\"results\": [");
  for (int i = 0; results[i] != NULL; i += 2) {
    char *sum = g_compute_checksum_for_string(G_CHECKSUM_SHA256, results[i + 1], -1);
    g_string_append_printf(text, "%s{\"file\": \"%s\", \"sha256\": \"%s\"}", i > 0 ? ", " : "",
                           results[i], sum);
    g_free(sum);
  }
  g_string_append(text, "]}");
  put(dir, "run.json", text->str);
  g_string_free(text, TRUE);
}

/* a.tif with this text, and a record that lists nothing, put in place. */
static void commit(struct isw_folder *folder, const char *text) {
  struct isw_error error = {.text = ""};
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.tif"), text, -1, NULL));
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "run.json"), "{}", -1, NULL));
  ck_assert_msg(isw_output_commit_folder(folder, &error) == ISW_OK, "%s", error.text);
}

/* A run that makes a.tif (with this text) and a run.json listing `results`. */
static void run_once(const char *dir, bool overwrite, const char *text, const char *record) {
  struct isw_folder *folder = open_folder(dir, overwrite);
  struct isw_error error = {.text = ""};
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.tif"), text, -1, NULL));
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "run.json"), record, -1, NULL));
  ck_assert_msg(isw_output_commit_folder(folder, &error) == ISW_OK, "%s", error.text);
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
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_NOTHING, NULL, &folder, &error), ISW_USAGE_EXISTS);
  ck_assert_ptr_nonnull(strstr(error.text, existing[_i]));
  ck_assert_int_eq(count_entries(dir), 1);
  remove_dir(dir);
}
END_TEST

START_TEST(overwriting_removes_what_the_earlier_run_listed) {
  char *dir = new_dir();
  put(dir, "mine.txt", "not a result");
  put(dir, "b.tif", "old result");
  put(dir, "c.tif", "a result of then, edited since");
  put_record(dir, (const char *const[]){"b.tif", "old result", "c.tif", "as it was made",
                                        "../mine.txt", "not a result", NULL});
  run_once(dir, true, "two", "{}");
  char *b = get(dir, "b.tif"), *mine = get(dir, "mine.txt"), *a = get(dir, "a.tif");
  char *edited = get(dir, "c.tif");
  ck_assert_str_eq(edited, "a result of then, edited since");
  g_free(edited);
  ck_assert_ptr_null(b);
  ck_assert_str_eq(mine, "not a result");
  ck_assert_str_eq(a, "two");
  ck_assert_int_eq(count_entries(dir), 4);
  g_free(mine);
  g_free(a);
  remove_dir(dir);
}
END_TEST

/* Somebody's work on a result, or a file of that name that no run of ours made: --overwrite leaves
 * it; the repair of a damaged result does not. */
START_TEST(what_was_changed_since_is_not_overwritten) {
  char *dir = new_dir();
  put(dir, "a.tif", "edited by hand");
  put_record(dir, (const char *const[]){"a.tif", "as it was made", NULL});
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_RESULTS, NULL, &folder, &error), ISW_USAGE);
  ck_assert_ptr_nonnull(strstr(error.text, "a.tif: was changed"));
  char *text = get(dir, "a.tif");
  ck_assert_str_eq(text, "edited by hand");
  ck_assert_int_eq(count_entries(dir), 2);
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_DAMAGED, NULL, &folder, &error), ISW_OK);
  isw_output_free_folder(folder);
  g_free(text);
  remove_dir(dir);
}
END_TEST

/* By its own name, and through a link elsewhere. */
START_TEST(an_input_is_not_overwritten) {
  char *dir = new_dir(), *elsewhere = new_dir();
  put(dir, "a.tif", "normals");
  char *input = g_build_filename(dir, "a.tif", NULL);
  char *link = g_build_filename(elsewhere, "normals.tif", NULL);
  ck_assert_int_eq(symlink(input, link), 0);
  const char *const inputs[] = {input, link};
  for (size_t i = 0; i < G_N_ELEMENTS(inputs); i++) {
    struct isw_folder *folder = NULL;
    struct isw_error error = {.text = ""};
    ck_assert_int_eq(try_folder(dir, ISW_REPLACE_DAMAGED, inputs[i], &folder, &error), ISW_USAGE);
    ck_assert_ptr_nonnull(strstr(error.text, "is an input of this run"));
  }
  ck_assert_int_eq(count_entries(dir), 1);
  g_free(input);
  g_free(link);
  remove_dir(dir);
  remove_dir(elsewhere);
}
END_TEST

/* A result of the earlier run that this run reads and does not make stays. */
START_TEST(an_input_is_not_removed_either) {
  char *dir = new_dir();
  put(dir, "b.tif", "old result");
  put_record(dir, (const char *const[]){"b.tif", "old result", NULL});
  char *input = g_build_filename(dir, "b.tif", NULL);
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_RESULTS, input, &folder, &error), ISW_OK);
  commit(folder, "new");
  isw_output_free_folder(folder);
  char *text = get(dir, "b.tif");
  ck_assert_ptr_nonnull(text);
  g_free(text);
  g_free(input);
  remove_dir(dir);
}
END_TEST

/* Appears, or changes, while the run is at work. */
START_TEST(what_is_written_meanwhile_is_not_replaced) {
  char *dir = new_dir();
  if (_i == 1) run_once(dir, false, "one", "{}");
  struct isw_folder *folder = open_folder(dir, _i == 1);
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.tif"), "two", -1, NULL));
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "run.json"), "{}", -1, NULL));
  put(dir, "a.tif", "somebody's");
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_output_commit_folder(folder, &error), ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "a.tif"));
  isw_output_free_folder(folder);
  char *text = get(dir, "a.tif");
  ck_assert_str_eq(text, "somebody's");
  ck_assert_int_eq(count_entries(dir), _i == 1 ? 2 : 1);
  g_free(text);
  remove_dir(dir);
}
END_TEST

/* One run at a time; a lock whose process is gone does not count. */
START_TEST(a_second_run_is_refused) {
  char *dir = new_dir();
  put(dir, ".isosow-lock", "left by a killed run");
  struct isw_folder *first = open_folder(dir, false), *second = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_NOTHING, NULL, &second, &error), ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "another run is writing there"));
  ck_assert_int_eq(isw_base_exit_code(error.status), 4);
  isw_output_free_folder(first);
  ck_assert_int_eq(count_entries(dir), 0);
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_NOTHING, NULL, &second, &error), ISW_OK);
  isw_output_free_folder(second);
  remove_dir(dir);
}
END_TEST

/* A planted link is no lock, and what it leads to is not made. */
START_TEST(a_lock_is_not_followed) {
  char *dir = new_dir(), *elsewhere = new_dir();
  char *link = g_build_filename(dir, ".isosow-lock", NULL);
  char *target = g_build_filename(elsewhere, "made", NULL);
  ck_assert_int_eq(symlink(target, link), 0);
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_NOTHING, NULL, &folder, &error), ISW_OUTPUT);
  ck_assert_int_eq(count_entries(elsewhere), 0);
  g_free(link);
  g_free(target);
  remove_dir(dir);
  remove_dir(elsewhere);
}
END_TEST

/* The earlier run made a.tif and b.tif, this one makes a.tif; a rename that fails half-way or a
 * kill there leaves the earlier set whole. */
START_TEST(a_cut_commit_goes_back) {
  char *dir = new_dir();
  char *dead = g_build_filename(dir, ".isosow-unfinished-abcdef", NULL);
  char *earlier = g_build_filename(dead, ".earlier", NULL);
  ck_assert_int_eq(g_mkdir_with_parents(earlier, 0777), 0);
  put(earlier, "a.tif", "old");
  put(earlier, "b.tif", "old b");
  put_record(earlier, (const char *const[]){"a.tif", "old", "b.tif", "old b", NULL});
  put(dir, "a.tif", "new"); /* in place already, and as the new record has it */
  put(dir, "c.tif", "somebody's");
  put_record(dead, (const char *const[]){"a.tif", "new", "c.tif", "new c", NULL});
  ck_assert(isw_output_commit_was_cut(dir));
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  /* a.tif is there, so nothing is touched without leave */
  ck_assert_int_eq(try_folder(dir, ISW_REPLACE_NOTHING, NULL, &folder, &error), ISW_USAGE_EXISTS);
  folder = open_folder(dir, true);
  char *a = get(dir, "a.tif"), *b = get(dir, "b.tif"), *c = get(dir, "c.tif");
  ck_assert_str_eq(a, "old");
  ck_assert_str_eq(b, "old b");
  ck_assert_str_eq(c, "somebody's");
  ck_assert(!g_file_test(dead, G_FILE_TEST_EXISTS));
  isw_output_free_folder(folder);
  ck_assert_int_eq(count_entries(dir), 4);
  ck_assert(!isw_output_commit_was_cut(dir));
  g_free(a);
  g_free(b);
  g_free(c);
  g_free(earlier);
  g_free(dead);
  remove_dir(dir);
}
END_TEST

START_TEST(a_failed_rename_goes_back) {
  char *dir = new_dir();
  put(dir, "a.tif", "old");
  put_record(dir, (const char *const[]){"a.tif", "old", NULL});
  struct isw_folder *folder = open_folder(dir, true);
  /* z.tif, asked for and never made, cannot be renamed; a.tif comes before it. */
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.tif"), "new", -1, NULL));
  isw_output_temporary_path(folder, "z.tif");
  char *made = g_path_get_dirname(isw_output_temporary_path(folder, "run.json"));
  put_record(made, (const char *const[]){"a.tif", "new", NULL});
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_output_commit_folder(folder, &error), ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "z.tif: cannot be put in place"));
  ck_assert_ptr_nonnull(strstr(error.text, "the folder is as it was"));
  isw_output_free_folder(folder);
  char *a = get(dir, "a.tif"), *record = get(dir, "run.json");
  ck_assert_str_eq(a, "old");
  ck_assert_ptr_nonnull(record);
  ck_assert_int_eq(count_entries(dir), 2);
  g_free(a);
  g_free(record);
  g_free(made);
  remove_dir(dir);
}
END_TEST

/* Deep, long, with bytes that are no JSON, or no plain file: no record, and no crash. */
START_TEST(a_hostile_record_is_none) {
  char *dir = new_dir();
  enum { DEEP = 200000 };
  GString *deep = g_string_new("{\"results\": ");
  for (int i = 0; i < DEEP; i++) g_string_append_c(deep, '[');
  const char *const texts[] = {deep->str, "/*\"*/ [", "{\"results\": [\"]\", 1, {\"file\": 3}]}",
                               "{\"results\": {}}", ""};
  char *path = g_build_filename(dir, "run.json", NULL);
  for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) {
    put(dir, "run.json", texts[i]);
    GPtrArray *listed = isw_output_list_recorded(path);
    ck_assert_uint_eq(listed->len, 0);
    g_ptr_array_unref(listed);
  }
  g_unlink(path);
  ck_assert_int_eq(mkfifo(path, 0666), 0); /* nobody writes to it */
  GPtrArray *listed = isw_output_list_recorded(path);
  ck_assert_uint_eq(listed->len, 0);
  g_ptr_array_unref(listed);
  g_string_free(deep, TRUE);
  g_free(path);
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

START_TEST(leftovers_are_swept) {
  char *dir = new_dir();
  char *dead = g_build_filename(dir, ".isosow-unfinished-abcdef", NULL);
  ck_assert_int_eq(g_mkdir(dead, 0777), 0);
  put(dead, "a.tif", "half");
  struct isw_folder *living = open_folder(dir, true);
  ck_assert(!g_file_test(dead, G_FILE_TEST_EXISTS));
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
  ck_assert_int_eq(try_folder(on_file, ISW_REPLACE_NOTHING, NULL, &folder, &error), ISW_OUTPUT);
  ck_assert_int_eq(try_folder(below_file, ISW_REPLACE_NOTHING, NULL, &folder, &error), ISW_OUTPUT);
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

/* Beside an earlier run's results and record, which stay; of its own names it replaces what it may.
 */
START_TEST(without_a_record_only_own_names_go) {
  static const char *const names[] = {"a.png", "b.png"};
  char *dir = new_dir();
  run_once(dir, false, "a map", "{\"results\": []}");
  put_record(dir, (const char *const[]){"a.tif", "a map", NULL});
  put(dir, "b.png", "old");
  struct isw_earlier_request request = {
      .dir = dir, .no_record = true, .n_names = 2, .names = names, .threads = 1};
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_output_open_folder(&request, NULL, &folder, &error), ISW_USAGE_EXISTS);
  ck_assert_ptr_nonnull(strstr(error.text, "b.png"));
  request.replace = ISW_REPLACE_RESULTS;
  ck_assert_int_eq(isw_output_open_folder(&request, NULL, &folder, &error), ISW_OK);
  for (int i = 0; i < 2; i++)
    ck_assert(g_file_set_contents(isw_output_temporary_path(folder, names[i]), "new", -1, NULL));
  ck_assert_msg(isw_output_commit_folder(folder, &error) == ISW_OK, "%s", error.text);
  isw_output_free_folder(folder);
  const struct {
    const char *name, *text;
  } left[] = {{"a.png", "new"}, {"b.png", "new"}, {"a.tif", "a map"}};
  for (int i = 0; i < 3; i++) {
    char *text = get(dir, left[i].name);
    ck_assert_str_eq(text, left[i].text);
    g_free(text);
  }
  ck_assert_int_eq(count_entries(dir), 4); /* with run.json */
  remove_dir(dir);
}
END_TEST

/* One of them cannot be put in place: that is told, and what was there before stays. */
START_TEST(without_a_record_a_failure_counts) {
  static const char *const names[] = {"a.png", "b.png"};
  char *dir = new_dir();
  const struct isw_earlier_request request = {
      .dir = dir, .no_record = true, .n_names = 2, .names = names, .threads = 1};
  struct isw_folder *folder = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_output_open_folder(&request, NULL, &folder, &error), ISW_OK);
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "a.png"), "new", -1, NULL));
  isw_output_temporary_path(folder, "b.png"); /* and never made */
  ck_assert_int_eq(isw_output_commit_folder(folder, &error), ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "1 of 2 results are"));
  isw_output_free_folder(folder);
  ck_assert_int_eq(count_entries(dir), 1);
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
  tcase_add_test(folder, what_was_changed_since_is_not_overwritten);
  tcase_add_test(folder, an_input_is_not_overwritten);
  tcase_add_test(folder, an_input_is_not_removed_either);
  tcase_add_loop_test(folder, what_is_written_meanwhile_is_not_replaced, 0, 2);
  tcase_add_test(folder, leftovers_are_swept);
  tcase_add_test(folder, a_second_run_is_refused);
  tcase_add_test(folder, a_lock_is_not_followed);
  tcase_add_test(folder, a_cut_commit_goes_back);
  tcase_add_test(folder, a_failed_rename_goes_back);
  tcase_add_test(folder, a_hostile_record_is_none);
  tcase_add_test(folder, a_symlink_is_replaced_not_followed);
  tcase_add_test(folder, a_folder_that_cannot_be_is_said);
  tcase_add_test(folder, checksums_are_sha256);
  tcase_add_test(folder, without_a_record_only_own_names_go);
  tcase_add_test(folder, without_a_record_a_failure_counts);
  suite_add_tcase(suite, folder);
  return suite;
}

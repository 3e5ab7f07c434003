/* A results folder's run.json from any bytes, as --resume and --overwrite read it: the record of
 * another run or of this one; no result outside the folder, nothing to be replaced but what the
 * bytes on the disk agree with. */
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuzz_input.h"
#include "output/earlier_results.h"
#include "output/run_match.h"

static const char result[] = "a.tif"; /* empty, in the folder */
static char *dir, *record_path, *result_path;

static void remove_folder(void) {
  g_unlink(record_path);
  g_unlink(result_path);
  g_rmdir(dir);
}

/* One folder for the whole search, its record written over for each input. */
static void make_folder(void) {
  dir = g_dir_make_tmp(NULL, NULL);
  if (dir == NULL) abort();
  record_path = g_build_filename(dir, isw_output_record_name, NULL);
  result_path = g_build_filename(dir, result, NULL);
  if (!g_file_set_contents(result_path, "", 0, NULL)) abort();
  atexit(remove_folder);
}

static void expect_listed(void) {
  GPtrArray *listed = isw_output_list_recorded(record_path);
  bool *unchanged = isw_output_find_unchanged(dir, listed, 1);
  for (guint i = 0; i < listed->len; i++) {
    const struct isw_listed_result *item = g_ptr_array_index(listed, i);
    FUZZ_EXPECT(item->name[0] != '\0' && strchr(item->name, '/') == NULL);
    FUZZ_EXPECT(strcmp(item->name, "..") != 0 && strcmp(item->name, ".") != 0);
    if (unchanged[i]) FUZZ_EXPECT(strlen(item->sha256) == ISW_CHECKSUM_SIZE - 1);
  }
  g_free(unchanged);
  g_ptr_array_unref(listed);
}

static void expect_match(void) {
  static char nothing[] = "";
  static struct isw_sheet sheet = {.crop = nothing, .text = nothing};
  const struct isw_sheet *sheets = &sheet;
  struct isw_run_facts facts = {.grid = {.width = 1, .height = 1, .wkt = nothing}};
  const struct isw_run_decisions run = {
      .command_name = "map", .facts = &facts, .n_sheets = 1, .sheets = &sheets};
  const char *const names[] = {result};
  struct isw_run_match match;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_output_match_run_record(&run, 1, names, dir, 1, &match, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  if (status == ISW_OK) FUZZ_EXPECT(match.kind != ISW_RUN_NONE);
  FUZZ_EXPECT(memchr(match.what, '\0', sizeof match.what) != NULL);
}

static void expect_replaceable(void) {
  static const char *const names[] = {result, isw_output_record_name};
  const struct isw_earlier_request request = {.dir = dir,
                                              .replace = ISW_REPLACE_RESULTS,
                                              .n_names = G_N_ELEMENTS(names),
                                              .names = names,
                                              .threads = 1};
  GHashTable *table = NULL;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_output_find_replaceable(&request, &table, &error);
  if (status != ISW_OK) {
    fuzz_expect_told(status, &error);
    return;
  }
  GHashTableIter at;
  gpointer name;
  g_hash_table_iter_init(&at, table);
  while (g_hash_table_iter_next(&at, &name, NULL))
    FUZZ_EXPECT(strcmp(name, result) == 0 || strcmp(name, isw_output_record_name) == 0);
  g_hash_table_unref(table);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (dir == NULL) make_folder();
  FILE *file = fopen(record_path, "wb");
  if (file == NULL || fwrite(data, 1, size, file) != size || fclose(file) != 0) abort();
  expect_listed();
  expect_match();
  expect_replaceable();
  return 0;
}

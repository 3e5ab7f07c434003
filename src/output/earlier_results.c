#include "output/earlier_results.h"

#include <string.h>

#include "output/checksum.h"
#include "output/json_text.h"

const char isw_output_record_name[] = "run.json";

/* A plain file name: results never leave their folder, whatever a record says. */
static bool is_plain_name(const char *name) {
  return name[0] != '\0' && strchr(name, '/') == NULL && strcmp(name, ".") != 0 &&
         strcmp(name, "..") != 0;
}

static void free_listed(gpointer data) {
  struct isw_listed_result *listed = data;
  g_free(listed->name);
  g_free(listed->sha256);
  g_free(listed);
}

GPtrArray *isw_output_list_recorded(const char *record_path) {
  GPtrArray *list = g_ptr_array_new_with_free_func(free_listed);
  JsonObject *record = isw_output_read_json(record_path);
  JsonArray *results = record != NULL ? isw_output_json_list(record, "results") : NULL;
  guint n = results != NULL ? json_array_get_length(results) : 0;
  for (guint i = 0; i < n; i++) {
    JsonNode *item = json_array_get_element(results, i);
    if (!JSON_NODE_HOLDS_OBJECT(item)) continue;
    const char *name = isw_output_json_words(json_node_get_object(item), "file", "");
    const char *sum = isw_output_json_words(json_node_get_object(item), "sha256", "");
    if (!is_plain_name(name)) continue;
    struct isw_listed_result *listed = g_new0(struct isw_listed_result, 1);
    listed->name = g_strdup(name);
    listed->sha256 = g_strdup(sum);
    g_ptr_array_add(list, listed);
  }
  if (record != NULL) json_object_unref(record);
  return list;
}

bool *isw_output_find_unchanged(const char *dir, const GPtrArray *listed, int threads) {
  guint n = listed->len;
  bool *unchanged = g_new0(bool, n + 1);
  struct isw_checked_file *files = g_new0(struct isw_checked_file, n + 1);
  char **paths = g_new0(char *, n + 1);
  for (guint i = 0; i < n; i++) {
    const struct isw_listed_result *result = g_ptr_array_index(listed, i);
    files[i].path = paths[i] = g_build_filename(dir, result->name, NULL);
  }
  isw_output_checksum_files((int)n, files, threads, NULL);
  for (guint i = 0; i < n; i++) {
    const struct isw_listed_result *result = g_ptr_array_index(listed, i);
    /* A disk that stumbles once is asked again, before anybody is told of a change. */
    if (!files[i].there) isw_output_checksum_files(1, &files[i], 1, NULL);
    unchanged[i] = files[i].there && strcmp(files[i].sha256, result->sha256) == 0;
  }
  g_strfreev(paths);
  g_free(files);
  return unchanged;
}

static bool is_input(const struct isw_earlier_request *request,
                     const struct isw_file_identity *entry) {
  for (int i = 0; i < request->n_inputs; i++) {
    struct isw_file_identity file = isw_output_identify_file(request->inputs[i]);
    struct isw_file_identity named = isw_output_identify_entry(request->inputs[i]);
    if (isw_output_one_file(entry, &file) || isw_output_one_file(entry, &named)) return true;
  }
  return false;
}

static void note(GHashTable *table, const char *name, const struct isw_file_identity *entry) {
  g_hash_table_insert(table, g_strdup(name), g_memdup2(entry, sizeof *entry));
}

/* To its end: a file that differs is not taken for one that the disk does not give. */
static bool can_be_read(const char *path) {
  struct isw_checked_file file = {.path = path};
  return isw_output_checksum_files(1, &file, 1, NULL) == ISW_OK;
}

/* A result's name: listed says what the earlier record knows of it, NULL: nothing. */
static enum isw_status judge_name(const struct isw_earlier_request *request, const char *name,
                                  const bool *unchanged, GHashTable *table,
                                  struct isw_error *error) {
  char *path = g_build_filename(request->dir, name, NULL);
  struct isw_file_identity entry = isw_output_identify_entry(path);
  enum isw_status status = ISW_OK;
  if (entry.there && is_input(request, &entry))
    status = isw_base_fail(error, ISW_USAGE,
                           "%s: is an input of this run, and a result would take its name; choose "
                           "another folder",
                           path);
  else if (entry.there && !entry.link && unchanged != NULL && !*unchanged &&
           request->replace == ISW_REPLACE_RESULTS && !can_be_read(path))
    status =
        isw_base_fail(error, ISW_OUTPUT,
                      "%s: cannot be read, so nobody can say whether it may be replaced; is the "
                      "disk in order?",
                      path);
  else if (entry.there && !entry.link && unchanged != NULL && !*unchanged &&
           request->replace == ISW_REPLACE_RESULTS)
    status = isw_base_fail(error, ISW_USAGE,
                           "%s: was changed since the run that made it, and is not replaced; move "
                           "it away, or choose another folder",
                           path);
  else if (entry.there)
    note(table, name, &entry);
  g_free(path);
  return status;
}

/* What the earlier run made and this one does not. */
static void add_superseded(const struct isw_earlier_request *request, const char *name,
                           GHashTable *table) {
  if (g_hash_table_contains(table, name)) return;
  char *path = g_build_filename(request->dir, name, NULL);
  struct isw_file_identity entry = isw_output_identify_entry(path);
  if (entry.there && !entry.link && !is_input(request, &entry)) note(table, name, &entry);
  g_free(path);
}

enum isw_status isw_output_find_replaceable(const struct isw_earlier_request *request,
                                            GHashTable **out, struct isw_error *error) {
  GHashTable *table = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
  *out = table;
  if (request->replace == ISW_REPLACE_NOTHING) return ISW_OK;
  char *record = g_build_filename(request->dir, isw_output_record_name, NULL);
  GPtrArray *listed = isw_output_list_recorded(record);
  bool *unchanged = isw_output_find_unchanged(request->dir, listed, request->threads);
  GHashTable *known = g_hash_table_new(g_str_hash, g_str_equal); /* name -> its flag */
  for (guint i = 0; i < listed->len; i++) {
    struct isw_listed_result *result = g_ptr_array_index(listed, i);
    g_hash_table_insert(known, result->name, &unchanged[i]);
  }
  enum isw_status status =
      request->no_record ? ISW_OK : judge_name(request, isw_output_record_name, NULL, table, error);
  for (int i = 0; i < request->n_names && status == ISW_OK; i++)
    status = judge_name(request, request->names[i], g_hash_table_lookup(known, request->names[i]),
                        table, error);
  for (guint i = 0; i < listed->len && status == ISW_OK && !request->no_record; i++)
    if (unchanged[i])
      add_superseded(request, ((struct isw_listed_result *)g_ptr_array_index(listed, i))->name,
                     table);
  if (status != ISW_OK) {
    g_hash_table_unref(table);
    *out = NULL;
  }
  g_hash_table_unref(known);
  g_ptr_array_unref(listed);
  g_free(unchanged);
  g_free(record);
  return status;
}

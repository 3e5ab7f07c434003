/* Is the run that is about to start the one whose results are there? */
#include <glib.h>
#include <string.h>

#include "output/run_decisions.h"

/* A member that differs, or NULL. Numbers are compared as the file has them. */
static const char *differing_member(JsonObject *decided, JsonObject *recorded) {
  GList *names = json_object_get_members(decided);
  const char *differs = NULL;
  for (GList *name = names; name != NULL && differs == NULL; name = name->next) {
    JsonNode *now = json_object_get_member(decided, name->data);
    JsonNode *then = json_object_get_member(recorded, name->data);
    char *now_text = json_to_string(now, FALSE);
    char *then_text = then != NULL ? json_to_string(then, FALSE) : NULL;
    if (g_strcmp0(now_text, then_text) != 0) differs = name->data;
    g_free(now_text);
    g_free(then_text);
  }
  g_list_free(names);
  return differs;
}

static JsonObject *parse_object(JsonParser *parser) {
  JsonNode *root = json_parser_get_root(parser);
  return root != NULL && JSON_NODE_HOLDS_OBJECT(root) ? json_node_get_object(root) : NULL;
}

/* Text and back, so that both sides went through the same writer and reader. */
static enum isw_status compare_decisions(const struct isw_run_record *record, JsonObject *recorded,
                                         struct isw_run_match *out, struct isw_error *error) {
  struct isw_run_facts noted = {.n_inputs = 0};
  enum isw_status status =
      record->facts != NULL
          ? ISW_OK
          : isw_output_note_facts(record->climate, record->threads, &noted, error);
  if (status != ISW_OK) return status;
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  status = isw_output_add_run_decisions(builder, record,
                                        record->facts != NULL ? record->facts : &noted, error);
  json_builder_end_object(builder);
  isw_output_clear_facts(&noted);
  if (status == ISW_OK) {
    JsonNode *root = json_builder_get_root(builder);
    char *text = json_to_string(root, FALSE);
    JsonParser *parser = json_parser_new();
    JsonObject *decided =
        json_parser_load_from_data(parser, text, -1, NULL) ? parse_object(parser) : NULL;
    const char *differs = decided != NULL ? differing_member(decided, recorded) : "isosow";
    if (differs != NULL) {
      out->kind = ISW_RUN_OTHER;
      g_strlcpy(out->what, differs, sizeof out->what);
    }
    g_object_unref(parser);
    g_free(text);
    json_node_unref(root);
  }
  g_object_unref(builder);
  return status;
}

/* Whether every result has the checksum recorded. */
static void compare_files(const struct isw_run_record *record, const char *const *sums,
                          const char *dir, struct isw_run_match *out) {
  int n = record->n_results;
  struct isw_checked_file *files = g_new0(struct isw_checked_file, n);
  char **paths = g_new0(char *, n + 1);
  for (int i = 0; i < n; i++)
    files[i].path = paths[i] = g_build_filename(dir, record->results[i], NULL);
  isw_output_checksum_files(n, files, record->threads, NULL);
  int i = 0;
  while (i < n && files[i].there && strcmp(files[i].sha256, sums[i]) == 0) i++;
  if (i < n) {
    out->kind = ISW_RUN_DAMAGED;
    g_snprintf(out->what, sizeof out->what, "%s is %s", record->results[i],
               files[i].there ? "not what it was" : "missing");
  }
  g_strfreev(paths);
  g_free(files);
}

/* Whether the record lists exactly these results, and each is as it says. */
static void compare_results(const struct isw_run_record *record, JsonObject *recorded,
                            const char *dir, struct isw_run_match *out) {
  JsonNode *node = json_object_get_member(recorded, "results");
  JsonArray *list = node != NULL && JSON_NODE_HOLDS_ARRAY(node) ? json_node_get_array(node) : NULL;
  if (list == NULL || (int)json_array_get_length(list) != record->n_results) {
    *out = (struct isw_run_match){ISW_RUN_OTHER, "results"};
    return;
  }
  int n = record->n_results;
  const char **sums = g_new0(const char *, n);
  bool named_alike = true;
  for (int i = 0; i < n && named_alike; i++) {
    JsonNode *item = json_array_get_element(list, (guint)i);
    JsonObject *result = JSON_NODE_HOLDS_OBJECT(item) ? json_node_get_object(item) : NULL;
    const char *name =
        result != NULL ? json_object_get_string_member_with_default(result, "file", "") : "";
    named_alike = strcmp(name, record->results[i]) == 0;
    if (named_alike) sums[i] = json_object_get_string_member_with_default(result, "sha256", "");
  }
  if (named_alike)
    compare_files(record, sums, dir, out);
  else
    *out = (struct isw_run_match){ISW_RUN_OTHER, "results"};
  g_free(sums);
}

enum isw_status isw_output_match_run_record(const struct isw_run_record *record, const char *dir,
                                            struct isw_run_match *out, struct isw_error *error) {
  *out = (struct isw_run_match){ISW_RUN_NONE, ""};
  char *path = g_build_filename(dir, "run.json", NULL);
  JsonParser *parser = json_parser_new();
  bool there = g_file_test(path, G_FILE_TEST_EXISTS);
  JsonObject *recorded =
      json_parser_load_from_file(parser, path, NULL) ? parse_object(parser) : NULL;
  enum isw_status status = ISW_OK;
  if (there && recorded == NULL) *out = (struct isw_run_match){ISW_RUN_OTHER, "run.json"};
  if (recorded != NULL) {
    out->kind = ISW_RUN_SAME;
    status = compare_decisions(record, recorded, out, error);
    if (status == ISW_OK && out->kind == ISW_RUN_SAME) compare_results(record, recorded, dir, out);
  }
  g_object_unref(parser);
  g_free(path);
  return status;
}

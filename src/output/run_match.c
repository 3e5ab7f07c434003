#include "output/run_match.h"

#include <glib.h>
#include <string.h>

#include "output/earlier_results.h"
#include "output/json_text.h"

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

/* Text and back, so that both sides went through the same writer and reader. */
static enum isw_status compare_decisions(const struct isw_run_decisions *run, JsonObject *recorded,
                                         struct isw_run_match *out, struct isw_error *error) {
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  enum isw_status status = isw_output_add_run_decisions(builder, run, error);
  json_builder_end_object(builder);
  if (status == ISW_OK) {
    JsonNode *root = json_builder_get_root(builder);
    char *text = json_to_string(root, FALSE);
    JsonObject *decided = isw_output_parse_json(text, strlen(text));
    const char *differs = decided != NULL ? differing_member(decided, recorded) : "isosow";
    if (differs != NULL) {
      out->kind = ISW_RUN_OTHER;
      g_strlcpy(out->what, differs, sizeof out->what);
    }
    if (decided != NULL) json_object_unref(decided);
    g_free(text);
    json_node_unref(root);
  }
  g_object_unref(builder);
  return status;
}

/* Whether the record lists exactly these results, and each is as it says. */
static void compare_results(int n_results, const char *const *results, const char *dir,
                            const char *record_path, int threads, struct isw_run_match *out) {
  GPtrArray *listed = isw_output_list_recorded(record_path);
  bool named_alike = (int)listed->len == n_results;
  for (int i = 0; i < n_results && named_alike; i++) {
    const struct isw_listed_result *result = g_ptr_array_index(listed, (guint)i);
    named_alike = strcmp(result->name, results[i]) == 0;
  }
  if (named_alike) {
    bool *unchanged = isw_output_find_unchanged(dir, listed, threads);
    int i = 0;
    while (i < n_results && unchanged[i]) i++;
    if (i < n_results) {
      char *path = g_build_filename(dir, results[i], NULL);
      out->kind = ISW_RUN_DAMAGED;
      g_snprintf(out->what, sizeof out->what, "%s is %s", results[i],
                 isw_output_identify_entry(path).there ? "not what it was" : "missing");
      g_free(path);
    }
    g_free(unchanged);
  } else {
    *out = (struct isw_run_match){ISW_RUN_OTHER, "results"};
  }
  g_ptr_array_unref(listed);
}

enum isw_status isw_output_match_run_record(const struct isw_run_decisions *run, int n_results,
                                            const char *const *results, const char *dir,
                                            int threads, struct isw_run_match *out,
                                            struct isw_error *error) {
  *out = (struct isw_run_match){ISW_RUN_NONE, ""};
  char *path = g_build_filename(dir, isw_output_record_name, NULL);
  bool there = isw_output_identify_entry(path).there;
  JsonObject *recorded = isw_output_read_json(path);
  enum isw_status status = ISW_OK;
  if (there && recorded == NULL) *out = (struct isw_run_match){ISW_RUN_OTHER, "run.json"};
  if (recorded != NULL) {
    out->kind = ISW_RUN_SAME;
    status = compare_decisions(run, recorded, out, error);
    if (status == ISW_OK && out->kind == ISW_RUN_SAME)
      compare_results(n_results, results, dir, path, threads, out);
    json_object_unref(recorded);
  }
  g_free(path);
  return status;
}

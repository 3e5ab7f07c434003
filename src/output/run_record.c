#include <cpl_string.h>
#include <gdal.h>
#include <glib.h>
#include <json-glib/json-glib.h>

#include "output/run_decisions.h"

static void add_text(JsonBuilder *builder, const char *name, const char *value) {
  json_builder_set_member_name(builder, name);
  if (value == NULL) {
    json_builder_add_null_value(builder);
    return;
  }
  /* Command lines and paths are bytes; JSON is UTF-8. */
  char *text = g_utf8_make_valid(value, -1);
  json_builder_add_string_value(builder, text);
  g_free(text);
}

static void add_count(JsonBuilder *builder, const char *name, long long value) {
  json_builder_set_member_name(builder, name);
  json_builder_add_int_value(builder, value);
}

static void add_checked_file(JsonBuilder *builder, const char *name, long long size,
                             const char *sha256) {
  json_builder_begin_object(builder);
  add_text(builder, "file", name);
  add_count(builder, "size", size);
  add_text(builder, "sha256", sha256);
  json_builder_end_object(builder);
}

static void add_inputs(JsonBuilder *builder, const struct isw_run_facts *facts) {
  json_builder_set_member_name(builder, "inputs");
  json_builder_begin_array(builder);
  for (int i = 0; i < facts->n_inputs; i++)
    add_checked_file(builder, facts->inputs[i].file, facts->inputs[i].size,
                     facts->inputs[i].sha256);
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "understood");
  json_builder_begin_array(builder);
  for (int i = 0; i < facts->n_understood; i++) {
    char *text = g_utf8_make_valid(facts->understood[i], -1);
    json_builder_add_string_value(builder, text);
    g_free(text);
  }
  json_builder_end_array(builder);
}

static void add_sheet(JsonBuilder *builder, const struct isw_sheet *sheet) {
  char *checksum =
      g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)sheet->text, sheet->text_size);
  json_builder_set_member_name(builder, "sheet");
  json_builder_begin_object(builder);
  add_text(builder, "crop", sheet->crop);
  add_text(builder, "from", sheet->origin);
  add_text(builder, "sha256", checksum);
  json_builder_end_object(builder);
  g_free(checksum);
}

static void add_grid(JsonBuilder *builder, const struct isw_grid *grid) {
  json_builder_set_member_name(builder, "grid");
  json_builder_begin_object(builder);
  add_count(builder, "width", grid->width);
  add_count(builder, "height", grid->height);
  json_builder_set_member_name(builder, "transform");
  json_builder_begin_array(builder);
  for (int i = 0; i < 6; i++) json_builder_add_double_value(builder, grid->transform[i]);
  json_builder_end_array(builder);
  add_text(builder, "crs", grid->wkt);
  json_builder_end_object(builder);
}

static void add_counts(JsonBuilder *builder, const struct isw_run_record *record) {
  json_builder_set_member_name(builder, "counts");
  json_builder_begin_object(builder);
  add_count(builder, "cells", record->counts.cells);
  add_count(builder, "computed", record->counts.valid);
  add_count(builder, "no_data", record->counts.cells - record->counts.valid);
  add_count(builder, "some_months_only", record->counts.partial);
  add_count(builder, "tmin_above_tmax", record->counts.inverted);
  json_builder_set_member_name(builder, "with_window");
  json_builder_begin_array(builder);
  for (int i = 0; i < record->n_window_counts; i++) {
    json_builder_begin_object(builder);
    add_text(builder, "variety", record->window_counts[i].variety);
    add_text(builder, "season", record->window_counts[i].season);
    add_count(builder, "cells", record->window_counts[i].cells);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
  json_builder_end_object(builder);
}

/* The files of a vector source, those beside it included; one without files cannot be checked. */
static enum isw_status add_districts(JsonBuilder *builder, const char *districts,
                                     struct isw_error *error) {
  json_builder_set_member_name(builder, "districts");
  json_builder_begin_array(builder);
  GDALDatasetH set =
      districts != NULL ? GDALOpenEx(districts, GDAL_OF_VECTOR | GDAL_OF_READONLY, NULL, NULL, NULL)
                        : NULL;
  char **files = set != NULL ? GDALGetFileList(set) : NULL;
  if (set != NULL) GDALClose(set);
  enum isw_status status = ISW_OK;
  for (char **file = files; file != NULL && *file != NULL && status == ISW_OK; file++) {
    struct isw_checked_file checked = {.path = *file};
    status = isw_output_checksum_files(1, &checked, 1, error);
    if (status == ISW_OK) add_checked_file(builder, *file, checked.size, checked.sha256);
  }
  if (districts != NULL && files == NULL) add_checked_file(builder, districts, 0, NULL);
  CSLDestroy(files);
  json_builder_end_array(builder);
  return status;
}

enum isw_status isw_output_add_run_decisions(JsonBuilder *builder,
                                             const struct isw_run_record *record,
                                             const struct isw_run_facts *facts,
                                             struct isw_error *error) {
  add_text(builder, "isosow", ISOSOW_VERSION);
  add_text(builder, "gdal", GDALVersionInfo("RELEASE_NAME"));
  add_text(builder, "drawn_with", record->drawn_with);
  add_text(builder, "run", record->command_name);
  add_text(builder, "period", facts->period);
  add_inputs(builder, facts);
  enum isw_status status = add_districts(builder, record->districts, error);
  add_sheet(builder, record->sheet);
  json_builder_set_member_name(builder, "options");
  json_builder_begin_object(builder);
  for (int i = 0; i < record->n_options; i++)
    add_text(builder, record->options[i].name, record->options[i].value);
  json_builder_end_object(builder);
  add_grid(builder, &facts->grid);
  return status;
}

static enum isw_status add_results(JsonBuilder *builder, const struct isw_run_record *record,
                                   struct isw_folder *folder, struct isw_error *error) {
  int n = record->n_results;
  struct isw_checked_file *files = g_new0(struct isw_checked_file, n);
  for (int i = 0; i < n; i++) files[i].path = isw_output_temporary_path(folder, record->results[i]);
  enum isw_status status = isw_output_checksum_files(n, files, record->threads, error);
  json_builder_set_member_name(builder, "results");
  json_builder_begin_array(builder);
  for (int i = 0; i < n && status == ISW_OK; i++)
    add_checked_file(builder, record->results[i], files[i].size, files[i].sha256);
  json_builder_end_array(builder);
  g_free(files);
  return status;
}

static enum isw_status build_record(JsonBuilder *builder, const struct isw_run_record *record,
                                    const struct isw_run_facts *facts, struct isw_folder *folder,
                                    struct isw_error *error) {
  json_builder_begin_object(builder);
  enum isw_status status = isw_output_add_run_decisions(builder, record, facts, error);
  if (status != ISW_OK) return status;
  json_builder_set_member_name(builder, "command");
  json_builder_begin_array(builder);
  for (int i = 0; i < record->argc; i++) {
    char *text = g_utf8_make_valid(record->argv[i], -1);
    json_builder_add_string_value(builder, text);
    g_free(text);
  }
  json_builder_end_array(builder);
  add_counts(builder, record);
  status = add_results(builder, record, folder, error);
  if (status != ISW_OK) return status;
  add_count(builder, "threads", record->threads);
  json_builder_set_member_name(builder, "wall_seconds");
  json_builder_add_double_value(builder, record->wall_seconds);
  json_builder_end_object(builder);
  return ISW_OK;
}

enum isw_status isw_output_write_run_record(const struct isw_run_record *record,
                                            struct isw_folder *folder, struct isw_error *error) {
  struct isw_run_facts noted = {.n_inputs = 0};
  enum isw_status status =
      record->facts != NULL
          ? ISW_OK
          : isw_output_note_facts(record->climate, record->threads, &noted, error);
  if (status != ISW_OK) return status;
  JsonBuilder *builder = json_builder_new();
  status =
      build_record(builder, record, record->facts != NULL ? record->facts : &noted, folder, error);
  if (status == ISW_OK) {
    JsonNode *root = json_builder_get_root(builder);
    JsonGenerator *generator = json_generator_new();
    json_generator_set_root(generator, root);
    json_generator_set_pretty(generator, TRUE);
    const char *path = isw_output_temporary_path(folder, "run.json");
    GError *failure = NULL;
    if (!json_generator_to_file(generator, path, &failure)) {
      status =
          isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path, failure->message);
      g_error_free(failure);
    }
    g_object_unref(generator);
    json_node_unref(root);
  }
  g_object_unref(builder);
  isw_output_clear_facts(&noted);
  return status;
}

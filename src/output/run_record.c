#include "output/run_record.h"

#include <glib.h>

#include "output/checksum.h"
#include "output/record_members.h"

static void add_counts(JsonBuilder *builder, const struct isw_run_record *record) {
  json_builder_set_member_name(builder, "counts");
  json_builder_begin_object(builder);
  isw_output_add_count(builder, "cells", record->counts.cells);
  isw_output_add_count(builder, "computed", record->counts.valid);
  if (record->kept_cells > 0) isw_output_add_count(builder, "kept_by_mask", record->kept_cells);
  isw_output_add_count(builder, "no_data", record->counts.cells - record->counts.valid);
  isw_output_add_count(builder, "some_months_only", record->counts.partial);
  isw_output_add_count(builder, "tmin_above_tmax", record->counts.inverted);
  json_builder_set_member_name(builder, "with_window");
  json_builder_begin_array(builder);
  for (int i = 0; i < record->n_window_counts; i++) {
    json_builder_begin_object(builder);
    if (record->window_counts[i].crop != NULL)
      isw_output_add_text(builder, "crop", record->window_counts[i].crop);
    isw_output_add_text(builder, "variety", record->window_counts[i].variety);
    isw_output_add_text(builder, "season", record->window_counts[i].season);
    isw_output_add_count(builder, "cells", record->window_counts[i].cells);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
  json_builder_end_object(builder);
}

static enum isw_status add_results(JsonBuilder *builder, const struct isw_run_record *record,
                                   struct isw_folder *folder, struct isw_error *error) {
  int n = record->n_results;
  struct isw_checked_file *files = g_new0(struct isw_checked_file, (size_t)n);
  for (int i = 0; i < n; i++) files[i].path = isw_output_temporary_path(folder, record->results[i]);
  enum isw_status status = isw_output_checksum_files(n, files, record->threads, error);
  json_builder_set_member_name(builder, "results");
  json_builder_begin_array(builder);
  for (int i = 0; i < n && status == ISW_OK; i++)
    isw_output_add_checked_file(builder, record->results[i], files[i].size, files[i].sha256);
  json_builder_end_array(builder);
  g_free(files);
  return status;
}

static enum isw_status build_record(JsonBuilder *builder, const struct isw_run_record *record,
                                    struct isw_folder *folder, struct isw_error *error) {
  json_builder_begin_object(builder);
  enum isw_status status = isw_output_add_run_decisions(builder, &record->decisions, error);
  if (status != ISW_OK) return status;
  json_builder_set_member_name(builder, "command");
  json_builder_begin_array(builder);
  for (int i = 0; i < record->argc; i++) {
    isw_output_add_text(builder, NULL, record->argv[i]);
  }
  json_builder_end_array(builder);
  add_counts(builder, record);
  status = add_results(builder, record, folder, error);
  if (status != ISW_OK) return status;
  isw_output_add_count(builder, "threads", record->threads);
  json_builder_set_member_name(builder, "wall_seconds");
  json_builder_add_double_value(builder, record->wall_seconds);
  json_builder_end_object(builder);
  return ISW_OK;
}

enum isw_status isw_output_write_run_record(const struct isw_run_record *record,
                                            struct isw_folder *folder, struct isw_error *error) {
  JsonBuilder *builder = json_builder_new();
  enum isw_status status = build_record(builder, record, folder, error);
  if (status == ISW_OK)
    status = isw_output_write_members(
        builder, isw_output_temporary_path(folder, isw_output_record_name), error);
  g_object_unref(builder);
  return status;
}

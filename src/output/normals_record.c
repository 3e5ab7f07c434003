#include "output/normals_record.h"

#include <gdal.h>
#include <glib.h>

#include "base/setting.h"
#include "output/checksum.h"
#include "output/record_members.h"
#include "output/run_decisions.h"

const char isw_output_normals_name[] = "normals.json";

static enum isw_status add_files(JsonBuilder *builder, const char *member, int n,
                                 const char *const *names, const char *const *paths, int threads,
                                 struct isw_error *error) {
  struct isw_checked_file *files = g_new0(struct isw_checked_file, (gsize)n);
  for (int i = 0; i < n; i++) files[i].path = paths[i];
  enum isw_status status = isw_output_checksum_files(n, files, threads, error);
  json_builder_set_member_name(builder, member);
  json_builder_begin_array(builder);
  for (int i = 0; i < n && status == ISW_OK; i++)
    isw_output_add_checked_file(builder, names[i], files[i].size, files[i].sha256);
  json_builder_end_array(builder);
  g_free(files);
  return status;
}

static void add_understood(JsonBuilder *builder, const struct isw_series *series) {
  char *text = g_strdup(isw_climate_series_understood(series));
  isw_base_show_settings(text);
  isw_output_add_text(builder, NULL, text);
  g_free(text);
}

static enum isw_status add_inputs(JsonBuilder *builder, const struct isw_normals_record *record,
                                  struct isw_error *error) {
  GPtrArray *paths = g_ptr_array_new();
  const struct isw_series *const sources[] = {record->tmin, record->tmax};
  for (size_t s = 0; s < G_N_ELEMENTS(sources); s++)
    for (int i = 0; isw_climate_series_file(sources[s], i) != NULL; i++)
      g_ptr_array_add(paths, (gpointer)isw_climate_series_file(sources[s], i));
  enum isw_status status =
      add_files(builder, "inputs", (int)paths->len, (const char *const *)paths->pdata,
                (const char *const *)paths->pdata, record->threads, error);
  g_ptr_array_unref(paths);
  json_builder_set_member_name(builder, "understood");
  json_builder_begin_array(builder);
  for (size_t s = 0; s < G_N_ELEMENTS(sources); s++) add_understood(builder, sources[s]);
  json_builder_end_array(builder);
  return status;
}

static void add_versions(JsonBuilder *builder) {
  isw_output_add_text(builder, "isosow", ISOSOW_VERSION);
  isw_output_add_text(builder, "gdal", GDALVersionInfo("RELEASE_NAME"));
}

static void add_period(JsonBuilder *builder, const struct isw_normals_record *record) {
  const struct isw_record_request *rules = record->rules;
  isw_output_add_count(builder, "from", rules->from_year);
  isw_output_add_count(builder, "to", rules->to_year);
  json_builder_set_member_name(builder, "standard_normals");
  json_builder_add_boolean_value(builder, isw_survey_is_standard_period(rules));
  json_builder_set_member_name(builder, "years");
  json_builder_begin_array(builder);
  const int *years, n = isw_climate_series_years(record->tmin, &years);
  for (int y = 0; y < n; y++)
    if (years[y] >= rules->from_year && years[y] <= rules->to_year)
      json_builder_add_int_value(builder, years[y]);
  json_builder_end_array(builder);
  isw_output_add_count(builder, "least_percent", rules->least_percent);
  isw_output_add_count(builder, "years_needed", record->counts->needed);
  char *months = g_strdup_printf("%d..%d", rules->from_month + 1, rules->to_month + 1);
  isw_output_add_text(builder, "year_spread_months", months);
  g_free(months);
}

static void add_counts(JsonBuilder *builder, const struct isw_series_counts *counts) {
  json_builder_set_member_name(builder, "counts");
  json_builder_begin_object(builder);
  isw_output_add_count(builder, "cells", counts->cells);
  isw_output_add_count(builder, "with_normals", counts->whole);
  isw_output_add_count(builder, "some_months_only", counts->partial);
  isw_output_add_count(builder, "no_data", counts->empty);
  isw_output_add_count(builder, "with_year_spread", counts->with_spread);
  json_builder_end_object(builder);
}

static enum isw_status write_normals(const struct isw_normals_record *record,
                                     struct isw_folder *folder, struct isw_error *error) {
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  add_versions(builder);
  add_period(builder, record);
  enum isw_status status = add_inputs(builder, record, error);
  isw_output_add_grid(builder, isw_climate_series_grid(record->tmin));
  add_counts(builder, record->counts);
  json_builder_end_object(builder);
  if (status == ISW_OK)
    status = isw_output_write_members(
        builder, isw_output_temporary_path(folder, isw_output_normals_name), error);
  g_object_unref(builder);
  return status;
}

static enum isw_status write_run(const struct isw_normals_record *record, struct isw_folder *folder,
                                 struct isw_error *error) {
  const char **paths = g_new(const char *, (gsize)record->n_results);
  for (int i = 0; i < record->n_results; i++)
    paths[i] = isw_output_temporary_path(folder, record->results[i]);
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  add_versions(builder);
  isw_output_add_text(builder, "run", "normals");
  json_builder_set_member_name(builder, "command");
  json_builder_begin_array(builder);
  for (int i = 0; i < record->argc; i++) isw_output_add_text(builder, NULL, record->argv[i]);
  json_builder_end_array(builder);
  enum isw_status status = add_files(builder, "results", record->n_results, record->results, paths,
                                     record->threads, error);
  isw_output_add_count(builder, "threads", record->threads);
  json_builder_set_member_name(builder, "wall_seconds");
  json_builder_add_double_value(builder, record->wall_seconds);
  json_builder_end_object(builder);
  g_free(paths);
  if (status == ISW_OK)
    status = isw_output_write_members(
        builder, isw_output_temporary_path(folder, isw_output_record_name), error);
  g_object_unref(builder);
  return status;
}

enum isw_status isw_output_write_normals_record(const struct isw_normals_record *record,
                                                struct isw_folder *folder,
                                                struct isw_error *error) {
  enum isw_status status = write_normals(record, folder, error);
  return status == ISW_OK ? write_run(record, folder, error) : status;
}

#include "output/run_decisions.h"

#include <gdal.h>
#include <glib.h>

#include "output/checksum.h"
#include "output/input_watch.h"
#include "output/record_members.h"

static void add_inputs(JsonBuilder *builder, const struct isw_run_facts *facts) {
  json_builder_set_member_name(builder, "inputs");
  json_builder_begin_array(builder);
  for (int i = 0; i < facts->n_inputs; i++)
    isw_output_add_checked_file(builder, facts->inputs[i].file, facts->inputs[i].size,
                                facts->inputs[i].sha256);
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "understood");
  json_builder_begin_array(builder);
  for (int i = 0; i < facts->n_understood; i++) {
    isw_output_add_text(builder, NULL, facts->understood[i]);
  }
  json_builder_end_array(builder);
}

static void add_sheet(JsonBuilder *builder, const struct isw_sheet *sheet) {
  char *checksum =
      g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)sheet->text, sheet->text_size);
  json_builder_begin_object(builder);
  isw_output_add_text(builder, "crop", sheet->crop);
  isw_output_add_text(builder, "from", sheet->origin);
  isw_output_add_text(builder, "sha256", checksum);
  json_builder_end_object(builder);
  g_free(checksum);
}

/* "sheet", or of several crops "sheets". */
static void add_sheets(JsonBuilder *builder, const struct isw_run_decisions *run) {
  const bool several = run->n_sheets > 1;
  json_builder_set_member_name(builder, several ? "sheets" : "sheet");
  if (several) json_builder_begin_array(builder);
  for (int i = 0; i < run->n_sheets; i++) add_sheet(builder, run->sheets[i]);
  if (several) json_builder_end_array(builder);
}

void isw_output_add_grid(JsonBuilder *builder, const struct isw_grid *grid) {
  json_builder_set_member_name(builder, "grid");
  json_builder_begin_object(builder);
  isw_output_add_extent(builder, grid);
  isw_output_add_text(builder, "crs", grid->wkt);
  json_builder_end_object(builder);
}

/* The files of a vector source, those beside it included; one without files cannot be checked. */
static enum isw_status add_files_of(JsonBuilder *builder, const char *member, const char *source,
                                    struct isw_error *error) {
  json_builder_set_member_name(builder, member);
  json_builder_begin_array(builder);
  GPtrArray *paths = g_ptr_array_new_with_free_func(g_free);
  if (source != NULL) isw_output_list_files_of(source, paths);
  enum isw_status status = ISW_OK;
  for (guint i = 0; i < paths->len && status == ISW_OK; i++) {
    struct isw_checked_file checked = {.path = g_ptr_array_index(paths, i)};
    status = isw_output_checksum_files(1, &checked, 1, error);
    if (status == ISW_OK)
      isw_output_add_checked_file(builder, checked.path, checked.size, checked.sha256);
  }
  if (source != NULL && paths->len == 0) isw_output_add_checked_file(builder, source, 0, NULL);
  g_ptr_array_unref(paths);
  json_builder_end_array(builder);
  return status;
}

enum isw_status isw_output_add_run_decisions(JsonBuilder *builder,
                                             const struct isw_run_decisions *run,
                                             struct isw_error *error) {
  isw_output_add_text(builder, "isosow", ISOSOW_VERSION);
  isw_output_add_text(builder, "gdal", GDALVersionInfo("RELEASE_NAME"));
  isw_output_add_text(builder, "drawn_with", run->drawn_with);
  isw_output_add_text(builder, "run", run->command_name);
  isw_output_add_text(builder, "period", run->facts->period);
  add_inputs(builder, run->facts);
  enum isw_status status = add_files_of(builder, "districts", run->districts, error);
  if (status == ISW_OK) status = add_files_of(builder, "layers", run->layers, error);
  if (status == ISW_OK) status = add_files_of(builder, "places", run->places, error);
  if (status == ISW_OK) status = add_files_of(builder, "hill_shade", run->hill_shade, error);
  if (status == ISW_OK) status = add_files_of(builder, "logo", run->logo, error);
  if (status == ISW_OK) status = add_files_of(builder, "mask", run->mask, error);
  if (status == ISW_OK) status = add_files_of(builder, "heights", run->heights, error);
  if (status == ISW_OK) status = add_files_of(builder, "record", run->record, error);
  add_sheets(builder, run);
  json_builder_set_member_name(builder, "options");
  json_builder_begin_object(builder);
  for (int i = 0; i < run->n_options; i++)
    isw_output_add_text(builder, run->options[i].name, run->options[i].value);
  json_builder_end_object(builder);
  isw_output_add_grid(builder, &run->facts->grid);
  return status;
}

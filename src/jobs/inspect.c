/* What a run would make of each source, before there is one. */
#include <gdal.h>
#include <glib.h>
#include <json-glib/json-glib.h>
#include <math.h>
#include <string.h>

#include "climate/inspection.h"
#include "jobs/jobs.h"
#include "jobs/run_inputs.h"

static const GIntBig raster_cache_bytes = 64 * 1024 * 1024;

/* One source: an inspection, or why it is refused. */
struct finding {
  const char *src;
  struct isw_inspection *inspection;
  struct isw_error error;
};

static void append_bands(GString *out, const struct isw_inspection *i) {
  const char *unit = i->unit_guessed ? "an unsaid unit" : i->elevation ? "m" : "degC";
  g_string_append_printf(out, "  %-9s  %4s  %9s  %9s  %9s  %10s   in %s\n",
                         i->elevation ? "values" : "month", "band", "lowest", "mean", "highest",
                         "no value", unit);
  for (int b = 0; b < i->band_count; b++) {
    const struct isw_inspection_band *band = &i->bands[b];
    g_string_append_printf(out, "  %-9s  %4d", i->elevation ? "all" : isw_base_month_name(b),
                           band->number);
    if (band->with_value == 0)
      g_string_append_printf(out, "  %9s  %9s  %9s", "-", "-", "-");
    else
      g_string_append_printf(out, "  %9.2f  %9.2f  %9.2f", band->low, band->mean, band->high);
    g_string_append_printf(out, "  %10lld\n", band->missing);
  }
}

static void append_text(GString *out, const struct isw_inspection *i) {
  const struct isw_grid *grid = &i->grid;
  const struct isw_inspection_band *first = &i->bands[0];
  g_string_append_printf(out, "%s\n", i->name);
  g_string_append_printf(
      out, "  holds      %s, %s, %s\n",
      i->unit_guessed ? "one band that says no unit: an elevation, or one month of temperature"
      : i->elevation  ? "elevation"
                      : "twelve months of temperature",
      i->format, i->type);
  if (g_strcmp0(first->file, i->name) != 0)
    g_string_append_printf(out, "  read as    %s\n", first->file);
  if (i->unit_guessed)
    g_string_append_printf(out, "  value      as stored; nodata %s\n", first->nodata);
  else
    g_string_append_printf(out, "  value      %s = %s, unit %s by %s; nodata %s\n",
                           i->elevation ? "m" : "degC", first->formula, i->unit, i->unit_reason,
                           first->nodata);
  if (i->month_reason != NULL) g_string_append_printf(out, "  months     by %s\n", i->month_reason);
  g_string_append_printf(out, "  period     %s\n", i->period == NULL ? "not stated" : i->period);
  g_string_append_printf(out, "  grid       %d x %d cells of %.10g x %.10g from %.10g, %.10g%s\n",
                         grid->width, grid->height, i->cell_width, i->cell_height,
                         grid->transform[0], grid->transform[3],
                         grid->transform[5] > 0.0 ? ", south up" : "");
  g_string_append_printf(out, "  CRS        %s%s\n", i->crs_name,
                         i->crs_assumed ? ", assumed" : "");
  if (!isnan(i->south_deg))
    g_string_append_printf(out, "  extent     latitude %.4f to %.4f, longitude %.4f to %.4f\n",
                           i->south_deg, i->north_deg, i->west_deg, i->east_deg);
  g_string_append_printf(out, "  cell       %.4g km2 in the middle of the grid\n",
                         i->cell_area_km2);
  double share = i->cells > 0 ? 100.0 * (double)i->whole / (double)i->cells : 0.0;
  g_string_append_printf(
      out,
      "  cells      %lld looked at (%s): %lld with all values (%.1f %%), %lld with some, %lld "
      "with none\n",
      i->cells, i->every_cell ? "all" : "a sample", i->whole, share, i->partial, i->empty);
  append_bands(out, i);
  for (char **text = i->notices; *text != NULL; text++)
    g_string_append_printf(out, "  notice     %s\n", *text);
  for (char **text = i->doubts; *text != NULL; text++)
    g_string_append_printf(out, "  doubt      %s\n", *text);
}

/* Numbers that JSON has no word for are null. */
static void add_number(JsonBuilder *json, const char *key, double value) {
  json_builder_set_member_name(json, key);
  if (isfinite(value))
    json_builder_add_double_value(json, value);
  else
    json_builder_add_null_value(json);
}

static void add_count(JsonBuilder *json, const char *key, long long value) {
  json_builder_set_member_name(json, key);
  json_builder_add_int_value(json, (gint64)value);
}

/* JSON is UTF-8; a file name need not be. */
static void add_text(JsonBuilder *json, const char *key, const char *value) {
  json_builder_set_member_name(json, key);
  if (value == NULL) {
    json_builder_add_null_value(json);
    return;
  }
  char *text = g_utf8_make_valid(value, -1);
  json_builder_add_string_value(json, text);
  g_free(text);
}

static void add_flag(JsonBuilder *json, const char *key, bool value) {
  json_builder_set_member_name(json, key);
  json_builder_add_boolean_value(json, value);
}

static void add_list(JsonBuilder *json, const char *key, char **texts) {
  json_builder_set_member_name(json, key);
  json_builder_begin_array(json);
  for (; *texts != NULL; texts++) {
    char *text = g_utf8_make_valid(*texts, -1);
    json_builder_add_string_value(json, text);
    g_free(text);
  }
  json_builder_end_array(json);
}

static void add_bands(JsonBuilder *json, const struct isw_inspection *i) {
  json_builder_set_member_name(json, "bands");
  json_builder_begin_array(json);
  for (int b = 0; b < i->band_count; b++) {
    const struct isw_inspection_band *band = &i->bands[b];
    json_builder_begin_object(json);
    if (!i->elevation) add_count(json, "month", b + 1);
    add_text(json, "file", band->file);
    add_count(json, "band", band->number);
    add_text(json, "formula", band->formula);
    add_text(json, "nodata", band->nodata);
    add_number(json, "lowest", band->low);
    add_number(json, "mean", band->mean);
    add_number(json, "highest", band->high);
    add_count(json, "with_value", band->with_value);
    add_count(json, "missing", band->missing);
    json_builder_end_object(json);
  }
  json_builder_end_array(json);
}

static void add_grid(JsonBuilder *json, const struct isw_inspection *i) {
  json_builder_set_member_name(json, "grid");
  json_builder_begin_object(json);
  add_count(json, "width", i->grid.width);
  add_count(json, "height", i->grid.height);
  json_builder_set_member_name(json, "transform");
  json_builder_begin_array(json);
  for (int k = 0; k < 6; k++) json_builder_add_double_value(json, i->grid.transform[k]);
  json_builder_end_array(json);
  add_text(json, "crs", i->crs_name);
  add_flag(json, "crs_assumed", i->crs_assumed);
  add_text(json, "crs_wkt", i->grid.wkt);
  add_flag(json, "geographic", i->grid.geographic);
  add_number(json, "cell_width", i->cell_width);
  add_number(json, "cell_height", i->cell_height);
  add_number(json, "cell_area_km2", i->cell_area_km2);
  add_number(json, "south_deg", i->south_deg);
  add_number(json, "north_deg", i->north_deg);
  add_number(json, "west_deg", i->west_deg);
  add_number(json, "east_deg", i->east_deg);
  json_builder_end_object(json);
}

static void add_inspection(JsonBuilder *json, const struct isw_inspection *i) {
  add_text(json, "kind",
           i->unit_guessed ? "elevation or one month"
           : i->elevation  ? "elevation"
                           : "temperature");
  add_text(json, "understood", i->understood);
  add_text(json, "format", i->format);
  add_text(json, "type", i->type);
  add_text(json, "unit", i->unit);
  add_text(json, "unit_by", i->unit_reason);
  add_text(json, "months_by", i->month_reason);
  add_text(json, "period", i->period);
  add_grid(json, i);
  add_flag(json, "every_cell", i->every_cell);
  add_count(json, "cells", i->cells);
  add_count(json, "whole", i->whole);
  add_count(json, "partial", i->partial);
  add_count(json, "empty", i->empty);
  add_bands(json, i);
  add_list(json, "notices", i->notices);
  add_list(json, "doubts", i->doubts);
}

static void append_option(GString *line, const char *option, const char *value) {
  if (value == NULL) return;
  char *quoted = g_shell_quote(value);
  /* Plain names read better bare. */
  bool plain = value[0] != '\0' && strspn(value,
                                          "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVW"
                                          "XYZ0123456789._/-+,:") == strlen(value);
  g_string_append_printf(line, " %s %s", option, plain ? value : quoted);
  g_free(quoted);
}

/* The command line of `map` for these sources, or NULL where they do not make one: two temperatures
 * (the colder is the minimum), perhaps two elevations (the finer one is to be reached). */
static char *make_command(const struct finding *findings, int count,
                          const struct isw_options *options) {
  const struct isw_inspection *temperature[2] = {NULL, NULL}, *elevation[2] = {NULL, NULL};
  int temperatures = 0, elevations = 0;
  for (int k = 0; k < count; k++) {
    const struct isw_inspection *i = findings[k].inspection;
    if (i == NULL || (i->elevation ? elevations : temperatures) == 2) return NULL;
    if (i->elevation)
      elevation[elevations++] = i;
    else
      temperature[temperatures++] = i;
  }
  if (temperatures == 0 || elevations == 1) return NULL;
  GString *line = g_string_new("isosow map");
  bool swap = temperatures == 2 && temperature[0]->mean > temperature[1]->mean;
  append_option(line, "--tmin", temperature[swap ? 1 : 0]->name);
  if (temperatures == 2)
    append_option(line, "--tmax", temperature[swap ? 0 : 1]->name);
  else
    g_string_append(line, " --tmax SRC");
  append_option(line, "--var", options->variable);
  if (options->unit != ISW_NOT_GIVEN)
    append_option(line, "--unit", isw_base_unit_name(isw_jobs_chosen_unit(options)));
  append_option(line, "--crs", options->crs);
  if (elevations == 2) {
    bool first_finer = elevation[0]->cell_area_km2 <= elevation[1]->cell_area_km2;
    append_option(line, "--elevation", elevation[first_finer ? 0 : 1]->name);
    append_option(line, "--normals-elevation", elevation[first_finer ? 1 : 0]->name);
  }
  g_string_append(line, " --crop napa-cabbage --out out");
  return g_string_free(line, FALSE);
}

/* Whether the pair fits together is what opening it for a run says. */
static enum isw_status try_pair(const struct finding *findings, int count,
                                const struct isw_options *options, struct isw_error *error) {
  const struct isw_inspection *pair[2];
  int found = 0;
  for (int k = 0; k < count; k++)
    if (findings[k].inspection != NULL && !findings[k].inspection->elevation && found++ < 2)
      pair[found - 1] = findings[k].inspection;
  if (found != 2) return ISW_OK;
  bool swap = pair[0]->mean > pair[1]->mean;
  struct isw_climate_request request = {.tmin = pair[swap ? 1 : 0]->name,
                                        .tmax = pair[swap ? 0 : 1]->name,
                                        .variable = options->variable,
                                        .crs = options->crs,
                                        .unit = isw_jobs_chosen_unit(options)};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, error);
  isw_climate_free(climate);
  return status;
}

static void append_json(GString *out, const struct finding *findings, int count,
                        const char *command, const struct isw_error *pair_error) {
  JsonBuilder *json = json_builder_new();
  json_builder_begin_object(json);
  add_text(json, "isosow", ISOSOW_VERSION);
  json_builder_set_member_name(json, "sources");
  json_builder_begin_array(json);
  for (int k = 0; k < count; k++) {
    json_builder_begin_object(json);
    add_text(json, "source", findings[k].src);
    if (findings[k].inspection != NULL)
      add_inspection(json, findings[k].inspection);
    else
      add_text(json, "refused", findings[k].error.text);
    json_builder_end_object(json);
  }
  json_builder_end_array(json);
  if (pair_error != NULL) add_text(json, "together_refused", pair_error->text);
  add_text(json, "command", command);
  json_builder_end_object(json);
  JsonGenerator *generator = json_generator_new();
  JsonNode *root = json_builder_get_root(json);
  json_generator_set_root(generator, root);
  json_generator_set_pretty(generator, TRUE);
  char *text = json_generator_to_data(generator, NULL);
  g_string_append_printf(out, "%s\n", text);
  g_free(text);
  json_node_free(root);
  g_object_unref(generator);
  g_object_unref(json);
}

static void append_findings(GString *out, const struct finding *findings, int count,
                            const char *command, const struct isw_error *pair_error) {
  for (int k = 0; k < count; k++) {
    if (k > 0) g_string_append_c(out, '\n');
    if (findings[k].inspection != NULL)
      append_text(out, findings[k].inspection);
    else
      g_string_append_printf(out, "%s\n  refused    %s\n", findings[k].src, findings[k].error.text);
  }
  if (pair_error != NULL)
    g_string_append_printf(out, "\nTogether they are refused: %s\n", pair_error->text);
  if (command != NULL) g_string_append_printf(out, "\n%s\n", command);
}

/* worst: what looking at the sources came to; returned, or what putting them together or answering
 * comes to. Refusals stand in the answer, so that *error stays empty. */
static enum isw_status answer_findings(const struct isw_request *request,
                                       const struct finding *findings, int count,
                                       enum isw_status worst, struct isw_error *error) {
  struct isw_error pair_error = {.status = ISW_OK};
  bool refused = try_pair(findings, count, request->options, &pair_error) != ISW_OK;
  if (refused && worst == ISW_OK) worst = pair_error.status;
  char *command = refused ? NULL : make_command(findings, count, request->options);
  GString *text = g_string_new(NULL);
  (request->options->json ? append_json : append_findings)(text, findings, count, command,
                                                           refused ? &pair_error : NULL);
  enum isw_status status = isw_jobs_answer_string(request, text, error);
  g_string_free(text, TRUE);
  g_free(command);
  return worst == ISW_OK ? status : worst;
}

enum isw_status isw_jobs_inspect(const struct isw_request *request, struct isw_error *error) {
  GDALSetCacheMax64(raster_cache_bytes);
  const struct isw_options *options = request->options;
  int count = request->n_words;
  struct finding *findings = g_new0(struct finding, (gsize)count);
  const struct isw_inspection_options wanted = {.unit = isw_jobs_chosen_unit(options),
                                                .variable = options->variable,
                                                .crs = options->crs,
                                                .every_cell = options->every_cell};
  enum isw_status worst = ISW_OK;
  for (int k = 0; k < count && worst != ISW_INTERRUPTED; k++) {
    findings[k].src = request->words[k];
    enum isw_status status = isw_climate_inspect(request->words[k], &wanted,
                                                 &findings[k].inspection, &findings[k].error);
    if (status != ISW_OK && (worst == ISW_OK || status == ISW_INTERRUPTED)) worst = status;
  }
  if (worst == ISW_INTERRUPTED)
    isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
  else
    worst = answer_findings(request, findings, count, worst, error);
  for (int k = 0; k < count; k++) isw_climate_free_inspection(findings[k].inspection);
  g_free(findings);
  return worst;
}

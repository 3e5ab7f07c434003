#include <json-glib/json-glib.h>
#include <math.h>

#include "output/inspection_report.h"
#include "output/record_members.h"

/* Numbers that JSON has no word for are null. */
static void add_number(JsonBuilder *json, const char *key, double value) {
  json_builder_set_member_name(json, key);
  if (isfinite(value))
    json_builder_add_double_value(json, value);
  else
    json_builder_add_null_value(json);
}

static void add_flag(JsonBuilder *json, const char *key, bool value) {
  json_builder_set_member_name(json, key);
  json_builder_add_boolean_value(json, value);
}

static void add_list(JsonBuilder *json, const char *key, char **texts) {
  json_builder_set_member_name(json, key);
  json_builder_begin_array(json);
  for (; *texts != NULL; texts++) isw_output_add_text(json, NULL, *texts);
  json_builder_end_array(json);
}

static void add_bands(JsonBuilder *json, const struct isw_inspection *i) {
  json_builder_set_member_name(json, "bands");
  json_builder_begin_array(json);
  for (int b = 0; b < i->band_count; b++) {
    const struct isw_inspection_band *band = &i->bands[b];
    json_builder_begin_object(json);
    if (!i->elevation) isw_output_add_count(json, "month", b + 1);
    isw_output_add_text(json, "file", band->file);
    isw_output_add_count(json, "band", band->number);
    isw_output_add_text(json, "formula", band->formula);
    isw_output_add_text(json, "nodata", band->nodata);
    add_number(json, "lowest", band->low);
    add_number(json, "mean", band->mean);
    add_number(json, "highest", band->high);
    isw_output_add_count(json, "with_value", band->with_value);
    isw_output_add_count(json, "missing", band->missing);
    json_builder_end_object(json);
  }
  json_builder_end_array(json);
}

static void add_grid(JsonBuilder *json, const struct isw_inspection *i) {
  json_builder_set_member_name(json, "grid");
  json_builder_begin_object(json);
  isw_output_add_extent(json, &i->grid);
  isw_output_add_text(json, "crs", i->crs_name);
  add_flag(json, "crs_assumed", i->crs_assumed);
  isw_output_add_text(json, "crs_wkt", i->grid.wkt);
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
  isw_output_add_text(json, "kind",
                      i->unit_guessed ? "elevation or one month"
                      : i->elevation  ? "elevation"
                                      : "temperature");
  isw_output_add_text(json, "understood", i->understood);
  isw_output_add_text(json, "format", i->format);
  isw_output_add_text(json, "type", i->type);
  isw_output_add_text(json, "unit", i->unit);
  isw_output_add_text(json, "unit_by", i->unit_reason);
  isw_output_add_text(json, "months_by", i->month_reason);
  isw_output_add_text(json, "period", i->period);
  add_grid(json, i);
  add_flag(json, "every_cell", i->every_cell);
  isw_output_add_count(json, "cells", i->cells);
  isw_output_add_count(json, "whole", i->whole);
  isw_output_add_count(json, "partial", i->partial);
  isw_output_add_count(json, "empty", i->empty);
  add_bands(json, i);
  add_list(json, "notices", i->notices);
  add_list(json, "doubts", i->doubts);
}

void isw_output_append_inspection_json(GString *out, const struct isw_finding *findings, int count,
                                       const char *command, const struct isw_error *pair_error) {
  JsonBuilder *json = json_builder_new();
  json_builder_begin_object(json);
  isw_output_add_text(json, "isosow", ISOSOW_VERSION);
  json_builder_set_member_name(json, "sources");
  json_builder_begin_array(json);
  for (int k = 0; k < count; k++) {
    json_builder_begin_object(json);
    isw_output_add_text(json, "source", findings[k].src);
    if (findings[k].inspection != NULL)
      add_inspection(json, findings[k].inspection);
    else
      isw_output_add_text(json, "refused", findings[k].error.text);
    json_builder_end_object(json);
  }
  json_builder_end_array(json);
  if (pair_error != NULL) isw_output_add_text(json, "together_refused", pair_error->text);
  isw_output_add_text(json, "command", command);
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

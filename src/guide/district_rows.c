#include "guide/district_rows.h"

#include <math.h>

#include "output/text_result.h"
#include "regions/district_shapes.h"
#include "survey/area_share.h"

#define QUARTILES_OF(name)                                            \
  {name "_q1", ISW_COLUMN_TEXT}, {name "_median", ISW_COLUMN_TEXT}, { \
    name "_q3", ISW_COLUMN_TEXT                                       \
  }

static const struct isw_column columns[] = {{"crop", ISW_COLUMN_TEXT}, /* of several only */
                                            {"district", ISW_COLUMN_NAME},
                                            {"variety", ISW_COLUMN_TEXT},
                                            {"season", ISW_COLUMN_TEXT},
                                            {"area_km2", ISW_COLUMN_NUMBER},
                                            {"window_percent", ISW_COLUMN_NUMBER},
                                            QUARTILES_OF("sow_from"),
                                            QUARTILES_OF("best_sow"),
                                            QUARTILES_OF("sow_to"),
                                            QUARTILES_OF("harvest"),
                                            {"score_median", ISW_COLUMN_WHOLE},
                                            {"main_limit", ISW_COLUMN_TEXT},
                                            {"pick", ISW_COLUMN_TEXT},
                                            {"pick_percent", ISW_COLUMN_NUMBER},
                                            {"years_median", ISW_COLUMN_WHOLE},
                                            QUARTILES_OF("cut_from"),
                                            QUARTILES_OF("cut_to"),
                                            {"frost_risk_median", ISW_COLUMN_WHOLE},
                                            {"bolt_risk_median", ISW_COLUMN_WHOLE},
                                            {"type_from", ISW_COLUMN_TEXT},
                                            {"type_to", ISW_COLUMN_TEXT},
                                            {"span_percent", ISW_COLUMN_NUMBER},
                                            {"band_from_m", ISW_COLUMN_NUMBER},
                                            {"band_to_m", ISW_COLUMN_NUMBER},
                                            {"later_per_band_days", ISW_COLUMN_NUMBER},
                                            {"later_per_band_spread_days", ISW_COLUMN_NUMBER},
                                            {"kept_percent", ISW_COLUMN_NUMBER}};

static void add_date(GPtrArray *row, int day) {
  char date[ISW_DATE_SIZE];
  isw_output_add_cell(row, "%s", isw_base_format_month_day(day, date));
}

static void add_percent(GPtrArray *row, double share) {
  isw_output_add_cell(row, "%.1f", isw_survey_share_tenths(share, 1.0) / 10.0);
}

static void add_dates(GPtrArray *row, const struct isw_table_row *it, enum isw_table_date first,
                      enum isw_table_date last) {
  if (!it->has_dates) {
    isw_output_add_empty_cells(row, ((int)last - (int)first + 1) * ISW_QUARTILES);
    return;
  }
  for (int d = (int)first; d <= (int)last; d++)
    for (int q = 0; q < ISW_QUARTILES; q++) add_date(row, it->day[d][q]);
}

/* On which dates most of the district can sow this type before others. */
static void add_type_dates(GPtrArray *row, const struct isw_district_table *table, int region,
                           int v, int s) {
  struct isw_table_type types[ISW_REGION_RUNS_MAX];
  int n = isw_guide_read_types(table, region, s, types), first = -1, last = -1;
  for (int i = 0; i < n; i++) {
    if (types[i].variety != isw_guide_table_plan(table)->varieties[v]) continue;
    first = first < 0 ? i : first;
    last = i;
  }
  if (first < 0) {
    isw_output_add_empty_cells(row, 2);
    return;
  }
  add_date(row, types[first].days.from_day);
  add_date(row, types[last].days.to_day);
}

/* The band, and how much later a band higher is in all of the district. */
static void add_heights(GPtrArray *row, const struct isw_district_table *table,
                        const struct isw_guide_area *area, int v, int s) {
  struct isw_height_slope slope = isw_guide_read_slope(table, area->district, v, s);
  if (area->band == ISW_NO_BAND) {
    isw_output_add_empty_cells(row, 2);
  } else {
    isw_output_add_cell(row, "%.0f", area->from_m);
    isw_output_add_cell(row, "%.0f", area->to_m);
  }
  if (slope.has) {
    isw_output_add_cell(row, "%.1f", slope.days_per_band);
    isw_output_add_cell(row, "%.1f", slope.spread_days);
  } else {
    isw_output_add_empty_cells(row, 2);
  }
}

/* What a district with cells says, from window_percent on. */
static void add_numbers(GPtrArray *row, const struct isw_district_table *table, int region, int v,
                        int s, const struct isw_table_row *it) {
  const struct isw_sheet *sheet = isw_guide_table_plan(table)->sheet;
  add_percent(row, it->window_share);
  add_dates(row, it, ISW_TABLE_SOW_FROM, ISW_TABLE_HARVEST);
  char limit[ISW_LIMIT_NAME_SIZE];
  isw_output_add_cell(row, "%d", it->median_score);
  isw_output_add_cell(row, "%s", isw_growth_limit_name(sheet, it->main_limit, limit));
  struct isw_table_pick pick = isw_guide_read_pick(table, region, s);
  isw_output_add_cell(row, "%s%s", pick.variety >= 0 ? sheet->varieties[pick.variety].name : "none",
                      pick.risky ? " (risky)" : "");
  add_percent(row, pick.share);
  if (it->has_dates && it->median_years >= 0)
    isw_output_add_cell(row, "%d", it->median_years);
  else
    isw_output_add_empty_cells(row, 1);
  add_dates(row, it, ISW_TABLE_CUT_FROM, ISW_TABLE_CUT_TO);
  if (it->has_dates) {
    isw_output_add_cell(row, "%d", it->median_frost_percent);
    isw_output_add_cell(row, "%d", it->median_bolting_percent);
  } else {
    isw_output_add_empty_cells(row, 2);
  }
  add_type_dates(row, table, region, v, s);
  add_percent(row, isw_guide_read_span_share(table, region, s));
}

static GPtrArray *make_row(const struct isw_district_table *table, int a, int v, int s,
                           bool crop_column) {
  const struct isw_plan *plan = isw_guide_table_plan(table);
  const struct isw_guide_area *area = &isw_guide_areas(table)->items[a];
  struct isw_table_row it;
  isw_guide_read_row(table, 1 + a, v, s, &it);
  GPtrArray *row = isw_output_new_row();
  if (crop_column) isw_output_add_cell(row, "%s", plan->sheet->crop);
  isw_output_add_cell(row, "%s",
                      isw_regions_district_name(isw_guide_table_districts(table), area->district));
  isw_output_add_cell(row, "%s", plan->sheet->varieties[plan->varieties[v]].name);
  isw_output_add_cell(row, "%s", plan->sheet->seasons[plan->seasons[s]].name);
  isw_output_add_cell(row, "%.1f", it.area_km2);
  if (it.area_km2 > 0.0) {
    add_numbers(row, table, 1 + a, v, s, &it);
    add_heights(row, table, area, v, s);
  } else { /* no cell: nothing to say of it, but what a mask kept */
    isw_output_add_empty_cells(row,
                               (int)G_N_ELEMENTS(columns) - (crop_column ? 1 : 2) - (int)row->len);
  }
  double kept = isw_guide_read_kept_share(table, area->district);
  if (isnan(kept))
    isw_output_add_empty_cells(row, 1);
  else
    add_percent(row, kept);
  return row;
}

static enum isw_status add_area(const struct isw_district_table *table, int a, bool crop_column,
                                GString *text, struct isw_geopackage *package,
                                struct isw_error *error) {
  const struct isw_plan *plan = isw_guide_table_plan(table);
  const struct isw_column *shown = crop_column ? columns : columns + 1;
  OGRGeometryH shape = isw_regions_new_district_shape(isw_guide_table_districts(table),
                                                      isw_guide_areas(table)->items[a].district);
  enum isw_status status = ISW_OK;
  for (int v = 0; v < plan->n_varieties && status == ISW_OK; v++)
    for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
      GPtrArray *row = make_row(table, a, v, s, crop_column);
      isw_output_append_csv_cells(text, shown, row);
      g_string_append_c(text, '\n');
      status = isw_output_add_feature(package, shape, row, error);
      g_ptr_array_unref(row);
    }
  OGR_G_DestroyGeometry(shape);
  return status;
}

enum isw_status isw_guide_write_districts(int n, const struct isw_district_table *const *tables,
                                          const char *csv_path, const char *wkt,
                                          struct isw_geopackage *package, struct isw_error *error) {
  const int n_shown = (int)G_N_ELEMENTS(columns) - (n > 1 ? 0 : 1);
  const struct isw_column *shown = n > 1 ? columns : columns + 1;
  GString *text = g_string_new(NULL);
  isw_output_append_csv_columns(text, n_shown, shown);
  g_string_append_c(text, '\n');
  enum isw_status status =
      isw_output_begin_layer(package, "districts", wkt, wkbMultiPolygon, n_shown, shown, error);
  for (int t = 0; t < n && status == ISW_OK; t++)
    for (int a = 0; a < isw_guide_areas(tables[t])->n && status == ISW_OK; a++)
      status = add_area(tables[t], a, n > 1, text, package, error);
  if (status == ISW_OK) return isw_output_write_text(text, csv_path, error);
  g_string_free(text, TRUE);
  return status;
}

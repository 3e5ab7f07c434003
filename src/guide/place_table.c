#include "guide/place_table.h"

#include "output/place_csv.h"
#include "output/text_result.h"

/* Where the rows of all places go. */
struct tables {
  bool crop_column, record;
  GString *text;
  struct isw_geopackage *package;
};

static enum isw_status add_place(const struct tables *tables, const struct isw_plan *plan,
                                 const struct isw_guide_site *site, OGRGeometryH point,
                                 struct isw_error *error) {
  char lat_text[32], lon_text[32];
  int n_columns;
  const struct isw_column *columns =
      isw_output_place_columns(tables->crop_column, tables->record, &n_columns);
  g_ascii_formatd(lat_text, sizeof lat_text, "%.4f", site->lat_deg);
  g_ascii_formatd(lon_text, sizeof lon_text, "%.4f", site->lon_deg);
  struct isw_site asked = {.name = site->name, .lat_text = lat_text, .lon_text = lon_text};
  enum isw_status status = ISW_OK;
  for (int v = 0; v < plan->n_varieties && status == ISW_OK; v++)
    for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++) {
      const int r = isw_growth_result_index(plan, v, s);
      GPtrArray *row =
          tables->record
              ? isw_output_new_record_row(plan, &asked, v, s, site->place, tables->crop_column)
              : isw_output_new_place_row(plan, &asked, v, s, &site->place->results[r].result,
                                         tables->crop_column);
      isw_output_append_csv_cells(tables->text, columns, row);
      g_string_append_c(tables->text, '\n');
      status = isw_output_add_feature(tables->package, point, row, error);
      g_ptr_array_unref(row);
    }
  return status;
}

enum isw_status isw_guide_write_places(int n, const struct isw_plan *const *plans,
                                       const struct isw_guide_sites *const *sites,
                                       const struct isw_place_list *places, bool record,
                                       const struct isw_grid *grid, const char *csv_path,
                                       struct isw_geopackage *package, struct isw_error *error) {
  struct tables tables = {n > 1, record, g_string_new(NULL), package};
  int n_columns;
  const struct isw_column *columns =
      isw_output_place_columns(tables.crop_column, record, &n_columns);
  isw_output_append_place_header(tables.text, tables.crop_column, record);
  enum isw_status status =
      isw_output_begin_layer(package, "places", grid->wkt, wkbPoint, n_columns, columns, error);
  for (int c = 0; c < n; c++)
    for (int i = 0; i < sites[c]->n_named && status == ISW_OK; i++) {
      if (sites[c]->named[i].place == NULL) continue;
      double x, y;
      isw_climate_grid_point(grid, places->items[i].col, places->items[i].row, &x, &y);
      OGRGeometryH point = OGR_G_CreateGeometry(wkbPoint);
      OGR_G_SetPoint_2D(point, 0, x, y);
      status = add_place(&tables, plans[c], &sites[c]->named[i], point, error);
      OGR_G_DestroyGeometry(point);
    }
  if (status == ISW_OK) return isw_output_write_text(tables.text, csv_path, error);
  g_string_free(tables.text, TRUE);
  return status;
}

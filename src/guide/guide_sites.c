#include "guide/guide_sites.h"

#include <glib.h>

#include "survey/cell_normals.h"

static enum isw_status fill_site(struct isw_climate *climate, struct isw_locator *locator,
                                 const struct isw_region_grid *region, const char *name,
                                 const char *period, struct isw_guide_site *site,
                                 struct isw_error *error) {
  int col, row;
  isw_guide_full_cell(region, site->cell, &col, &row);
  float normals[ISW_CELL_NORMALS], year_spread_K;
  uint8_t flags;
  enum isw_status status =
      isw_climate_read_cells(climate, col, row, 1, 1, normals, &year_spread_K, &flags, error);
  if (status != ISW_OK) return status;
  if (!isw_climate_locate_cell(locator, col + 0.5, row + 0.5, &site->lat_deg, &site->lon_deg))
    return ISW_OK; /* no place without coordinates */
  char lat_text[32], lon_text[32];
  g_ascii_formatd(lat_text, sizeof lat_text, "%.4f", site->lat_deg);
  g_ascii_formatd(lon_text, sizeof lon_text, "%.4f", site->lon_deg);
  struct isw_site asked = {.name = name,
                           .lat_text = lat_text,
                           .lon_text = lon_text,
                           .lat_deg = site->lat_deg,
                           .lon_deg = site->lon_deg,
                           .south = (flags & ISW_CELL_SOUTH) != 0,
                           .period = period};
  isw_survey_take_normals(normals, year_spread_K, &asked.normals);
  site->place = isw_survey_new_place(region->plan, &asked);
  return ISW_OK;
}

enum isw_status isw_guide_new_sites(struct isw_climate *climate,
                                    const struct isw_region_grid *region,
                                    const struct isw_district_table *table, const char *period,
                                    struct isw_guide_sites **out, struct isw_error *error) {
  struct isw_locator *locator;
  enum isw_status status = isw_climate_new_locator(isw_climate_grid(climate), &locator, error);
  if (status != ISW_OK) return status;
  struct isw_guide_sites *made = g_new0(struct isw_guide_sites, 1);
  const struct isw_guide_areas *areas = isw_guide_areas(table);
  made->n = areas->n;
  made->sites = g_new0(struct isw_guide_site, (gsize)made->n);
  for (int d = 0; d < made->n && status == ISW_OK; d++) {
    struct isw_guide_site *site = &made->sites[d];
    site->cell = isw_guide_typical_cell(region, table, d);
    if (site->cell >= 0)
      status = fill_site(climate, locator, region, areas->items[d].name, period, site, error);
  }
  isw_climate_free_locator(locator);
  if (status == ISW_OK)
    *out = made;
  else
    isw_guide_free_sites(made);
  return status;
}

void isw_guide_free_sites(struct isw_guide_sites *sites) {
  if (sites == NULL) return;
  for (int d = 0; d < sites->n; d++) isw_survey_free_place(sites->sites[d].place);
  g_free(sites->sites);
  g_free(sites);
}

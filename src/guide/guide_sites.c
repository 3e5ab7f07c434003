#include "guide/guide_sites.h"

#include <glib.h>
#include <math.h>

#include "climate/heights.h"
#include "survey/cell_normals.h"
#include "survey/record_of_place.h"

struct maker {
  const struct isw_site_sources *from;
  struct isw_locator *locator;
};

static enum isw_status read_height(const struct maker *maker, int col, int row,
                                   struct isw_guide_site *site, struct isw_error *error) {
  float height_m = NAN;
  site->height_m = NAN;
  if (maker->from->heights == NULL) return ISW_OK;
  enum isw_status status =
      isw_climate_read_heights(maker->from->heights, col, row, 1, 1, &height_m, error);
  site->height_m = (double)height_m;
  return status;
}

/* Years of a station in another climate say little about the place. */
static void warn_of_other_climate(const struct maker *maker, const struct isw_guide_site *site,
                                  const struct isw_site_record *record,
                                  const struct isw_normals *normals) {
  static const double other_K = 1.5;
  const double warmer_K = isw_survey_record_warmer_K(record, normals);
  if (fabs(warmer_K) > other_K)
    isw_base_warn(maker->from->log,
                  "place %s: the record of %s, years %d-%d, is %.1f K %s than the normals of the "
                  "place's cell; its years may have gone otherwise",
                  site->name, record->station->name, record->from_year, record->to_year,
                  fabs(warmer_K), warmer_K > 0.0 ? "warmer" : "colder");
}

/* site: name, area, cell, and of a named place its coordinates are there. record: NULL, none. */
static enum isw_status fill_site(const struct maker *maker, int col, int row, bool located,
                                 const struct isw_site_record *record, struct isw_guide_site *site,
                                 struct isw_error *error) {
  float normals[ISW_CELL_NORMALS], year_spread_K;
  uint8_t flags;
  enum isw_status status = isw_climate_read_cells(maker->from->climate, col, row, 1, 1, normals,
                                                  &year_spread_K, &flags, error);
  if (status == ISW_OK) status = read_height(maker, col, row, site, error);
  if (status != ISW_OK) return status;
  if (!located && !isw_climate_locate_cell(maker->locator, col + 0.5, row + 0.5, &site->lat_deg,
                                           &site->lon_deg))
    return ISW_OK; /* no place without coordinates */
  if ((flags & ISW_CELL_VALID) == 0) {
    isw_base_warn(maker->from->log, "place %s: has no climate data in its cell", site->name);
    return ISW_OK;
  }
  char lat_text[32], lon_text[32];
  g_ascii_formatd(lat_text, sizeof lat_text, "%.4f", site->lat_deg);
  g_ascii_formatd(lon_text, sizeof lon_text, "%.4f", site->lon_deg);
  struct isw_site asked = {.name = site->name,
                           .lat_text = lat_text,
                           .lon_text = lon_text,
                           .lat_deg = site->lat_deg,
                           .lon_deg = site->lon_deg,
                           .south = (flags & ISW_CELL_SOUTH) != 0,
                           .period = maker->from->period};
  isw_survey_take_normals(normals, year_spread_K, &asked.normals);
  if (record != NULL && record->station != NULL) {
    asked.record = *record;
    warn_of_other_climate(maker, site, record, &asked.normals);
  }
  site->place = isw_survey_new_place(maker->from->region->plan, &asked);
  return ISW_OK;
}

static enum isw_status fill_typical(const struct maker *maker, struct isw_guide_sites *made,
                                    struct isw_error *error) {
  const struct isw_guide_areas *areas = isw_guide_areas(maker->from->table);
  made->n = areas->n;
  made->sites = g_new0(struct isw_guide_site, (gsize)made->n);
  enum isw_status status = ISW_OK;
  for (int a = 0; a < made->n && status == ISW_OK; a++) {
    struct isw_guide_site *site = &made->sites[a];
    *site = (struct isw_guide_site){.name = areas->items[a].name, .area = a, .height_m = NAN};
    site->cell = isw_guide_typical_cell(maker->from->region, maker->from->table, a);
    if (site->cell < 0) continue;
    int col, row;
    isw_guide_full_cell(maker->from->region, site->cell, &col, &row);
    status = fill_site(maker, col, row, false, NULL, site, error);
  }
  return status;
}

static enum isw_status fill_named(const struct maker *maker, struct isw_guide_sites *made,
                                  struct isw_error *error) {
  const struct isw_place_list *places = maker->from->places;
  const struct isw_region_grid *region = maker->from->region;
  if (places == NULL) return ISW_OK;
  made->n_named = places->count;
  made->named = g_new0(struct isw_guide_site, (gsize)made->n_named);
  enum isw_status status = ISW_OK;
  for (int i = 0; i < made->n_named && status == ISW_OK; i++) {
    const struct isw_named_place *place = &places->items[i];
    int col = (int)place->col, row = (int)place->row;
    int here = MIN(row / region->step, region->height - 1) * region->width +
               MIN(col / region->step, region->width - 1);
    made->named[i] = (struct isw_guide_site){.name = place->name,
                                             .area = region->area[here],
                                             .cell = here,
                                             .lat_deg = place->lat_deg,
                                             .lon_deg = place->lon_deg};
    const struct isw_site_record *records = maker->from->records;
    status = fill_site(maker, col, row, true, records != NULL ? &records[i] : NULL, &made->named[i],
                       error);
  }
  return status;
}

enum isw_status isw_guide_new_sites(const struct isw_site_sources *sources,
                                    struct isw_guide_sites **out, struct isw_error *error) {
  struct maker maker = {.from = sources};
  enum isw_status status =
      isw_climate_new_locator(isw_climate_grid(sources->climate), &maker.locator, error);
  if (status != ISW_OK) return status;
  struct isw_guide_sites *made = g_new0(struct isw_guide_sites, 1);
  status = fill_typical(&maker, made, error);
  if (status == ISW_OK) status = fill_named(&maker, made, error);
  isw_climate_free_locator(maker.locator);
  if (status == ISW_OK)
    *out = made;
  else
    isw_guide_free_sites(made);
  return status;
}

int isw_guide_next_named(const struct isw_guide_sites *sites, int area, int from) {
  for (int i = from; i < sites->n_named; i++)
    if (sites->named[i].area == area) return i;
  return -1;
}

void isw_guide_free_sites(struct isw_guide_sites *sites) {
  if (sites == NULL) return;
  for (int a = 0; a < sites->n; a++) isw_survey_free_place(sites->sites[a].place);
  for (int i = 0; i < sites->n_named; i++) isw_survey_free_place(sites->named[i].place);
  g_free(sites->named);
  g_free(sites->sites);
  g_free(sites);
}

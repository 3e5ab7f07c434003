/* DESIGN: cells are found block by block with GDAL's rasteriser in a block-sized dataset in memory,
 * by cell centres, one district at a time, so that a cell in two districts counts in both and
 * memory does not grow with the grid. */
#include "regions/district_cells.h"

#include <cpl_error.h>
#include <gdal.h>
#include <gdal_alg.h>
#include <glib.h>
#include <math.h>
#include <string.h>

#include "climate/climate.h"
#include "climate/grid.h"
#include "regions/district_inner.h"
#include "regions/district_overlaps.h"

enum { FEW_CELLS = 10 };
static const double full_turn_deg = 360.0;

long long isw_regions_district_size(const struct isw_district_set *set, int district) {
  return isw_regions_district_at(set, district)->cells_with_data;
}

/* A block of the grid as the rasteriser sees it. */
struct window {
  double transform[6];
  OGREnvelope envelope;
};

static struct window place_window(const struct isw_grid *grid, int col, int row, int width,
                                  int height) {
  struct window window;
  memcpy(window.transform, grid->transform, sizeof window.transform);
  isw_climate_grid_point(grid, col, row, &window.transform[0], &window.transform[3]);
  for (int corner = 0; corner < 4; corner++) {
    double x, y;
    isw_climate_grid_point(grid, col + (corner % 2) * width, row + (corner / 2) * height, &x, &y);
    window.envelope.MinX = corner == 0 ? x : MIN(window.envelope.MinX, x);
    window.envelope.MaxX = corner == 0 ? x : MAX(window.envelope.MaxX, x);
    window.envelope.MinY = corner == 0 ? y : MIN(window.envelope.MinY, y);
    window.envelope.MaxY = corner == 0 ? y : MAX(window.envelope.MaxY, y);
  }
  return window;
}

static bool meet(const OGREnvelope *a, const OGREnvelope *b, double shift) {
  return a->MinX + shift <= b->MaxX && a->MaxX + shift >= b->MinX && a->MinY <= b->MaxY &&
         a->MaxY >= b->MinY;
}

/* Burn the district into mask (a MEM dataset's pixels), also where the grid's longitudes are a turn
 * away from the district's. *any: something may have been burnt. */
static enum isw_status burn_district(const struct isw_district_set *set,
                                     const struct isw_district *district,
                                     const struct window *window, GDALDatasetH mask, bool *any,
                                     struct isw_error *error) {
  static const double shifts[] = {0.0, -1.0, 1.0};
  size_t n_shifts = set->grid.geographic ? G_N_ELEMENTS(shifts) : 1;
  *any = false;
  for (size_t i = 0; i < n_shifts && district->shapes->len > 0; i++) {
    double shift = shifts[i] * full_turn_deg;
    if (!meet(&district->envelope, &window->envelope, shift)) continue;
    if (!*any) GDALFillRaster(GDALGetRasterBand(mask, 1), 0.0, 0.0);
    double transform[6];
    memcpy(transform, window->transform, sizeof transform);
    transform[0] -= shift;
    GDALSetGeoTransform(mask, transform);
    GArray *burns = g_array_new(FALSE, FALSE, sizeof(double));
    double one = 1.0;
    for (guint s = 0; s < district->shapes->len; s++) g_array_append_val(burns, one);
    int band = 1;
    CPLErrorReset();
    CPLErr burnt = GDALRasterizeGeometries(mask, 1, &band, (int)district->shapes->len,
                                           (OGRGeometryH *)district->shapes->pdata, NULL, NULL,
                                           (double *)(void *)burns->data, NULL, NULL, NULL);
    g_array_unref(burns);
    if (burnt != CE_None)
      return isw_base_fail(error, ISW_RESOURCES, "district %s cannot be laid over the grid: %s",
                           district->name, CPLGetLastErrorMsg());
    *any = true;
  }
  return ISW_OK;
}

static void list_cells(struct isw_district *district, const uint8_t *mask, const uint8_t *flags,
                       size_t n, GArray *cells, GArray *left_out) {
  for (size_t i = 0; i < n; i++) {
    if (!mask[i]) continue;
    district->cells_inside++;
    uint32_t cell = (uint32_t)i;
    if (flags[i] & ISW_CELL_VALID) g_array_append_val(cells, cell);
    if (flags[i] & ISW_CELL_LEFT_OUT) g_array_append_val(left_out, cell);
  }
  district->cells_with_data += cells->len;
  district->cells_left_out += left_out->len;
}

enum isw_status isw_regions_find_district_cells(struct isw_district_set *set, int col, int row,
                                                int width, int height, const uint8_t *flags,
                                                int *n_out, const struct isw_district_cells **out,
                                                struct isw_error *error) {
  g_array_set_size(set->found, 0);
  g_ptr_array_set_size(set->found_cells, 0);
  size_t n = (size_t)width * (size_t)height;
  struct window window = place_window(&set->grid, col, row, width, height);
  GDALDatasetH mask = GDALCreate(GDALGetDriverByName("MEM"), "", width, height, 1, GDT_Byte, NULL);
  if (mask == NULL)
    return isw_base_fail(error, ISW_RESOURCES, "no memory for a block of districts");
  GDALRasterBandH band = GDALGetRasterBand(mask, 1);
  uint8_t *pixels = g_malloc(n);
  uint8_t *taken = g_new0(uint8_t, n);
  bool shared = false;
  enum isw_status status = ISW_OK;
  for (int i = 0; i < isw_regions_district_count(set) && status == ISW_OK; i++) {
    const int d = set->smaller_first[i];
    struct isw_district *district = isw_regions_district_at(set, d);
    bool any;
    status = burn_district(set, district, &window, mask, &any, error);
    if (status != ISW_OK || !any) continue;
    if (GDALRasterIO(band, GF_Read, 0, 0, width, height, pixels, width, height, GDT_Byte, 0, 0) !=
        CE_None) {
      status = isw_base_fail(error, ISW_INTERNAL, "districts in memory cannot be read back");
      continue;
    }
    GArray *cells = g_array_new(FALSE, FALSE, sizeof(uint32_t));
    GArray *left_out = g_array_new(FALSE, FALSE, sizeof(uint32_t));
    list_cells(district, pixels, flags, n, cells, left_out);
    for (guint k = 0; k < cells->len; k++)
      shared = taken[g_array_index(cells, uint32_t, k)]++ > 0 || shared;
    g_ptr_array_add(set->found_cells, cells);
    g_ptr_array_add(set->found_cells, left_out);
    struct isw_district_cells found = {d, cells->len, left_out->len,
                                       (const uint32_t *)(void *)cells->data,
                                       (const uint32_t *)(void *)left_out->data};
    if (found.n + found.n_left_out > 0) g_array_append_val(set->found, found);
  }
  GDALClose(mask);
  g_free(pixels);
  g_free(taken);
  if (shared) isw_regions_note_overlaps(set);
  *n_out = (int)set->found->len;
  *out = (const struct isw_district_cells *)(const void *)set->found->data;
  return status;
}

/* By more than a cell, so that rounding along a shared edge is not told. */
static bool reaches_out(const struct isw_district_set *set, const struct isw_district *district) {
  static const double shifts[] = {0.0, -1.0, 1.0};
  struct window whole = place_window(&set->grid, 0, 0, set->grid.width, set->grid.height);
  double cell = fmax(hypot(set->grid.transform[1], set->grid.transform[4]),
                     hypot(set->grid.transform[2], set->grid.transform[5]));
  for (size_t i = 0; i < (set->grid.geographic ? G_N_ELEMENTS(shifts) : 1); i++) {
    double shift = shifts[i] * full_turn_deg;
    if (district->envelope.MinX + shift >= whole.envelope.MinX - cell &&
        district->envelope.MaxX + shift <= whole.envelope.MaxX + cell &&
        district->envelope.MinY >= whole.envelope.MinY - cell &&
        district->envelope.MaxY <= whole.envelope.MaxY + cell)
      return false;
  }
  return true;
}

static void report_overlaps(const struct isw_district_set *set, struct isw_log *log) {
  enum { TOLD = 10 };
  struct isw_district_overlap *overlaps;
  int n = isw_regions_list_overlaps(set, &overlaps);
  for (int i = 0; i < MIN(n, TOLD); i++) {
    const char *smaller = isw_regions_district_name(set, overlaps[i].smaller);
    const char *larger = isw_regions_district_name(set, overlaps[i].larger);
    if (overlaps[i].inside)
      isw_base_warn(
          log,
          "district %s lies inside %s: a place there is told as of %s; its cells count in "
          "both",
          smaller, larger, smaller);
    else
      isw_base_warn(
          log,
          "districts %s and %s overlap on %lld cells: a place there is told as of %s, the "
          "smaller; such cells count in both",
          smaller, larger, overlaps[i].cells, smaller);
  }
  if (n > TOLD) isw_base_warn(log, "%d more pairs of districts overlap", n - TOLD);
  g_free(overlaps);
}

void isw_regions_report_districts(const struct isw_district_set *set, struct isw_log *log) {
  for (int d = 0; d < isw_regions_district_count(set); d++) {
    const struct isw_district *district = isw_regions_district_at(set, d);
    if (district->shapes->len == 0) continue; /* said when it was read */
    if (district->cells_inside == 0)
      isw_base_warn(log,
                    "district %s: holds no cell's centre of the grid; it lies outside or is "
                    "smaller than a cell",
                    district->name);
    else if (district->cells_with_data == 0)
      isw_base_warn(log,
                    district->cells_left_out > 0
                        ? "district %s: has no cell that counts in the mask"
                        : "district %s: has no cell with climate data",
                    district->name);
    else if (district->cells_with_data < FEW_CELLS)
      isw_base_warn(log,
                    "district %s: has few cells with climate data (%lld); its numbers say little",
                    district->name, district->cells_with_data);
    if (district->cells_inside > 0 && reaches_out(set, district))
      isw_base_warn(
          log, "district %s: reaches beyond the grid; its numbers are those of the part inside",
          district->name);
  }
  report_overlaps(set, log);
}

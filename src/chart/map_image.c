#include "chart/map_image.h"

#include <cpl_error.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "chart/map_crs.h"
#include "output/raster.h"

/* Looking for the data in a grid larger than this would read it twice for little. */
enum { SEARCH_CELLS_MAX = 30000000, SEARCH_SIDE = 2048 };
/* Kept in memory, 2 bytes per band: no more than a page's own pixels take. */
enum { KEPT_CELLS_MAX = 16000000 };

/* Nearest cells of kept bands, as GDAL would give them; false: not all are kept. */
static bool copy_kept(const struct isw_map_source *source, int n_bands, const int *bands,
                      struct isw_cell_window window, int width, int height,
                      int16_t *const *values) {
  const int16_t *from[ISW_KEPT_BANDS_MAX];
  if (n_bands > source->n_kept) return false;
  for (int i = 0; i < n_bands; i++) {
    from[i] = NULL;
    for (int k = 0; k < source->n_kept; k++)
      if (source->kept_bands[k] == bands[i]) from[i] = source->kept[k];
    if (from[i] == NULL) return false;
  }
  int *cols = g_new(int, (gsize)MAX(width, 1));
  for (int x = 0; x < width; x++) cols[x] = window.col + (int)((x + 0.5) * window.cols / width);
  for (int y = 0; y < height; y++) {
    size_t row = (size_t)(window.row + (int)((y + 0.5) * window.rows / height));
    for (int i = 0; i < n_bands; i++) {
      const int16_t *line = from[i] + row * (size_t)source->raster_width;
      int16_t *to = values[i] + (size_t)y * (size_t)width;
      for (int x = 0; x < width; x++) to[x] = line[cols[x]];
    }
  }
  g_free(cols);
  return true;
}

/* A window of the raster's own cells. */
static enum isw_status read_raster(const struct isw_map_source *source, int n_bands,
                                   const int *bands, struct isw_cell_window window, int width,
                                   int height, int16_t *const *values, struct isw_error *error) {
  if (copy_kept(source, n_bands, bands, window, width, height, values)) return ISW_OK;
  /* Row by row through all bands, so that a tile is unpacked once for all of them even where the
   * raster is far larger than GDAL's cache. */
  for (int y = 0; y < height; y++) {
    int row = window.row + (int)((y + 0.5) * window.rows / height);
    for (int i = 0; i < n_bands; i++)
      if (GDALRasterIO(GDALGetRasterBand(source->dataset, bands[i] + 1), GF_Read, window.col, row,
                       window.cols, 1, values[i] + (size_t)y * (size_t)width, width, 1, GDT_Int16,
                       0, 0) != CE_None)
        return isw_base_fail(error, ISW_RESOURCES, "cannot read %s for its map: %s",
                             GDALGetDescription(source->dataset), CPLGetLastErrorMsg());
  }
  return ISW_OK;
}

/* Bounds of the data among width x height samples of the whole grid. */
static void find_data(struct isw_map_source *source, const int16_t *values, int width, int height,
                      int nodata) {
  int left = width, right = -1, top = height, bottom = -1;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      if (values[(size_t)y * (size_t)width + (size_t)x] == nodata) {
        source->has_holes = true;
        continue;
      }
      left = MIN(left, x);
      right = MAX(right, x);
      top = MIN(top, y);
      bottom = MAX(bottom, y);
    }
  if (right < 0) return;
  const struct isw_grid *grid = &source->grid;
  /* A sample stands for up to a sample's width of cells beside it. */
  double step_x = (double)grid->width / width, step_y = (double)grid->height / height;
  int first_col = MAX((int)((left - (step_x > 1)) * step_x), 0);
  int first_row = MAX((int)((top - (step_y > 1)) * step_y), 0);
  int end_col = MIN((int)((right + 1 + (step_x > 1)) * step_x), grid->width);
  int end_row = MIN((int)((bottom + 1 + (step_y > 1)) * step_y), grid->height);
  source->data =
      (struct isw_cell_window){first_col, first_row, end_col - first_col, end_row - first_row};
}

/* Whole bands, each row through all of them. */
static enum isw_status keep_bands(struct isw_map_source *source, int n_bands, const int *bands,
                                  struct isw_error *error) {
  const struct isw_grid *grid = &source->grid;
  for (int i = 0; i < n_bands; i++) {
    source->kept_bands[i] = bands[i];
    source->kept[i] = g_new(int16_t, (gsize)grid->width * (gsize)grid->height);
  }
  enum isw_status status = read_raster(source, n_bands, bands, source->data, grid->width,
                                       grid->height, source->kept, error);
  if (status == ISW_OK) source->n_kept = n_bands;
  return status;
}

static enum isw_status search_data(struct isw_map_source *source, int n_bands, const int *bands,
                                   int nodata, struct isw_error *error) {
  const struct isw_grid *grid = &source->grid;
  double cells = (double)grid->width * grid->height;
  source->data = (struct isw_cell_window){0, 0, grid->width, grid->height};
  if (cells <= KEPT_CELLS_MAX && n_bands <= ISW_KEPT_BANDS_MAX) {
    enum isw_status kept = keep_bands(source, n_bands, bands, error);
    if (kept == ISW_OK) find_data(source, source->kept[0], grid->width, grid->height, nodata);
    return kept;
  }
  /* Not known of a huge grid, so said. */
  source->has_holes = cells > SEARCH_CELLS_MAX;
  if (source->has_holes) return ISW_OK;
  int width = MIN(grid->width, SEARCH_SIDE), height = MIN(grid->height, SEARCH_SIDE);
  int16_t *values = g_new(int16_t, (gsize)width * (gsize)height);
  enum isw_status status =
      read_raster(source, 1, bands, source->data, width, height, &values, error);
  if (status == ISW_OK) find_data(source, values, width, height, nodata);
  g_free(values);
  return status;
}

/* From the raster's own grid to one in the map's CRS. */
static enum isw_status change_crs(struct isw_map_source *source, const char *map_crs,
                                  struct isw_error *error) {
  const double *t = source->grid.transform;
  const struct isw_cell_window *data = &source->data;
  struct isw_degree_bounds bounds = {HUGE_VAL, -HUGE_VAL, HUGE_VAL, -HUGE_VAL};
  for (int k = 0; k < 4; k++) {
    double col = data->col + (k % 2) * data->cols, row = data->row + (k / 2) * data->rows;
    double x = t[0] + col * t[1] + row * t[2], y = t[3] + col * t[4] + row * t[5];
    bounds = (struct isw_degree_bounds){fmin(bounds.west_deg, x), fmax(bounds.east_deg, x),
                                        fmin(bounds.south_deg, y), fmax(bounds.north_deg, y)};
  }
  char *wkt;
  enum isw_status status = isw_chart_choose_map_crs(map_crs, &source->grid, bounds, &wkt, error);
  if (status != ISW_OK || wkt == NULL) return status;
  struct isw_grid lattice;
  struct isw_cell_window at;
  status =
      isw_chart_new_warp(&source->grid, source->data, wkt, &source->warp, &lattice, &at, error);
  g_free(wkt);
  if (status != ISW_OK) return status;
  g_free(source->grid.wkt);
  source->grid = lattice;
  source->data = at;
  source->cell_side = isw_chart_raster_cell_side(source->warp);
  source->has_holes = true; /* the corners that a turned raster leaves */
  return ISW_OK;
}

enum isw_status isw_chart_open_source(const char *raster, const char *map_crs, int band, int nodata,
                                      struct isw_map_source *out, struct isw_error *error) {
  return isw_chart_open_source_bands(raster, map_crs, 1, &band, nodata, out, error);
}

enum isw_status isw_chart_open_source_bands(const char *raster, const char *map_crs, int n_bands,
                                            const int *bands, int nodata,
                                            struct isw_map_source *out, struct isw_error *error) {
  int most = bands[0];
  for (int i = 1; i < n_bands; i++) most = MAX(most, bands[i]);
  *out = (struct isw_map_source){.cell_side = 1, .nodata = nodata};
  CPLPushErrorHandler(CPLQuietErrorHandler);
  out->dataset = GDALOpenEx(raster, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL,
                            NULL, NULL);
  CPLPopErrorHandler();
  if (out->dataset == NULL)
    return isw_base_fail(error, ISW_RESOURCES, "cannot open %s for its map: %s", raster,
                         CPLGetLastErrorMsg());
  const char *wkt = GDALGetProjectionRef(out->dataset);
  if (wkt == NULL || wkt[0] == '\0')
    wkt = GDALGetMetadataItem(out->dataset, isw_output_crs_item, NULL);
  out->grid.width = GDALGetRasterXSize(out->dataset);
  out->grid.height = GDALGetRasterYSize(out->dataset);
  out->grid.wkt = g_strdup(wkt != NULL ? wkt : "");
  out->grid.geographic = isw_climate_is_geographic(out->grid.wkt);
  enum isw_status status = ISW_OK;
  if (GDALGetGeoTransform(out->dataset, out->grid.transform) != CE_None ||
      out->grid.wkt[0] == '\0' || GDALGetRasterCount(out->dataset) <= most)
    status = isw_base_fail(
        error, ISW_RESOURCES,
        "%s: its place or its bands cannot be read for its map; is memory short?", raster);
  if (status == ISW_OK) status = search_data(out, n_bands, bands, nodata, error);
  out->raster_width = out->grid.width;
  out->raster_height = out->grid.height;
  out->raster_data = out->data;
  if (status == ISW_OK) status = change_crs(out, map_crs, error);
  if (status == ISW_OK) status = isw_climate_new_locator(&out->grid, &out->locator, error);
  if (status != ISW_OK) isw_chart_close_source(out);
  return status;
}

void isw_chart_close_source(struct isw_map_source *source) {
  if (source->locator != NULL) isw_climate_free_locator(source->locator);
  isw_chart_free_warp(source->warp);
  if (source->dataset != NULL) GDALClose(source->dataset);
  g_free(source->grid.wkt);
  for (int i = 0; i < ISW_KEPT_BANDS_MAX; i++) g_free(source->kept[i]);
  *source = (struct isw_map_source){0};
}

/* Bands of a part of the raster, as cells to pick from. */
struct picked {
  struct isw_cell_window window; /* of the raster */
  int width, height;             /* samples of it, no more than its cells */
  int16_t *samples[ISW_KEPT_BANDS_MAX];
};

static enum isw_status pick_from(const struct isw_map_source *source, int n_bands, const int *bands,
                                 int width, int height, struct picked *out,
                                 struct isw_error *error) {
  /* Twice as fine as the page, so that picking the nearest of the nearest does no harm. */
  *out = (struct picked){.window = source->raster_data,
                         .width = MIN(source->raster_data.cols, 2 * width),
                         .height = MIN(source->raster_data.rows, 2 * height)};
  for (int i = 0; i < n_bands; i++)
    out->samples[i] = g_new(int16_t, (gsize)out->width * (gsize)out->height);
  return read_raster(source, n_bands, bands, out->window, out->width, out->height, out->samples,
                     error);
}

static void warp_row(const struct isw_map_source *source, const struct picked *from, int n_bands,
                     struct isw_cell_window window, int width, int height, int y,
                     int16_t *const *values, int *cols, int *rows) {
  double step = (double)window.cols / width;
  isw_chart_find_raster_cells(source->warp, window.row + (y + 0.5) * window.rows / height,
                              window.col + step / 2, step, width, cols, rows);
  for (int x = 0; x < width; x++) {
    int col = cols[x] - from->window.col, row = rows[x] - from->window.row;
    bool inside =
        cols[x] >= 0 && col >= 0 && row >= 0 && col < from->window.cols && row < from->window.rows;
    size_t at = 0;
    if (inside)
      at = (size_t)((col + 0.5) * from->width / from->window.cols) +
           (size_t)((row + 0.5) * from->height / from->window.rows) * (size_t)from->width;
    for (int i = 0; i < n_bands; i++)
      values[i][(size_t)y * (size_t)width + (size_t)x] =
          inside ? from->samples[i][at] : (int16_t)source->nodata;
  }
}

enum isw_status isw_chart_read_window(const struct isw_map_source *source, int n_bands,
                                      const int *bands, struct isw_cell_window window, int width,
                                      int height, int16_t *const *values, struct isw_error *error) {
  if (source->warp == NULL)
    return read_raster(source, n_bands, bands, window, width, height, values, error);
  struct picked from;
  enum isw_status status = pick_from(source, n_bands, bands, width, height, &from, error);
  int *cols = g_new(int, (size_t)width), *rows = g_new(int, (size_t)width);
  for (int y = 0; y < height && status == ISW_OK; y++)
    warp_row(source, &from, n_bands, window, width, height, y, values, cols, rows);
  g_free(cols);
  g_free(rows);
  for (int i = 0; i < n_bands; i++) g_free(from.samples[i]);
  return status;
}

#include "climate/relief.h"

#include <cpl_error.h>
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>

enum { SIDE_MOST = 3000, PROBES = 33 };

/* The model's cells under the grid, found from points all over it, with a margin. */
static bool find_window(const struct isw_grid *model, const struct isw_grid *under, int window[4],
                        struct isw_error *error) {
  struct isw_locator *to = NULL, *from = NULL;
  double left = HUGE_VAL, top = HUGE_VAL, right = -HUGE_VAL, bottom = -HUGE_VAL;
  bool located = isw_climate_new_locator(under, &from, error) == ISW_OK &&
                 isw_climate_new_locator(model, &to, error) == ISW_OK;
  for (int k = 0; located && k < PROBES * PROBES; k++) {
    double lat_deg, lon_deg, col, row;
    if (!isw_climate_locate_cell(from, under->width * (k % PROBES) / (PROBES - 1.0),
                                 under->height * (k / PROBES) / (PROBES - 1.0), &lat_deg,
                                 &lon_deg) ||
        !isw_climate_find_cell(to, lat_deg, lon_deg, &col, &row))
      continue;
    left = fmin(left, col);
    right = fmax(right, col);
    top = fmin(top, row);
    bottom = fmax(bottom, row);
  }
  isw_climate_free_locator(to);
  isw_climate_free_locator(from);
  if (!(right >= left && bottom >= top)) return false;
  double margin = fmax(right - left, bottom - top) / (PROBES - 1) + 2;
  window[0] = (int)floor(fmax(left - margin, 0));
  window[1] = (int)floor(fmax(top - margin, 0));
  window[2] = (int)ceil(fmin(right + margin, model->width)) - window[0];
  window[3] = (int)ceil(fmin(bottom + margin, model->height)) - window[1];
  return window[2] > 0 && window[3] > 0;
}

static bool read_heights(GDALDatasetH dataset, const int window[4], struct isw_relief *relief) {
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  double scale = fmax(fmax(window[2], window[3]) / (double)SIDE_MOST, 1.0);
  struct isw_grid *grid = &relief->grid;
  double t[6];
  for (int i = 0; i < 6; i++) t[i] = grid->transform[i];
  grid->width = (int)ceil(window[2] / scale);
  grid->height = (int)ceil(window[3] / scale);
  double step_x = (double)window[2] / grid->width, step_y = (double)window[3] / grid->height;
  grid->transform[0] = t[0] + window[0] * t[1] + window[1] * t[2];
  grid->transform[3] = t[3] + window[0] * t[4] + window[1] * t[5];
  grid->transform[1] *= step_x;
  grid->transform[4] *= step_x;
  grid->transform[2] *= step_y;
  grid->transform[5] *= step_y;
  gsize n = (gsize)grid->width * (gsize)grid->height;
  relief->height_m = g_new(float, n);
  GDALRasterIOExtraArg how;
  INIT_RASTERIO_EXTRA_ARG(how);
  how.eResampleAlg = GRIORA_Average;
  if (GDALRasterIOEx(band, GF_Read, window[0], window[1], window[2], window[3], relief->height_m,
                     grid->width, grid->height, GDT_Float32, 0, 0, &how) != CE_None)
    return false;
  int has_nodata = FALSE;
  double nodata = GDALGetRasterNoDataValue(band, &has_nodata);
  for (gsize i = 0; i < n; i++)
    if (has_nodata && fabs((double)relief->height_m[i] - nodata) < 0.5) relief->height_m[i] = NAN;
  return true;
}

enum isw_status isw_climate_read_relief(const char *path, const struct isw_grid *under,
                                        struct isw_relief **out, struct isw_error *error) {
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH dataset =
      GDALOpenEx(path, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
  CPLPopErrorHandler();
  if (dataset == NULL || GDALGetRasterCount(dataset) < 1) {
    if (dataset != NULL) GDALClose(dataset);
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read as elevation: %s", path,
                         CPLGetLastErrorMsg());
  }
  struct isw_relief *relief = g_new0(struct isw_relief, 1);
  const char *wkt = GDALGetProjectionRef(dataset);
  relief->grid.wkt = g_strdup(wkt != NULL ? wkt : "");
  relief->grid.width = GDALGetRasterXSize(dataset);
  relief->grid.height = GDALGetRasterYSize(dataset);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(relief->grid.wkt);
  relief->grid.geographic = crs != NULL && OSRIsGeographic(crs);
  if (crs != NULL) OSRDestroySpatialReference(crs);
  int window[4];
  enum isw_status status = ISW_OK;
  if (relief->grid.wkt[0] == '\0' ||
      GDALGetGeoTransform(dataset, relief->grid.transform) != CE_None)
    status =
        isw_base_fail(error, ISW_INPUT_CONTENT,
                      "%s: has no place on Earth; give it a CRS (gdal_translate -a_srs)", path);
  else if (!find_window(&relief->grid, under, window, error))
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: lies nowhere under the climate data; give the elevation of their "
                           "area",
                           path);
  else if (!read_heights(dataset, window, relief))
    status =
        isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read: %s", path, CPLGetLastErrorMsg());
  GDALClose(dataset);
  if (status == ISW_OK)
    *out = relief;
  else
    isw_climate_free_relief(relief);
  return status;
}

void isw_climate_free_relief(struct isw_relief *relief) {
  if (relief == NULL) return;
  g_free(relief->grid.wkt);
  g_free(relief->height_m);
  g_free(relief);
}

#include "climate/heights.h"

#include <cpl_error.h>
#include <glib.h>
#include <math.h>

#include "climate/warp_onto.h"

static const double unlikely_m =
    -99999.0; /* stands for "none" in a model that names no such value */

struct isw_heights {
  char *path;
  GDALDatasetH model, on_grid;
  double nodata;
};

void isw_climate_free_heights(struct isw_heights *heights) {
  if (heights == NULL) return;
  if (heights->on_grid != NULL) GDALClose(heights->on_grid);
  if (heights->model != NULL) GDALClose(heights->model);
  g_free(heights->path);
  g_free(heights);
}

static enum isw_status lay(struct isw_heights *heights, const struct isw_grid *grid,
                           struct isw_error *error) {
  double transform[6];
  const char *wkt = GDALGetProjectionRef(heights->model);
  if (wkt == NULL || wkt[0] == '\0' || GDALGetGeoTransform(heights->model, transform) != CE_None)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "heights %s: has no place on Earth; give it a CRS (gdal_edit.py -a_srs)",
                         heights->path);
  int has = 0;
  heights->nodata = GDALGetRasterNoDataValue(GDALGetRasterBand(heights->model, 1), &has);
  if (!has || isnan(heights->nodata)) heights->nodata = unlikely_m;
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  heights->on_grid = isw_climate_warp_onto(heights->model, heights->nodata, grid);
  CPLPopErrorHandler();
  if (heights->on_grid != NULL) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "heights %s: cannot be brought onto the grid of the normals: %s",
                       heights->path, CPLGetLastErrorMsg());
}

enum isw_status isw_climate_open_heights(const char *path, const struct isw_grid *grid,
                                         struct isw_heights **out, struct isw_error *error) {
  struct isw_heights *heights = g_new0(struct isw_heights, 1);
  heights->path = g_strdup(path);
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  heights->model =
      GDALOpenEx(path, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
  CPLPopErrorHandler();
  enum isw_status status = ISW_OK;
  if (heights->model == NULL || GDALGetRasterCount(heights->model) < 1)
    status = isw_base_fail(error, ISW_INPUT_FILE, "heights %s: cannot be read as elevation: %s",
                           path, CPLGetLastErrorMsg());
  else
    status = lay(heights, grid, error);
  if (status == ISW_OK)
    *out = heights;
  else
    isw_climate_free_heights(heights);
  return status;
}

enum isw_status isw_climate_read_heights(struct isw_heights *heights, int col, int row, int width,
                                         int height, float *height_m, struct isw_error *error) {
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  CPLErr read = GDALRasterIO(GDALGetRasterBand(heights->on_grid, 1), GF_Read, col, row, width,
                             height, height_m, width, height, GDT_Float32, 0, 0);
  CPLPopErrorHandler();
  if (read != CE_None)
    return isw_base_fail(error, ISW_INPUT_FILE, "heights %s: cannot be read: %s", heights->path,
                         CPLGetLastErrorMsg());
  size_t n = (size_t)width * (size_t)height;
  for (size_t i = 0; i < n; i++)
    if (fabs((double)height_m[i] - heights->nodata) < 0.5) height_m[i] = NAN;
  return ISW_OK;
}

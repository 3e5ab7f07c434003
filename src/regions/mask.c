/* DESIGN: a raster mask is read block by block, directly where it lies on the grid, else through
 * virtual rasters of GDAL's, so that memory does not grow with either: one that has 0 for nodata,
 * because what does not count votes too, then the warper's weighted mean of 0 and 1 on the grid, of
 * which more than a half is the majority. A vector mask is one district of all shapes. */
#include "regions/mask.h"

#include <cpl_error.h>
#include <gdal.h>
#include <gdal_vrt.h>
#include <glib.h>
#include <limits.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "climate/climate.h"
#include "climate/grid.h"
#include "climate/warp_onto.h"
#include "documents/text_file.h"
#include "regions/district_cells.h"
#include "regions/district_inner.h"

struct isw_mask {
  char *path;
  GDALDatasetH raster;         /* NULL: shapes */
  GDALDatasetH plain, on_grid; /* without nodata, and warped; NULL: the raster lies on the grid */
  double nodata;               /* NAN: none */
  struct isw_district_set *shapes;
  long long with_data, kept;
};

void isw_regions_free_mask(struct isw_mask *mask) {
  if (mask == NULL) return;
  if (mask->on_grid != NULL) GDALClose(mask->on_grid);
  if (mask->plain != NULL) GDALClose(mask->plain);
  if (mask->raster != NULL) GDALClose(mask->raster);
  isw_regions_free_districts(mask->shapes);
  g_free(mask->path);
  g_free(mask);
}

/* The raster's own grid; wkt is new. */
static enum isw_status read_own_grid(const struct isw_mask *mask, struct isw_grid *own,
                                     struct isw_error *error) {
  const char *wkt = GDALGetProjectionRef(mask->raster);
  *own = (struct isw_grid){.width = GDALGetRasterXSize(mask->raster),
                           .height = GDALGetRasterYSize(mask->raster)};
  if (GDALGetRasterCount(mask->raster) != 1)
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: %d bands, but a mask has one", mask->path,
                         GDALGetRasterCount(mask->raster));
  if (wkt == NULL || wkt[0] == '\0' || GDALGetGeoTransform(mask->raster, own->transform) != CE_None)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: has no CRS or no regular grid, so that nobody knows where its cells "
                         "are; add it (gdal_edit.py -a_srs -a_ullr)",
                         mask->path);
  own->wkt = g_strdup(wkt);
  own->geographic = isw_climate_is_geographic(wkt);
  return ISW_OK;
}

static enum isw_status refuse_value(const struct isw_mask *mask, double value,
                                    struct isw_error *error) {
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s: holds %g; a mask holds 1 where a cell counts and 0 where it does not, "
                       "make one with gdal_calc.py",
                       mask->path, value);
}

/* The raster with 0 for nodata, and around it as far as a cell of the grid that reaches out. */
static GDALDatasetH without_nodata(const struct isw_mask *mask, const struct isw_grid *own,
                                   const struct isw_grid *grid) {
  enum { MARGIN_MOST = 100000 };
  double across =
      sqrt(isw_climate_middle_area_m2(grid) / fmax(isw_climate_middle_area_m2(own), 1e-6));
  int margin = (int)fmin(2.0 * across + 2.0, MARGIN_MOST);
  margin = MIN(margin, (INT_MAX - MAX(own->width, own->height)) / 2);
  double transform[6];
  memcpy(transform, own->transform, sizeof transform);
  isw_climate_grid_point(own, -margin, -margin, &transform[0], &transform[3]);
  GDALDatasetH plain = VRTCreate(own->width + 2 * margin, own->height + 2 * margin);
  GDALSetProjection(plain, own->wkt);
  GDALSetGeoTransform(plain, transform);
  GDALAddBand(plain, GDT_Float32, NULL);
  VRTAddComplexSource(GDALGetRasterBand(plain, 1), GDALGetRasterBand(mask->raster, 1), 0, 0,
                      own->width, own->height, margin, margin, own->width, own->height, 0.0, 1.0,
                      isnan(mask->nodata) ? VRT_NODATA_UNSET : mask->nodata);
  return plain;
}

/* A quick look; values that it misses are told when a raster on the grid is read. */
static enum isw_status check_values(const struct isw_mask *mask, struct isw_error *error) {
  double range[2] = {0.0, 0.0};
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALComputeRasterMinMax(GDALGetRasterBand(mask->raster, 1), TRUE, range);
  CPLPopErrorHandler();
  for (int k = 0; k < 2; k++)
    if (isfinite(range[k]) && range[k] != 0.0 && range[k] != 1.0)
      return refuse_value(mask, range[k], error);
  return ISW_OK;
}

static enum isw_status lay_on_grid(struct isw_mask *mask, const struct isw_grid *grid,
                                   struct isw_log *log, struct isw_error *error) {
  struct isw_grid own;
  enum isw_status status = read_own_grid(mask, &own, error);
  if (status != ISW_OK) return status;
  int has = 0;
  mask->nodata = GDALGetRasterNoDataValue(GDALGetRasterBand(mask->raster, 1), &has);
  if (!has) mask->nodata = NAN;
  status = check_values(mask, error);
  bool same = isw_climate_compare_grids(grid, "", &own, "", NULL) == ISW_OK;
  if (status != ISW_OK || same) {
    isw_climate_free_grid(&own);
    return status;
  }
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  mask->plain = without_nodata(mask, &own, grid);
  mask->on_grid = isw_climate_warp_onto(mask->plain, NAN, grid);
  CPLPopErrorHandler();
  isw_climate_free_grid(&own);
  if (mask->on_grid == NULL)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: cannot be brought onto the grid of the normals: %s", mask->path,
                         CPLGetLastErrorMsg());
  isw_base_notice(log, "%s: on another grid than the normals; a cell counts by majority",
                  mask->path);
  return ISW_OK;
}

enum isw_status isw_regions_open_mask(const char *path, const struct isw_grid *grid,
                                      struct isw_log *log, struct isw_mask **out,
                                      struct isw_error *error) {
  enum isw_status status = isw_documents_check_kind(path, error);
  if (status != ISW_OK) return status;
  struct isw_mask *mask = g_new0(struct isw_mask, 1);
  mask->path = g_strdup(path);
  CPLPushErrorHandler(CPLQuietErrorHandler);
  mask->raster = GDALOpenEx(path, GDAL_OF_RASTER | GDAL_OF_READONLY, NULL, NULL, NULL);
  CPLPopErrorHandler();
  status = mask->raster != NULL
               ? lay_on_grid(mask, grid, log, error)
               : isw_regions_open_shapes(path, "mask shapes", grid, log, &mask->shapes, error);
  if (status != ISW_OK) {
    isw_regions_free_mask(mask);
    return status;
  }
  *out = mask;
  return ISW_OK;
}

static enum isw_status read_raster(struct isw_mask *mask, int col, int row, int width, int height,
                                   uint8_t *kept, struct isw_error *error) {
  size_t n = (size_t)width * (size_t)height;
  bool warped = mask->on_grid != NULL;
  double *values = g_try_new(double, n);
  if (values == NULL) return isw_base_fail(error, ISW_RESOURCES, "no memory for a block of a mask");
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  CPLErr read = GDALRasterIO(GDALGetRasterBand(warped ? mask->on_grid : mask->raster, 1), GF_Read,
                             col, row, width, height, values, width, height, GDT_Float64, 0, 0);
  CPLPopErrorHandler();
  enum isw_status status = ISW_OK;
  if (read != CE_None)
    status = isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read: %s", mask->path,
                           CPLGetLastErrorMsg());
  for (size_t i = 0; i < n && status == ISW_OK; i++) {
    bool none = isnan(values[i]) || (!warped && values[i] == mask->nodata);
    kept[i] = !none && values[i] > 0.5;
    if (!none && !warped && values[i] != 0.0 && values[i] != 1.0)
      status = refuse_value(mask, values[i], error);
  }
  g_free(values);
  return status;
}

static enum isw_status read_shapes(struct isw_mask *mask, int col, int row, int width, int height,
                                   const uint8_t *flags, uint8_t *kept, struct isw_error *error) {
  int n = 0;
  const struct isw_district_cells *found = NULL;
  memset(kept, 0, (size_t)width * (size_t)height);
  enum isw_status status = isw_regions_find_district_cells(mask->shapes, col, row, width, height,
                                                           flags, &n, &found, error);
  for (int i = 0; i < n && status == ISW_OK; i++)
    for (size_t k = 0; k < found[i].n; k++) kept[found[i].cells[k]] = 1;
  return status;
}

enum isw_status isw_regions_keep_cells(struct isw_mask *mask, int col, int row, int width,
                                       int height, const uint8_t *flags, uint8_t *kept,
                                       struct isw_error *error) {
  enum isw_status status = mask->shapes != NULL
                               ? read_shapes(mask, col, row, width, height, flags, kept, error)
                               : read_raster(mask, col, row, width, height, kept, error);
  if (status != ISW_OK) return status;
  size_t n = (size_t)width * (size_t)height;
  for (size_t i = 0; i < n; i++) {
    bool valid = (flags[i] & ISW_CELL_VALID) != 0;
    kept[i] = kept[i] && valid;
    mask->with_data += valid;
    mask->kept += kept[i];
  }
  return ISW_OK;
}

void isw_regions_count_kept(const struct isw_mask *mask, long long *with_data, long long *kept) {
  *with_data = mask->with_data;
  *kept = mask->kept;
}

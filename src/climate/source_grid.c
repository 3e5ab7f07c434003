#include <cpl_conv.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "climate/grid_extent.h"
#include "climate/rotated_pole.h"
#include "climate/source.h"

static char *wkt_of(OGRSpatialReferenceH crs) {
  static const char *const options[] = {"FORMAT=WKT2_2019", "MULTILINE=NO", NULL};
  char *wkt = NULL, *copy = NULL;
  if (OSRExportToWktEx(crs, &wkt, options) == OGRERR_NONE && wkt != NULL && wkt[0] != '\0')
    copy = g_strdup(wkt);
  CPLFree(wkt);
  return copy;
}

static enum isw_status crs_from_user(const char *text, char **wkt, bool *geographic,
                                     struct isw_error *error) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  bool understood = OSRSetFromUserInput(crs, text) == OGRERR_NONE;
  CPLPopErrorHandler();
  if (understood) {
    *wkt = wkt_of(crs);
    *geographic = *wkt != NULL && isw_climate_is_geographic(*wkt);
  }
  OSRDestroySpatialReference(crs);
  if (!understood || *wkt == NULL)
    return isw_base_fail(
        error, ISW_USAGE,
        "‹crs› %s is not understood\nGive an EPSG code (EPSG:4326), a PROJ string, "
        "or WKT",
        text);
  return ISW_OK;
}

/* netCDF says of coordinates what they are; the extent must agree. */
static bool is_plain_lat_lon(GDALDatasetH dataset, const struct isw_grid *grid) {
  bool east = false, north = false;
  char **list = GDALGetMetadata(dataset, NULL);
  for (int i = 0; list != NULL && list[i] != NULL; i++) {
    char *lower = g_ascii_strdown(list[i], -1);
    static const char *const eastern[] = {"#units=degrees_east", "#units=degree_east",
                                          "#units=degree_e", "#units=degrees_e"};
    static const char *const northern[] = {"#units=degrees_north", "#units=degree_north",
                                           "#units=degree_n", "#units=degrees_n"};
    for (size_t k = 0; k < G_N_ELEMENTS(eastern); k++) {
      east = east || g_str_has_suffix(lower, eastern[k]);
      north = north || g_str_has_suffix(lower, northern[k]);
    }
    g_free(lower);
  }
  const double *t = grid->transform;
  double x0 = t[0], x1 = t[0] + grid->width * t[1], y0 = t[3], y1 = t[3] + grid->height * t[5];
  double half_cell = 0.5 * fabs(t[5]) + 1e-6;
  return east && north && t[2] == 0.0 && t[4] == 0.0 && fmin(x0, x1) >= -361.0 &&
         fmax(x0, x1) <= 721.0 && fabs(x1 - x0) <= 361.0 && fabs(y0) <= 90.0 + half_cell &&
         fabs(y1) <= 90.0 + half_cell;
}

static enum isw_status find_crs(struct isw_source *source, GDALDatasetH dataset,
                                const struct isw_source_options *options, struct isw_grid *grid,
                                struct isw_error *error) {
  const char *crs = options->crs;
  if (crs != NULL && !options->crs_if_missing)
    return crs_from_user(crs, &grid->wkt, &grid->geographic, error);
  OGRSpatialReferenceH own = GDALGetSpatialRef(dataset);
  if (own != NULL) {
    grid->wkt = wkt_of(own);
    grid->geographic = grid->wkt != NULL && isw_climate_is_geographic(grid->wkt);
    if (grid->wkt != NULL) return ISW_OK;
  }
  char *rotated = isw_climate_rotated_crs(dataset);
  if (rotated != NULL) {
    enum isw_status status = crs_from_user(rotated, &grid->wkt, &grid->geographic, error);
    g_free(rotated);
    return status;
  }
  if (crs != NULL) return crs_from_user(crs, &grid->wkt, &grid->geographic, error);
  if (is_plain_lat_lon(dataset, grid)) {
    source->crs_assumed = true;
    return crs_from_user("EPSG:4326", &grid->wkt, &grid->geographic, error);
  }
  return isw_climate_refuse_missing_crs(grid, source->name, error);
}

static enum isw_status read_grid(struct isw_source *source, guint index,
                                 const struct isw_source_options *options, struct isw_grid *grid,
                                 struct isw_error *error) {
  GDALDatasetH dataset = g_ptr_array_index(source->datasets, index);
  const char *file = g_ptr_array_index(source->files, index);
  *grid = (struct isw_grid){.width = GDALGetRasterXSize(dataset),
                            .height = GDALGetRasterYSize(dataset)};
  if (GDALGetGeoTransform(dataset, grid->transform) != CE_None &&
      !isw_climate_read_axes(dataset, grid->transform))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: its cells lie on no regular grid (no origin and cell size)\nBring it "
                         "onto one, for instance with gdalwarp",
                         file);
  const double *t = grid->transform;
  double determinant = t[1] * t[5] - t[2] * t[4];
  if (!isfinite(t[0]) || !isfinite(t[3]) || !isfinite(determinant) || determinant == 0.0)
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: its cells have no size", file);
  enum isw_status status = find_crs(source, dataset, options, grid, error);
  return status == ISW_OK ? isw_climate_check_extent(grid, file, error) : status;
}

enum isw_status isw_climate_find_grid(struct isw_source *source,
                                      const struct isw_source_options *options,
                                      struct isw_error *error) {
  enum isw_status status = read_grid(source, 0, options, &source->grid, error);
  for (guint i = 1; i < source->datasets->len && status == ISW_OK; i++) {
    struct isw_grid other = {0};
    status = read_grid(source, i, options, &other, error);
    if (status == ISW_OK)
      status = isw_climate_compare_grids(&source->grid, g_ptr_array_index(source->files, 0), &other,
                                         g_ptr_array_index(source->files, i), error);
    isw_climate_free_grid(&other);
  }
  if (status == ISW_OK && isw_climate_is_rotated(source->grid.wkt))
    g_ptr_array_add(source->notices,
                    g_strdup_printf("%s: on a rotated pole; GeoTIFF has no word for that, so that "
                                    "rasters made from it hold its CRS as the item CRS_WKT of "
                                    "their metadata (for gdalwarp -s_srs)",
                                    source->name));
  if (status == ISW_OK && source->crs_assumed)
    g_ptr_array_add(source->notices,
                    g_strdup_printf("%s: no CRS; taken as longitude and latitude in degrees "
                                    "(EPSG:4326) by its coordinates",
                                    source->name));
  return status;
}

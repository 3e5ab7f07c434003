#include "climate/rotated_pole.h"

#include <cpl_error.h>
#include <cpl_string.h>
#include <glib.h>
#include <math.h>
#include <string.h>

static const char *mapping_text(GDALDatasetH dataset, const char *mapping, const char *key) {
  char *full = g_strdup_printf("%s#%s", mapping, key);
  const char *value = GDALGetMetadataItem(dataset, full, NULL);
  g_free(full);
  return value;
}

static double mapping_number(GDALDatasetH dataset, const char *mapping, const char *key,
                             double otherwise) {
  const char *text = mapping_text(dataset, mapping, key);
  char *end = NULL;
  double value = text == NULL ? NAN : g_ascii_strtod(text, &end);
  return text != NULL && end != text && isfinite(value) ? value : otherwise;
}

char *isw_climate_rotated_crs(GDALDatasetH dataset) {
  if (GDALGetRasterCount(dataset) < 1) return NULL;
  const char *mapping = GDALGetMetadataItem(GDALGetRasterBand(dataset, 1), "grid_mapping", NULL);
  if (mapping == NULL) return NULL;
  const char *kind = mapping_text(dataset, mapping, "grid_mapping_name");
  double pole_lat_deg = mapping_number(dataset, mapping, "grid_north_pole_latitude", NAN);
  double pole_lon_deg = mapping_number(dataset, mapping, "grid_north_pole_longitude", NAN);
  double turn_deg = mapping_number(dataset, mapping, "north_pole_grid_longitude", 0.0);
  if (g_strcmp0(kind, "rotated_latitude_longitude") != 0 || isnan(pole_lat_deg) ||
      isnan(pole_lon_deg))
    return NULL;
  double radius_m = mapping_number(dataset, mapping, "earth_radius", NAN);
  double axis_m = mapping_number(dataset, mapping, "semi_major_axis", radius_m);
  double flattening = mapping_number(dataset, mapping, "inverse_flattening", 0.0);
  char *datum = isnan(axis_m) ? g_strdup(
                                    "DATUM[\"World Geodetic System 1984\",ELLIPSOID[\"WGS "
                                    "84\",6378137,298.257223563]]")
                              : g_strdup_printf(
                                    "DATUM[\"as the file states\",ELLIPSOID[\"as the "
                                    "file states\",%.10g,%.12g]]",
                                    axis_m, flattening);
  /* Method and parameters as PROJ names them (PROJ 9, pole rotation of the CF convention). */
  static const char angle[] = "ANGLEUNIT[\"degree\",0.0174532925199433]";
  char *wkt = g_strdup_printf(
      "GEOGCRS[\"rotated pole\",BASEGEOGCRS[\"degrees\",%s,PRIMEM[\"Greenwich\",0]],"
      "DERIVINGCONVERSION[\"Pole rotation (netCDF CF convention)\","
      "METHOD[\"Pole rotation (netCDF CF convention)\"],"
      "PARAMETER[\"Grid north pole latitude (netCDF CF convention)\",%.12g,%s],"
      "PARAMETER[\"Grid north pole longitude (netCDF CF convention)\",%.12g,%s],"
      "PARAMETER[\"North pole grid longitude (netCDF CF convention)\",%.12g,%s]],"
      "CS[ellipsoidal,2],AXIS[\"latitude\",north],AXIS[\"longitude\",east],%s]",
      datum, pole_lat_deg, angle, pole_lon_deg, angle, turn_deg, angle, angle);
  g_free(datum);
  return wkt;
}

/* First value and step of an evenly spaced axis. */
static bool read_axis(GDALDimensionH dimension, double *first, double *step) {
  static const double most_uneven_steps = 0.01;
  size_t n = (size_t)GDALDimensionGetSize(dimension);
  GDALMDArrayH axis = GDALDimensionGetIndexingVariable(dimension);
  if (axis == NULL || n < 2 || n > G_MAXINT) {
    if (axis != NULL) GDALMDArrayRelease(axis);
    return false;
  }
  double *values = g_new(double, n);
  const GUInt64 start = 0;
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(GDT_Float64);
  bool even = GDALMDArrayGetDimensionCount(axis) == 1 &&
              GDALMDArrayRead(axis, &start, &n, NULL, NULL, type, values, NULL, 0);
  GDALExtendedDataTypeRelease(type);
  GDALMDArrayRelease(axis);
  *first = values[0];
  *step = even ? (values[n - 1] - values[0]) / (double)(n - 1) : 0.0;
  even = even && isfinite(*step) && *step != 0.0;
  for (size_t i = 0; i < n && even; i++)
    even = fabs(values[i] - *first - (double)i * *step) <= most_uneven_steps * fabs(*step);
  g_free(values);
  return even;
}

static bool read_dimensions(GDALMDArrayH array, int width, int height, double transform[6]) {
  size_t n = 0;
  GDALDimensionH *dimensions = GDALMDArrayGetDimensions(array, &n);
  double x, y, dx, dy;
  bool found = n >= 2 && GDALDimensionGetSize(dimensions[n - 1]) == (GUInt64)width &&
               GDALDimensionGetSize(dimensions[n - 2]) == (GUInt64)height &&
               read_axis(dimensions[n - 1], &x, &dx) && read_axis(dimensions[n - 2], &y, &dy);
  if (found) {
    /* GDAL takes rows it knows nothing of for running upwards, and turns them over. */
    const double from[6] = {x - dx / 2, dx, 0, y + (height - 0.5) * dy, 0, -dy};
    memcpy(transform, from, sizeof from);
  }
  GDALReleaseDimensions(dimensions, n);
  return found;
}

bool isw_climate_read_axes(GDALDatasetH dataset, double transform[6]) {
  if (GDALGetRasterCount(dataset) < 1) return false;
  const char *variable = GDALGetMetadataItem(GDALGetRasterBand(dataset, 1), "NETCDF_VARNAME", NULL);
  char **files = GDALGetFileList(dataset);
  bool found = false;
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH open = variable == NULL || CSLCount(files) == 0
                          ? NULL
                          : GDALOpenEx(files[0], GDAL_OF_MULTIDIM_RASTER, NULL, NULL, NULL);
  GDALGroupH root = open == NULL ? NULL : GDALDatasetGetRootGroup(open);
  GDALMDArrayH array = root == NULL ? NULL : GDALGroupOpenMDArray(root, variable, NULL);
  if (array != NULL) {
    found =
        read_dimensions(array, GDALGetRasterXSize(dataset), GDALGetRasterYSize(dataset), transform);
    GDALMDArrayRelease(array);
  }
  if (root != NULL) GDALGroupRelease(root);
  if (open != NULL) GDALClose(open);
  CPLPopErrorHandler();
  CSLDestroy(files);
  return found;
}

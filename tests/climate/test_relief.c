/* Elevation for hill shades: the part under a grid, averaged, holes kept as holes. */
#include <cpl_conv.h>
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "climate/relief.h"
#include "suite_main.h"

static char *wkt_of(int epsg) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRImportFromEPSG(crs, epsg), OGRERR_NONE);
  char *wkt = NULL;
  OSRExportToWkt(crs, &wkt);
  OSRDestroySpatialReference(crs);
  return wkt;
}

/* Heights of 10 m per degree of longitude and 1 m per degree of latitude, cells of `step` degrees.
 */
static char *make_model(double west, double north, double step, int width, int height,
                        bool placed) {
  GDALAllRegister();
  char *path = g_strdup_printf("%s/relief_%d.tif", TEST_BINARY_DIR, (int)getpid());
  GDALDatasetH dataset =
      GDALCreate(GDALGetDriverByName("GTiff"), path, width, height, 1, GDT_Float32, NULL);
  double transform[6] = {west, step, 0, north, 0, -step};
  GDALSetGeoTransform(dataset, transform);
  char *wkt = wkt_of(4326);
  if (placed) GDALSetProjection(dataset, wkt);
  CPLFree(wkt);
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  GDALSetRasterNoDataValue(band, -32768);
  float *line = g_new(float, (size_t)width);
  for (int row = 0; row < height; row++) {
    for (int col = 0; col < width; col++)
      line[col] = (float)(10 * (west + (col + 0.5) * step) + north - (row + 0.5) * step);
    if (row == 0) line[0] = -32768;
    ck_assert_int_eq(
        GDALRasterIO(band, GF_Write, 0, row, width, 1, line, width, 1, GDT_Float32, 0, 0), CE_None);
  }
  g_free(line);
  GDALClose(dataset);
  return path;
}

static const struct {
  const char *why;
  double west, north, step;
  int width, height;
} models[] = {{"much larger than the grid", -120, 50, 0.05, 800, 500},
              {"just the grid", -109, 41, 0.01, 600, 450},
              {"finer than any page", -110, 42, 0.002, 4000, 4000},
              {"a part of it", -107, 41, 0.01, 100, 100},
              {"longitudes from 0 to 360", 240, 50, 0.05, 800, 500}};

START_TEST(heights_are_where_they_are) {
  char *path = make_model(models[_i].west, models[_i].north, models[_i].step, models[_i].width,
                          models[_i].height, true);
  char *wkt = wkt_of(4326);
  struct isw_grid grid = {60, 45, {-109, 0.1, 0, 41, 0, -0.1}, wkt, true};
  struct isw_relief *relief = NULL;
  struct isw_error error = {0};
  ck_assert_msg(isw_climate_read_relief(path, &grid, &relief, &error) == ISW_OK, "%s: %s",
                models[_i].why, error.text);
  const struct isw_grid *at = &relief->grid;
  ck_assert_int_le(MAX(at->width, at->height), 3000);
  int known = 0;
  for (int row = 0; row < at->height; row++)
    for (int col = 0; col < at->width; col++) {
      float height_m = relief->height_m[(size_t)row * (size_t)at->width + (size_t)col];
      if (isnan(height_m)) continue;
      known++;
      double lon = at->transform[0] + (col + 0.5) * at->transform[1];
      double lat = at->transform[3] + (row + 0.5) * at->transform[5];
      /* Averaging the cells that a coarser one touches may take half a fine cell more. */
      ck_assert_double_eq_tol(height_m, 10 * lon + lat, 12 * models[_i].step);
    }
  ck_assert_int_ge(known, at->width * at->height - 4);
  isw_climate_free_relief(relief);
  CPLFree(wkt);
  remove(path);
  g_free(path);
}
END_TEST

START_TEST(what_is_of_no_use_is_refused) {
  char *wkt = wkt_of(4326);
  struct isw_grid grid = {60, 45, {-109, 0.1, 0, 41, 0, -0.1}, wkt, true};
  struct isw_relief *relief = NULL;
  struct isw_error error = {0};
  char *path = make_model(10, 50, 0.05, 100, 100, true);
  ck_assert_int_eq(isw_climate_read_relief(path, &grid, &relief, &error), ISW_INPUT_CONTENT);
  ck_assert_ptr_nonnull(strstr(error.text, path));
  ck_assert_ptr_nonnull(strstr(error.text, "nowhere under"));
  remove(path);
  g_free(path);
  path = make_model(-110, 42, 0.05, 100, 100, false);
  ck_assert_int_eq(isw_climate_read_relief(path, &grid, &relief, &error), ISW_INPUT_CONTENT);
  ck_assert_ptr_nonnull(strstr(error.text, "CRS"));
  remove(path);
  ck_assert_int_eq(isw_climate_read_relief(path, &grid, &relief, &error), ISW_INPUT_FILE);
  ck_assert_ptr_nonnull(strstr(error.text, path));
  isw_climate_free_relief(NULL);
  g_free(path);
  CPLFree(wkt);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("relief");
  TCase *tcase = tcase_create("relief");
  tcase_add_loop_test(tcase, heights_are_where_they_are, 0, (int)G_N_ELEMENTS(models));
  tcase_add_test(tcase, what_is_of_no_use_is_refused);
  suite_add_tcase(suite, tcase);
  return suite;
}

/* Which cells lie south of the equator, in degree grids and projected ones, against GDAL's own
 * transformation of every cell centre. */
#include <stdio.h>

#include "climate/climate.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/hemisphere/"

enum { SIDE = 40 };

static void write_flat(const char *path, const char *crs_text, const double transform[6],
                       float value_C) {
  GDALDatasetH dataset =
      GDALCreate(GDALGetDriverByName("GTiff"), path, SIDE, SIDE, MONTHS, GDT_Float32, NULL);
  GDALSetGeoTransform(dataset, (double *)transform);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRSetFromUserInput(crs, crs_text);
  GDALSetSpatialRef(dataset, crs);
  OSRDestroySpatialReference(crs);
  for (int b = 1; b <= MONTHS; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b);
    GDALSetRasterUnitType(band, "degC");
    GDALFillRaster(band, (double)value_C, 0);
  }
  GDALClose(dataset);
}

static const struct {
  const char *crs;
  double transform[6];
  bool all_located;
} grids[] = {
    {"EPSG:4326", {-10, 0.5, 0, 10, 0, -0.5}, true},
    {"EPSG:4326", {-10, 0.5, 0, -10, 0, 0.5}, true},
    {"EPSG:4326", {10, 0.25, 0, 10, 0, -0.25}, true},    /* ends on the equator: 0 is north */
    {"EPSG:4326", {-10, 0.3, 0.4, 10, 0.3, -0.4}, true}, /* turned */
    {"EPSG:32633", {400000, 5000, 0, 100000, 0, -5000}, true},
    {"EPSG:3857", {-2e6, 1e5, 0, 2e6, 0, -1e5}, true},
    {"EPSG:3857", {-2e6, 1e5, 0, 8e6, 0, -1e5}, true},  /* wholly north */
    {"EPSG:3857", {-2e6, 1e5, 0, -1e6, 0, -1e5}, true}, /* wholly south */
    {"ESRI:54009", {-4e6, 2e5, 0, 4e6, 0, -2e5}, true},
    {"+proj=laea +lat_0=5 +lon_0=20", {-2e6, 1e5, 0, 2e6, 0, -1e5}, true},
    {"+proj=ortho +lat_0=0 +lon_0=20", {-7e6, 3.5e5, 0, 7e6, 0, -3.5e5}, false},
};

START_TEST(signs) {
  GDALAllRegister();
  write_flat(MEMORY "a.tif", grids[_i].crs, grids[_i].transform, 5);
  write_flat(MEMORY "b.tif", grids[_i].crs, grids[_i].transform, 15);
  OGRSpatialReferenceH from = OSRNewSpatialReference(NULL), to = OSRNewSpatialReference(NULL);
  OSRSetFromUserInput(from, grids[_i].crs);
  OSRImportFromEPSG(to, 4326);
  OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
  OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
  OGRCoordinateTransformationH way = OCTNewCoordinateTransformation(from, to);
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = MEMORY "b.tif"};
  float *normals = g_new(float, SIDE *SIDE *ISW_CELL_NORMALS);
  uint8_t flags[SIDE * SIDE];
  for (int forced = ISW_HEMISPHERE_AUTO; forced <= ISW_HEMISPHERE_SOUTH; forced++) {
    struct isw_error error = {0};
    struct isw_climate *climate = NULL;
    request.hemisphere = (enum isw_hemisphere)forced;
    ck_assert_msg(isw_climate_open(&request, NULL, &climate, &error) == ISW_OK, "%s", error.text);
    enum isw_status status =
        isw_climate_read_block(climate, 0, 0, SIDE, SIDE, normals, flags, &error);
    bool refused = forced == ISW_HEMISPHERE_AUTO && !grids[_i].all_located;
    ck_assert_int_eq(status, refused ? ISW_INPUT_DOUBT : ISW_OK);
    if (refused) ck_assert_msg(strstr(error.text, "‹hemisphere›") != NULL, "%s", error.text);
    for (int i = 0; i < SIDE * SIDE && !refused; i++) {
      const double *t = grids[_i].transform;
      double col = i % SIDE + 0.5, row = i / SIDE + 0.5;
      double x = t[0] + col * t[1] + row * t[2], y = t[3] + col * t[4] + row * t[5];
      bool south = forced == ISW_HEMISPHERE_SOUTH;
      if (forced == ISW_HEMISPHERE_AUTO) {
        ck_assert(OCTTransform(way, 1, &x, &y, NULL));
        south = y < 0;
      }
      ck_assert_int_eq((flags[i] & ISW_CELL_SOUTH) != 0, south);
      ck_assert_int_eq(flags[i] & ISW_CELL_VALID, ISW_CELL_VALID);
    }
    isw_climate_free(climate);
  }
  OCTDestroyCoordinateTransformation(way);
  OSRDestroySpatialReference(from);
  OSRDestroySpatialReference(to);
  g_free(normals);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("hemisphere");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, signs, 0, (int)G_N_ELEMENTS(grids));
  suite_add_tcase(suite, all);
  return suite;
}

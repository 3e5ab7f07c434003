/* Coordinates that cannot be what the CRS says they are. */
#include <stdio.h>

#include "climate/climate.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/extent_"

struct row {
  double west, north, cell; /* of a grid of COLS x ROWS */
  const char *crs;          /* NULL: none */
  enum isw_status status;
  const char *says;
};

static const struct row rows[] = {
    {-109, 41, 0.04, "EPSG:4326", ISW_OK, NULL},
    {-109, 41, 0.04, NULL, ISW_INPUT_DOUBT, "EPSG:4326 if its coordinates, -109 to"},
    /* A grid in UTM called one of degrees; and one that says nothing. */
    {500000, 4800000, 1000, "EPSG:4326", ISW_INPUT_CONTENT, "4681000 to 4800000 in latitude"},
    {500000, 4800000, 1000, NULL, ISW_INPUT_DOUBT, "are no degrees but those of a map"},
    {500000, 4800000, 1000, "EPSG:32613", ISW_OK, NULL},
    {-109, 41, 0.04, "EPSG:32613", ISW_INPUT_DOUBT, "look like degrees"},
    /* Half a cell beyond the pole is a row of centres at it; more is not. */
    {-109, 90.5, 1, "EPSG:4326", ISW_OK, NULL},
    {-109, 90.51, 1, "EPSG:4326", ISW_INPUT_CONTENT, "to 90.51 in latitude"},
    {-109, 20, 1, "EPSG:4326", ISW_INPUT_CONTENT, "from -99 to 20 in latitude"},
    /* 205 columns */
    {-180, 60, 360.0 / COLS, "EPSG:4326", ISW_INPUT_CONTENT, "in latitude"},
    {-180, 40, 0.5, "EPSG:4326", ISW_OK, NULL},
    {500000, 4800000, 1000, "EPSG:4978", ISW_INPUT_CONTENT,
     "neither one of longitude and latitude nor that of a map"},
};

static void write_grid(const char *path, int width, int height, const double transform[6],
                       const char *crs) {
  GDALAllRegister();
  GDALDatasetH dataset =
      GDALCreate(GDALGetDriverByName("GTiff"), path, width, height, MONTHS, GDT_Float32, NULL);
  double copy[6];
  memcpy(copy, transform, sizeof copy);
  GDALSetGeoTransform(dataset, copy);
  if (crs != NULL) {
    OGRSpatialReferenceH reference = OSRNewSpatialReference(NULL);
    ck_assert_int_eq(OSRSetFromUserInput(reference, crs), OGRERR_NONE);
    GDALSetSpatialRef(dataset, reference);
    OSRDestroySpatialReference(reference);
  }
  for (int b = 1; b <= MONTHS; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b);
    GDALSetRasterUnitType(band, "degC");
    GDALFillRaster(band, 20 - 2 * abs(b - 7), 0);
  }
  GDALClose(dataset);
}

static enum isw_status open_grid(const char *path, const char *crs, struct isw_error *error) {
  struct isw_climate_request request = {.mean = path, .range = "10", .crs = crs};
  struct isw_climate *climate = NULL;
  *error = (struct isw_error){.status = ISW_OK};
  enum isw_status status = isw_climate_open(&request, NULL, &climate, error);
  isw_climate_free(climate);
  return status;
}

/* The CRS given by --crs; geocentric ones GeoTIFF would not keep. */
START_TEST(as_the_crs_has_it) {
  const struct row *row = &rows[_i];
  const double transform[6] = {row->west, row->cell, 0, row->north, 0, -row->cell};
  struct isw_error error;
  write_grid(MEMORY "bare.tif", COLS, ROWS, transform, NULL);
  enum isw_status status = open_grid(MEMORY "bare.tif", row->crs, &error);
  ck_assert_msg(status == row->status, "status %d: %s", (int)status, error.text);
  if (row->says != NULL) ck_assert_msg(strstr(error.text, row->says) != NULL, "%s", error.text);
  /* What is missing is EPSG:4326 only where the coordinates allow it. */
  if (row->crs == NULL && fabs(row->north) > 90)
    ck_assert_msg(strstr(error.text, "4326") == NULL, "%s", error.text);
}
END_TEST

START_TEST(once_around_the_earth) {
  struct isw_error error;
  for (int columns = 360; columns <= 361; columns++) {
    const double transform[6] = {-180, 1, 0, 90, 0, -1};
    write_grid(MEMORY "around.tif", columns, 180, transform, "EPSG:4326");
    enum isw_status status = open_grid(MEMORY "around.tif", NULL, &error);
    ck_assert_int_eq(status, columns == 360 ? ISW_OK : ISW_INPUT_CONTENT);
  }
  ck_assert_msg(strstr(error.text, "361 degrees of longitude") != NULL, "%s", error.text);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("grid extent");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, as_the_crs_has_it, 0, (int)G_N_ELEMENTS(rows));
  tcase_add_test(all, once_around_the_earth);
  suite_add_tcase(suite, all);
  return suite;
}

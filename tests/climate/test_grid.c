/* Grids, places and areas. The outside: WGS 84's published surface, 510,065,621.724 km2 (derived
 * from its defining constants; PROJ geod documentation, from memory), UTM's published scale factor
 * 0.9996 on the central meridian, and GDAL's own transformation for places. */
#include <check.h>
#include <cpl_conv.h>
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "climate/grid.h"
#include "suite_main.h"

static struct isw_grid make_grid(const char *crs, int width, int height, double x, double y,
                                 double dx, double dy) {
  OGRSpatialReferenceH reference = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRSetFromUserInput(reference, crs), OGRERR_NONE);
  struct isw_grid grid = {.width = width,
                          .height = height,
                          .transform = {x, dx, 0, y, 0, dy},
                          .geographic = OSRIsGeographic(reference) != 0};
  char *wkt = NULL;
  OSRExportToWkt(reference, &wkt);
  OSRDestroySpatialReference(reference);
  grid.wkt = g_strdup(wkt); /* freed with isw_climate_free_grid */
  CPLFree(wkt);
  return grid;
}

static struct isw_locator *locate(const struct isw_grid *grid) {
  struct isw_locator *locator = NULL;
  struct isw_error error = {0};
  ck_assert_msg(isw_climate_new_locator(grid, &locator, &error) == ISW_OK, "%s", error.text);
  return locator;
}

static const struct {
  double shift_cols, shift_rows, wider;
  int more_cols;
  const char *crs;
  const char *words; /* NULL: same grid */
} pairs[] = {
    {0, 0, 0, 0, "EPSG:4326", NULL},
    {9e-4, -9e-4, 0, 0, "EPSG:4326", NULL},
    {1.1e-3, 0, 0, 0, "EPSG:4326", "shifted by 0.0011 columns and 0 rows"},
    {0, 0.5, 0, 0, "EPSG:4326", "0.5 rows"},
    {0, 0, 1e-6, 0, "EPSG:4326", NULL},
    {0, 0, 1e-4, 0, "EPSG:4326", "cell sizes differ"},
    {0, 0, 0, 1, "EPSG:4326", "sizes differ"},
    {0, 0, 0, 0, "EPSG:4267", "CRS differ"},
    {0, 0, 0, 0, "OGC:CRS84", NULL},
};

START_TEST(compare) {
  enum { WIDTH = 200, HEIGHT = 100 };
  static const double cell = 1.0 / 24;
  struct isw_grid a = make_grid("EPSG:4326", WIDTH, HEIGHT, -110, 41, cell, -cell);
  struct isw_grid b = make_grid(
      pairs[_i].crs, WIDTH + pairs[_i].more_cols, HEIGHT, -110 + pairs[_i].shift_cols * cell,
      41 - pairs[_i].shift_rows * cell, cell * (1 + pairs[_i].wider), -cell);
  struct isw_error error = {0};
  enum isw_status status = isw_climate_compare_grids(&a, "one.tif", &b, "two.tif", &error);
  ck_assert_int_eq(status, pairs[_i].words == NULL ? ISW_OK : ISW_INPUT_CONTENT);
  isw_climate_free_grid(&a);
  isw_climate_free_grid(&b);
  if (pairs[_i].words == NULL) return;
  ck_assert_msg(strstr(error.text, pairs[_i].words) != NULL, "%s", error.text);
  ck_assert(strstr(error.text, "one.tif") != NULL && strstr(error.text, "two.tif") != NULL);
  ck_assert(strstr(error.text, "200 x 100") != NULL);
}
END_TEST

static const struct {
  const char *crs;
  int width, height;
  double x, y, dx, dy;
  double lat, lon;
  double col, row; /* NAN: outside */
} places[] = {
    {"EPSG:4326", 360, 180, -180, 90, 1, -1, 44.2, -150.1, 29.9, 45.8},
    {"EPSG:4326", 360, 180, 0, 90, 1, -1, 44.2, -150.1, 209.9, 45.8},
    {"EPSG:4326", 180, 90, 20, 90, 2, -2, 44.2, -150.1, 94.95, 22.9},
    {"EPSG:4326", 180, 90, 20, 90, 2, -2, 44.2, 10, 175, 22.9},
    {"EPSG:4326", 360, 180, -180, -90, 1, 1, 44.2, -150.1, 29.9, 134.2},
    {"EPSG:4326", 360, 180, -180, 90, 1, -1, 44.2, 209.9, 29.9, 45.8},
    {"EPSG:4326", 10, 10, 0, 10, 1, -1, 11, 5, NAN, NAN},
    {"EPSG:4326", 10, 10, 0, 10, 1, -1, 5, -5, NAN, NAN},
    {"EPSG:4326", 10, 10, 0, 10, 1, -1, 0, 10, 10, 10},
    /* UTM 33: 15 E on the equator is 500,000 E, 0 N by definition */
    {"EPSG:32633", 10, 10, 495000, 5000, 1000, -1000, 0, 15, 5, 5},
    {"EPSG:32633", 10, 10, 495000, 5000, 1000, -1000, 0, 16, NAN, NAN},
    {"EPSG:32633", 10, 10, 495000, 5000, 1000, -1000, 0, -165, NAN, NAN},
};

START_TEST(find) {
  struct isw_grid grid = make_grid(places[_i].crs, places[_i].width, places[_i].height,
                                   places[_i].x, places[_i].y, places[_i].dx, places[_i].dy);
  struct isw_locator *locator = locate(&grid);
  double col = -1, row = -1, lat, lon;
  bool found = isw_climate_find_cell(locator, places[_i].lat, places[_i].lon, &col, &row);
  ck_assert_int_eq(found, !isnan(places[_i].col));
  if (found) {
    ck_assert_double_eq_tol(col, places[_i].col, 1e-6);
    ck_assert_double_eq_tol(row, places[_i].row, 1e-6);
    ck_assert(col < places[_i].width && row < places[_i].height);
    ck_assert(isw_climate_locate_cell(locator, col, row, &lat, &lon));
    ck_assert_double_eq_tol(lat, places[_i].lat, 1e-7);
    ck_assert_double_eq_tol(remainder(lon - places[_i].lon, 360), 0, 1e-7);
    ck_assert(lon >= -180 && lon <= 180);
  }
  isw_climate_free_locator(locator);
  isw_climate_free_grid(&grid);
}
END_TEST

START_TEST(nonsense_places) {
  struct isw_grid grid = make_grid("EPSG:4326", 360, 180, -180, 90, 1, -1);
  struct isw_locator *locator = locate(&grid);
  double col, row;
  ck_assert(!isw_climate_find_cell(locator, 90.1, 0, &col, &row));
  ck_assert(!isw_climate_find_cell(locator, NAN, 0, &col, &row));
  ck_assert(!isw_climate_find_cell(locator, 0, NAN, &col, &row));
  ck_assert(!isw_climate_find_cell(locator, 0, INFINITY, &col, &row));
  isw_climate_free_locator(locator);
  isw_climate_free_grid(&grid);
}
END_TEST

/* The rows of a whole-Earth grid add up to the ellipsoid, whatever the cell size, and also with
 * centres at the poles. */
START_TEST(earth) {
  static const double earth_m2 = 510065621.724e6;
  static const double steps_deg[] = {2.0, 1.0, 0.5};
  double step = steps_deg[_i];
  for (int at_pole = 0; at_pole < 2; at_pole++) {
    int rows = (int)(180 / step) + at_pole;
    struct isw_grid grid =
        make_grid("EPSG:4326", (int)(360 / step), rows, 0, 90 + at_pole * step / 2, step, -step);
    struct isw_locator *locator = locate(&grid);
    double sum_m2 = 0;
    for (int row = 0; row < rows; row++)
      sum_m2 += isw_climate_cell_area_m2(locator, 7, row) * grid.width;
    ck_assert_double_eq_tol(sum_m2 / earth_m2, 1.0, 1e-6);
    isw_climate_free_locator(locator);
    isw_climate_free_grid(&grid);
  }
}
END_TEST

/* On UTM's central meridian lengths are 0.9996 of the ground's: areas are 1 / 0.9996^2. An
 * equal-area CRS (EPSG:3035) keeps them. */
START_TEST(projected) {
  struct isw_grid utm = make_grid("EPSG:32633", 10, 10, 495000, 5505000, 1000, -1000);
  struct isw_locator *locator = locate(&utm);
  ck_assert_double_eq_tol(isw_climate_cell_area_m2(locator, 5, 5) / 1e6, 1 / (0.9996 * 0.9996),
                          1e-6);
  isw_climate_free_locator(locator);
  struct isw_grid equal = make_grid("EPSG:3035", 1000, 1000, 3000000, 4000000, 1000, -1000);
  locator = locate(&equal);
  for (int k = 0; k < 1000; k += 111)
    ck_assert_double_eq_tol(isw_climate_cell_area_m2(locator, k, 999 - k) / 1e6, 1.0, 1e-6);
  isw_climate_free_locator(locator);
  isw_climate_free_grid(&utm);
  isw_climate_free_grid(&equal);
}
END_TEST

/* Moved by 1 m, cells of 1 km: just out of bounds at the one corner, just within at the other. */
START_TEST(a_metre_is_a_shift) {
  struct isw_grid a = make_grid("EPSG:32633", 300, 200, 495000, 5505000, 1000, -1000);
  struct isw_error error = {0};
  for (int metres = 1; metres <= 3; metres++) {
    struct isw_grid b =
        make_grid("EPSG:32633", 300, 200, 495000 + metres, 5505000, 1000.0001, -1000);
    ck_assert_int_eq(isw_climate_compare_grids(&a, "a", &b, "b", &error), ISW_INPUT_CONTENT);
    char *words = g_strdup_printf("(%d and 0 in their CRS)", metres);
    ck_assert_msg(strstr(error.text, "is shifted by") != NULL, "%s", error.text);
    ck_assert_msg(strstr(error.text, words) != NULL, "no %s: %s", words, error.text);
    g_free(words);
    isw_climate_free_grid(&b);
  }
  struct isw_grid wider = make_grid("EPSG:32633", 300, 200, 495000, 5505000, 1001, -1000);
  ck_assert_int_eq(isw_climate_compare_grids(&a, "a", &wider, "b", &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "cell sizes differ") != NULL, "%s", error.text);
  isw_climate_free_grid(&wider);
  isw_climate_free_grid(&a);
}
END_TEST

START_TEST(copies) {
  struct isw_grid grid = make_grid("EPSG:4326", 3, 2, 0, 1, 1, -1), copy = {0};
  isw_climate_copy_grid(&grid, &copy);
  ck_assert_ptr_ne(copy.wkt, grid.wkt);
  ck_assert_str_eq(copy.wkt, grid.wkt);
  isw_climate_free_grid(&copy);
  isw_climate_free_grid(&copy);
  isw_climate_free_grid(&grid);
  isw_climate_free_grid(NULL);
  isw_climate_free_locator(NULL);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("grid");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, compare, 0, (int)(sizeof pairs / sizeof pairs[0]));
  tcase_add_loop_test(all, find, 0, (int)(sizeof places / sizeof places[0]));
  tcase_add_test(all, nonsense_places);
  tcase_add_loop_test(all, earth, 0, 3);
  tcase_add_test(all, projected);
  tcase_add_test(all, a_metre_is_a_shift);
  tcase_add_test(all, copies);
  suite_add_tcase(suite, all);
  return suite;
}

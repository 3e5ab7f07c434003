/* The CRS of maps: which is chosen, that lengths are true in it, and that every point of the map
 * shows the cell that lies there. Against PROJ's geodesics and GDAL's own warping. */
#include <cpl_conv.h>
#include <gdal.h>
#include <gdalwarper.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "chart/map_crs.h"
#include "chart/map_frame.h"
#include "chart/placing.h"
#include "chart/scale_bar.h"
#include "suite_main.h"

enum { COLS = 90, ROWS = 70, NODATA = -32768 };

static char *wkt_of(const char *crs) {
  OGRSpatialReferenceH reference = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRSetFromUserInput(reference, crs), OGRERR_NONE);
  char *wkt = NULL;
  OSRExportToWkt(reference, &wkt);
  OSRDestroySpatialReference(reference);
  return wkt;
}

/* Areas by their bounds; what is expected follows from the rule in map_crs.h, worked by hand. */
static const struct {
  const char *name;
  double west, east, south, north;
  const char *method; /* as OGC names it; NULL: stays in degrees */
  bool true_lengths;  /* within 3 % over the area */
} areas[] = {
    {"a state in middle latitudes", -109.1, -102, 36.9, 41.1, "Transverse_Mercator", true},
    {"a small country", 3.3, 7.2, 50.7, 53.6, "Transverse_Mercator", true},
    {"a long country", -75.7, -66.4, -55.9, -17.5, "Transverse_Mercator", true},
    {"across the equator", 33.9, 41.9, -4.7, 5.5, "Transverse_Mercator", true},
    {"across 180 degrees", 177, 183, -19.5, -15.9, "Transverse_Mercator", true},
    {"longitudes from 0 to 360", 251, 258, 36.9, 41.1, "Transverse_Mercator", true},
    {"a wide country", -125, -66.5, 24.5, 49.5, "Lambert_Conformal_Conic_2SP", false},
    {"a wide stretch of the south", 129, 153.6, -39.2, -28, "Lambert_Conformal_Conic_2SP", true},
    {"wide on the equator", 95, 141, -11, 6, "Lambert_Azimuthal_Equal_Area", false},
    {"round a pole", -40, 60, 60, 85, "Lambert_Azimuthal_Equal_Area", false},
    {"the world", -180, 180, -60, 80, NULL, false},
    {"half the world's width", -90, 90, 10, 40, NULL, false},
};

static char *make_raster(int area) {
  char *path = g_strdup_printf("%s/map_crs_%d_%d.tif", TEST_BINARY_DIR, (int)getpid(), area);
  GDALAllRegister();
  GDALDatasetH dataset =
      GDALCreate(GDALGetDriverByName("GTiff"), path, COLS, ROWS, 1, GDT_Int16, NULL);
  double transform[6] = {areas[area].west,
                         (areas[area].east - areas[area].west) / COLS,
                         0,
                         areas[area].north,
                         0,
                         (areas[area].south - areas[area].north) / ROWS};
  GDALSetGeoTransform(dataset, transform);
  char *wkt = wkt_of("EPSG:4326");
  GDALSetProjection(dataset, wkt);
  CPLFree(wkt);
  static int16_t values[ROWS][COLS];
  for (int i = 0; i < ROWS * COLS; i++) values[i / COLS][i % COLS] = (int16_t)i; /* each its own */
  GDALSetRasterNoDataValue(GDALGetRasterBand(dataset, 1), NODATA);
  ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, 1), GF_Write, 0, 0, COLS, ROWS, values,
                                COLS, ROWS, GDT_Int16, 0, 0),
                   CE_None);
  GDALClose(dataset);
  return path;
}

START_TEST(the_area_decides) {
  char *wkt_4326 = wkt_of("EPSG:4326"), *wkt = NULL;
  struct isw_grid grid = {.wkt = wkt_4326, .geographic = true};
  struct isw_degree_bounds bounds = {areas[_i].west, areas[_i].east, areas[_i].south,
                                     areas[_i].north};
  struct isw_error error;
  ck_assert_int_eq(isw_chart_choose_map_crs(NULL, &grid, bounds, &wkt, &error), ISW_OK);
  if (areas[_i].method == NULL)
    ck_assert_ptr_null(wkt);
  else
    ck_assert_msg(wkt != NULL && strstr(wkt, areas[_i].method) != NULL, "%s: %s", areas[_i].name,
                  wkt != NULL ? wkt : "degrees");
  g_free(wkt);
  /* A projected grid stays as it is, whatever its size. */
  grid.geographic = false;
  ck_assert_int_eq(isw_chart_choose_map_crs("auto", &grid, bounds, &wkt, &error), ISW_OK);
  ck_assert_ptr_null(wkt);
  CPLFree(wkt_4326);
}
END_TEST

/* Metres per millimetre, by geodesics on WGS 84, vary by less than 3 % over the map; in degrees
 * they do not (but beside the equator). */
START_TEST(lengths_are_true) {
  if (areas[_i].method == NULL) return;
  char *raster = make_raster(_i);
  struct isw_box room = {20, 20, 180, 150};
  for (int kept = 0; kept < 2; kept++) {
    struct isw_map_source source;
    struct isw_error error = {0};
    ck_assert_msg(
        isw_chart_open_source(raster, kept ? "grid" : NULL, 0, NODATA, &source, &error) == ISW_OK,
        "%s", error.text);
    struct isw_map_frame frame = isw_chart_fit_frame(&source, room, 8);
    double scale = isw_chart_true_scale(&source, &frame);
    bool near_equator = fabs(areas[_i].south) < 12 && fabs(areas[_i].north) < 12;
    if (!kept && areas[_i].true_lengths)
      ck_assert_msg(scale > 0, "%s has no true scale", areas[_i].name);
    if (kept && !near_equator && areas[_i].north - areas[_i].south > 4)
      ck_assert_msg(!(scale > 0), "%s in degrees says its scale is true", areas[_i].name);
    isw_chart_close_source(&source);
  }
  remove(raster);
  g_free(raster);
}
END_TEST

/* Every sample is the cell that GDAL's exact warp finds there; along the cells' edges, where a
 * twentieth of a cell is allowed, a neighbour. */
START_TEST(the_map_shows_the_cell_that_lies_there) {
  if (areas[_i].method == NULL) return;
  enum { WIDTH = 240 };
  char *raster = make_raster(_i);
  struct isw_map_source source;
  struct isw_error error = {0};
  ck_assert_int_eq(isw_chart_open_source(raster, NULL, 0, NODATA, &source, &error), ISW_OK);
  int height = (int)lround((double)WIDTH * source.data.rows / source.data.cols);
  int16_t *shown = g_new(int16_t, (size_t)(WIDTH * height)),
          *warped = g_new(int16_t, (size_t)(WIDTH * height));
  const int band = 0;
  ck_assert_int_eq(
      isw_chart_read_window(&source, 1, &band, source.data, WIDTH, height, &shown, &error), ISW_OK);
  const double *t = source.grid.transform;
  double step_x = t[1] * source.data.cols / WIDTH, step_y = t[5] * source.data.rows / height;
  double transform[6] = {t[0] + t[1] * source.data.col, step_x, 0,
                         t[3] + t[5] * source.data.row, 0,      step_y};
  GDALDatasetH to = GDALCreate(GDALGetDriverByName("MEM"), "", WIDTH, height, 1, GDT_Int16, NULL);
  GDALSetGeoTransform(to, transform);
  GDALSetProjection(to, source.grid.wkt);
  GDALSetRasterNoDataValue(GDALGetRasterBand(to, 1), NODATA);
  GDALFillRaster(GDALGetRasterBand(to, 1), NODATA, 0);
  ck_assert_int_eq(GDALReprojectImage(source.dataset, NULL, to, NULL, GRA_NearestNeighbour, 0, 0,
                                      NULL, NULL, NULL),
                   CE_None);
  ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(to, 1), GF_Read, 0, 0, WIDTH, height, warped,
                                WIDTH, height, GDT_Int16, 0, 0),
                   CE_None);
  int there = 0, other = 0, far = 0;
  for (int i = 0; i < WIDTH * height; i++) {
    there += warped[i] != NODATA;
    if (shown[i] == warped[i]) continue;
    other++;
    if (shown[i] == NODATA || warped[i] == NODATA) continue;
    far +=
        abs(shown[i] % COLS - warped[i] % COLS) > 1 || abs(shown[i] / COLS - warped[i] / COLS) > 1;
  }
  ck_assert_msg(there > WIDTH * height / 3, "%s: GDAL warps only %d", areas[_i].name, there);
  ck_assert_msg(other < WIDTH * height / 20 && far == 0, "%s: %d of %d others, %d far off",
                areas[_i].name, other, WIDTH * height, far);
  GDALClose(to);
  isw_chart_close_source(&source);
  g_free(shown);
  g_free(warped);
  remove(raster);
  g_free(raster);
}
END_TEST

/* What is drawn over the cells lies where the cells lie, whatever the turn of longitude. */
START_TEST(places_lie_on_their_cells) {
  if (areas[_i].method == NULL) return;
  char *raster = make_raster(_i);
  struct isw_map_source source;
  struct isw_error error = {0};
  ck_assert_int_eq(isw_chart_open_source(raster, NULL, 0, NODATA, &source, &error), ISW_OK);
  struct isw_map_frame frame = isw_chart_fit_frame(&source, (struct isw_box){0, 0, 200, 160}, 8);
  struct isw_placing placing;
  ck_assert_int_eq(isw_chart_start_placing(&source, &frame, &placing, &error), ISW_OK);
  for (int turn = -1; turn <= 1; turn++)
    for (int k = 0; k < 25; k++) {
      int col = 5 + k % 5 * 20, row = 5 + k / 5 * 15, found_col, found_row;
      double x = areas[_i].west + (areas[_i].east - areas[_i].west) * (col + 0.5) / COLS;
      double y = areas[_i].north + (areas[_i].south - areas[_i].north) * (row + 0.5) / ROWS;
      double x_mm, y_mm, at_col, at_row;
      if (fabs(x + 360.0 * turn) > 400) continue;
      ck_assert(isw_chart_place_point(&placing, x + 360 * turn, y, x + 360 * turn, &x_mm, &y_mm));
      isw_chart_find_cell(&frame, x_mm, y_mm, &at_col, &at_row);
      isw_chart_find_raster_cells(source.warp, at_row, at_col, 1, 1, &found_col, &found_row);
      ck_assert_msg(found_col == col && found_row == row, "%s: %d, %d is drawn on %d, %d",
                    areas[_i].name, col, row, found_col, found_row);
    }
  isw_chart_close_source(&source);
  remove(raster);
  g_free(raster);
}
END_TEST

START_TEST(only_projected_crs_are_taken) {
  static const struct {
    const char *asked;
    bool taken;
  } rows[] = {{NULL, true},         {"auto", true},    {"grid", true},  {"EPSG:3035", true},
              {"EPSG:4326", false}, {"EPSG:1", false}, {"here", false}, {"", false}};
  for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
    struct isw_error error = {0};
    enum isw_status status = isw_chart_check_map_crs(rows[i].asked, &error);
    ck_assert_int_eq(status, rows[i].taken ? ISW_OK : ISW_USAGE);
    if (!rows[i].taken) ck_assert_ptr_nonnull(strstr(error.text, rows[i].asked));
  }
  /* A gnomonic projection shows less than half the Earth; the data lie on the other half. */
  char *raster = make_raster(0);
  struct isw_map_source source;
  struct isw_error error = {0};
  ck_assert_int_eq(
      isw_chart_open_source(raster, "+proj=gnom +lat_0=-39 +lon_0=75", 0, NODATA, &source, &error),
      ISW_USAGE);
  ck_assert_ptr_nonnull(strstr(error.text, "no place in the CRS chosen"));
  remove(raster);
  g_free(raster);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("map_crs");
  TCase *tcase = tcase_create("map_crs");
  const int n = (int)G_N_ELEMENTS(areas);
  tcase_add_loop_test(tcase, the_area_decides, 0, n);
  tcase_add_loop_test(tcase, lengths_are_true, 0, n);
  tcase_add_loop_test(tcase, the_map_shows_the_cell_that_lies_there, 0, n);
  tcase_add_loop_test(tcase, places_lie_on_their_cells, 0, n);
  tcase_add_test(tcase, only_projected_crs_are_taken);
  suite_add_tcase(suite, tcase);
  return suite;
}

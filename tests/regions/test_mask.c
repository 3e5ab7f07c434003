/* Cells that count: rasters on the grid and on others, polygons. Expectations by hand. */
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "region_maker.h"
#include "regions/mask.h"
#include "suite_main.h"

struct form {
  int width, height;
  double cell, west, north;
  double nodata; /* NAN: none */
  bool no_crs;
};

/* 1 in every third of the grid's columns and the whole first row, elsewhere 0. */
static double here(double col, double row) {
  return row < 1 || (int)col % 3 == 0 ? 1.0 : 0.0;
}

/* value: where a middle lies, in cells of the grid. */
static char *write_raster(const struct form *form, double (*value)(double col, double row)) {
  char *path = g_strdup_printf("%s/mask_%d.tif", TEST_BINARY_DIR, (int)getpid());
  struct isw_grid grid = make_grid();
  GDALDatasetH dataset = GDALCreate(GDALGetDriverByName("GTiff"), path, form->width, form->height,
                                    1, GDT_Float32, NULL);
  double transform[6] = {form->west, form->cell, 0, form->north, 0, -form->cell};
  GDALSetGeoTransform(dataset, transform);
  if (!form->no_crs) GDALSetProjection(dataset, grid.wkt);
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  if (!isnan(form->nodata)) GDALSetRasterNoDataValue(band, form->nodata);
  for (int row = 0; row < form->height; row++)
    for (int col = 0; col < form->width; col++) {
      double x = form->west + (col + 0.5) * form->cell, y = form->north - (row + 0.5) * form->cell;
      float cell = (float)value((x - 10) / 0.1, (50 - y) / 0.1);
      ck_assert_int_eq(GDALRasterIO(band, GF_Write, col, row, 1, 1, &cell, 1, 1, GDT_Float32, 0, 0),
                       CE_None);
    }
  GDALClose(dataset);
  isw_climate_free_grid(&grid);
  return path;
}

/* Whole grid in two blocks, one cell without climate data. */
static enum isw_status keep(const char *path, uint8_t kept[ROWS * COLS], struct isw_error *error) {
  struct isw_grid grid = make_grid();
  struct isw_log log = isw_base_log_make(stderr, true);
  struct isw_mask *mask = NULL;
  uint8_t flags[ROWS * COLS];
  memset(flags, ISW_CELL_VALID, sizeof flags);
  flags[0] = 0;
  enum isw_status status = isw_regions_open_mask(path, &grid, &log, &mask, error);
  for (int half = 0; half < 2 && status == ISW_OK; half++) {
    int first = half * ROWS / 2 * COLS;
    status = isw_regions_keep_cells(mask, 0, half * ROWS / 2, COLS, ROWS / 2, flags + first,
                                    kept + first, error);
  }
  if (status == ISW_OK) {
    long long with_data, n, counted = 0;
    isw_regions_count_kept(mask, &with_data, &n);
    for (int i = 0; i < ROWS * COLS; i++) counted += kept[i];
    ck_assert_int_eq(with_data, ROWS * COLS - 1);
    ck_assert_int_eq(n, counted);
  }
  isw_regions_free_mask(mask);
  isw_climate_free_grid(&grid);
  return status;
}

START_TEST(on_the_grid) {
  struct form form = {COLS, ROWS, 0.1, 10, 50, NAN, false};
  char *path = write_raster(&form, here);
  uint8_t kept[ROWS * COLS];
  struct isw_error error = {ISW_OK, ""};
  ck_assert_msg(keep(path, kept, &error) == ISW_OK, "%s", error.text);
  for (int i = 1; i < ROWS * COLS; i++) ck_assert_int_eq(kept[i], (int)here(i % COLS, i / COLS));
  ck_assert_int_eq(kept[0], 0); /* no climate data */
  g_unlink(path);
  g_free(path);
}
END_TEST

/* Every cell of the grid holds 5 x 5 of these; 12 of 25 count in even columns, 13 in odd ones. */
static double nearly_half(double col, double row) {
  int place = (int)((row - floor(row)) * 5) * 5 + (int)((col - floor(col)) * 5);
  return place < ((int)col % 2 == 0 ? 12 : 13) ? 1.0 : 0.0;
}

START_TEST(by_majority) {
  /* With and without 0 being nodata: what does not count still votes. */
  const double nodata[] = {NAN, 0.0};
  for (size_t k = 0; k < G_N_ELEMENTS(nodata); k++) {
    struct form form = {COLS * 5, ROWS * 5, 0.02, 10, 50, nodata[k], false};
    char *path = write_raster(&form, nearly_half);
    uint8_t kept[ROWS * COLS];
    struct isw_error error = {ISW_OK, ""};
    ck_assert_msg(keep(path, kept, &error) == ISW_OK, "%s", error.text);
    for (int i = 1; i < ROWS * COLS; i++) ck_assert_int_eq(kept[i], i % COLS % 2);
    g_unlink(path);
    g_free(path);
  }
}
END_TEST

static double always(double col, double row) {
  (void)col;
  (void)row;
  return 1.0;
}

START_TEST(what_is_not_covered_does_not_count) {
  struct form form = {10, 10, 0.1, 11, 49, NAN, false};
  char *path = write_raster(&form, always);
  uint8_t kept[ROWS * COLS];
  struct isw_error error = {ISW_OK, ""};
  ck_assert_msg(keep(path, kept, &error) == ISW_OK, "%s", error.text);
  for (int row = 0; row < ROWS; row++)
    for (int col = 0; col < COLS; col++)
      ck_assert_int_eq(kept[row * COLS + col], col >= 10 && col < 20 && row >= 10 && row < 20);
  g_unlink(path);
  g_free(path);
}
END_TEST

START_TEST(shapes_together) {
  char *path = write_file("mask.geojson", COLLECTION(SQUARE("A", 11, 48) "," SQUARE("B", 12, 48)));
  uint8_t kept[ROWS * COLS];
  struct isw_error error = {ISW_OK, ""};
  ck_assert_msg(keep(path, kept, &error) == ISW_OK, "%s", error.text);
  /* Triangles: south-east halves of 5 x 5 cells; middles on the diagonal may fall to either side.
   */
  int n = 0;
  for (int i = 0; i < ROWS * COLS; i++) n += kept[i];
  ck_assert_int_ge(n, 2 * 10);
  ck_assert_int_le(n, 2 * 15);
  ck_assert_int_eq(kept[19 * COLS + 14], 1);
  ck_assert_int_eq(kept[19 * COLS + 24], 1);
  ck_assert_int_eq(kept[15 * COLS + 10], 0);
  g_unlink(path);
  g_free(path);
}
END_TEST

static double sevens(double col, double row) {
  (void)row;
  return (int)col == 3 ? 7.0 : 0.0;
}

START_TEST(refusals) {
  uint8_t kept[ROWS * COLS];
  struct isw_error error = {ISW_OK, ""};
  struct form form = {COLS, ROWS, 0.1, 10, 50, NAN, false};
  char *path = write_raster(&form, sevens);
  ck_assert_int_eq(keep(path, kept, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "holds 7; a mask holds 1") != NULL, "%s", error.text);
  g_free(path);
  form.no_crs = true;
  path = write_raster(&form, always);
  ck_assert_int_eq(keep(path, kept, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "has no CRS") != NULL, "%s", error.text);
  g_unlink(path);
  g_free(path);
  ck_assert_int_eq(keep("nowhere.tif", kept, &error), ISW_INPUT_FILE);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("mask");
  TCase *all = tcase_create("all");
  tcase_add_test(all, on_the_grid);
  tcase_add_test(all, by_majority);
  tcase_add_test(all, what_is_not_covered_does_not_count);
  tcase_add_test(all, shapes_together);
  tcase_add_test(all, refusals);
  suite_add_tcase(suite, all);
  return suite;
}

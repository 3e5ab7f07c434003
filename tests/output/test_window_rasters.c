/* The rasters as any GIS sees them: GDAL opens them again and finds values, names, codes. */
#define _XOPEN_SOURCE 700

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>

#include "output/raster.h"
#include "output/window_rasters.h"
#include "suite_main.h"

enum { WIDTH = 300, HEIGHT = 270 }; /* four tiles, three of them cut */

struct made {
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  char *dir;
};

static int16_t value_of(int result, int cell, int band) {
  return (int16_t)((result * 7919 + cell * 31 + band * 5) % 20000 - 100);
}

static int16_t span_of(int cell, int band) {
  return (int16_t)((cell * 17 + band * 41) % 366);
}

/* empty: index of a block without a valid cell, or -1. */
static void write_blocks(struct isw_window_rasters *rasters, const struct isw_plan *plan,
                         long long empty) {
  int n_results = plan->n_varieties * plan->n_seasons;
  long long index = 0;
  for (int row = 0; row < HEIGHT; row += ISW_BLOCK_SIZE) {
    for (int col = 0; col < WIDTH; col += ISW_BLOCK_SIZE) {
      struct isw_block block = {.index = index++,
                                .col = col,
                                .row = row,
                                .width = MIN(ISW_BLOCK_SIZE, WIDTH - col),
                                .height = MIN(ISW_BLOCK_SIZE, HEIGHT - row)};
      int cells = block.width * block.height;
      int16_t *bands = g_new(int16_t, (gsize)n_results * (gsize)cells * ISW_CELL_BANDS);
      uint8_t *picks = g_new(uint8_t, (gsize)plan->n_seasons * (gsize)cells);
      for (int r = 0; r < n_results; r++)
        for (int c = 0; c < cells; c++) {
          int at = (row + c / block.width) * WIDTH + col + c % block.width;
          for (int b = 0; b < ISW_CELL_BANDS; b++)
            bands[(r * cells + c) * ISW_CELL_BANDS + b] = value_of(r, at, b);
        }
      for (int c = 0; c < plan->n_seasons * cells; c++) picks[c] = (uint8_t)(c % 5);
      int16_t *spans = g_new(int16_t, (gsize)cells * ISW_SPAN_BANDS); /* of the one season */
      for (int c = 0; c < cells; c++)
        for (int b = 0; b < ISW_SPAN_BANDS; b++)
          spans[c * ISW_SPAN_BANDS + b] =
              span_of((row + c / block.width) * WIDTH + col + c % block.width, b);
      const int16_t *plan_bands = bands, *plan_spans = spans;
      const uint8_t *plan_picks = picks;
      uint8_t *flags = g_new(uint8_t, (gsize)cells);
      memset(flags, block.index == empty ? ISW_CELL_SOUTH : ISW_CELL_VALID, (gsize)cells);
      block.flags = flags;
      block.bands = &plan_bands;
      block.picks = &plan_picks;
      block.spans = &plan_spans;
      struct isw_error error = {.text = ""};
      ck_assert_msg(isw_output_write_window_block(rasters, &block, 0, &error) == ISW_OK, "%s",
                    error.text);
      g_free(flags);
      g_free(bands);
      g_free(picks);
      g_free(spans);
    }
  }
}

static struct made make_rasters_where(long long empty) {
  GDALAllRegister();
  struct made made = {.dir = g_build_filename(TEST_BINARY_DIR, "rasters-XXXXXX", NULL)};
  ck_assert_ptr_nonnull(g_mkdtemp(made.dir));
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_crop_load_sheet("napa-cabbage", &made.sheet, &error) == ISW_OK, "%s",
                error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.warmer_K = -1.5;
  conditions.spread_K = 2.75;
  conditions.least_years = 8;
  conditions.year_spread_K = 1.1;
  conditions.has_cut = true;
  conditions.cut_from_day = 350;
  conditions.cut_to_day = 10;
  conditions.grown_under = isw_crop_find_shelter(made.sheet, "row-cover");
  conditions.start = ISW_START_DIRECT;
  int variety = 1, season = 2;
  made.plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(made.sheet, &conditions, 1, &variety, 1, &season, made.plan);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(crs, 32606);
  char *wkt = NULL;
  OSRExportToWkt(crs, &wkt);
  OSRDestroySpatialReference(crs);
  struct isw_grid grid = {.width = WIDTH,
                          .height = HEIGHT,
                          .wkt = wkt,
                          .transform = {500000, 1000, 0, 4900000, 0, -1000}};
  uint8_t colours[256][4] = {{0}};
  colours[2][0] = 200;
  colours[2][3] = 255;
  struct isw_folder *folder;
  const struct isw_earlier_request there = {.dir = made.dir, .replace = ISW_REPLACE_NOTHING};
  ck_assert_int_eq(isw_output_open_folder(&there, NULL, &folder, &error), ISW_OK);
  struct isw_window_rasters *rasters;
  ck_assert_msg(
      isw_output_create_window_rasters(made.plan, &grid, "1991-2020", (const uint8_t(*)[4])colours,
                                       false, folder, &rasters, &error) == ISW_OK,
      "%s", error.text);
  write_blocks(rasters, made.plan, empty);
  ck_assert_msg(isw_output_close_window_rasters(rasters, 3, &error) == ISW_OK, "%s", error.text);
  isw_output_free_window_rasters(rasters);
  ck_assert(g_file_set_contents(isw_output_temporary_path(folder, "run.json"), "{}", -1, NULL));
  ck_assert_int_eq(isw_output_commit_folder(folder, &error), ISW_OK);
  isw_output_free_folder(folder);
  CPLFree(wkt);
  return made;
}

static struct made make_rasters(void) {
  return make_rasters_where(-1);
}

static void free_made(struct made *made) {
  static const char *const names[] = {"standard-autumn.tif", "pick-autumn.tif", "span-autumn.tif",
                                      "run.json"};
  for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
    char *path = g_build_filename(made->dir, names[i], NULL);
    g_unlink(path);
    g_free(path);
  }
  /* Nothing else was there: no side-car. */
  ck_assert_int_eq(g_rmdir(made->dir), 0);
  g_free(made->dir);
  g_free(made->plan);
  isw_crop_free_sheet(made->sheet);
}

static GDALDatasetH open_made(const struct made *made, const char *name) {
  char *path = g_build_filename(made->dir, name, NULL);
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  ck_assert_ptr_nonnull(dataset);
  g_free(path);
  return dataset;
}

/* A block without climate data is nodata in every raster, whatever else stands in it. */
START_TEST(empty_blocks_are_nodata) {
  struct made made = make_rasters_where(0);
  GDALDatasetH dataset = open_made(&made, "standard-autumn.tif");
  GDALDatasetH pick = open_made(&made, "pick-autumn.tif");
  int16_t *values = g_new(int16_t, WIDTH * HEIGHT);
  for (int b = 0; b <= ISW_CELL_BANDS; b++) { /* the last one is the pick */
    GDALRasterBandH band =
        b < ISW_CELL_BANDS ? GDALGetRasterBand(dataset, b + 1) : GDALGetRasterBand(pick, 1);
    ck_assert_int_eq(
        GDALRasterIO(band, GF_Read, 0, 0, WIDTH, HEIGHT, values, WIDTH, HEIGHT, GDT_Int16, 0, 0),
        CE_None);
    for (int c = 0; c < WIDTH * HEIGHT; c++) {
      bool empty = c % WIDTH < ISW_BLOCK_SIZE && c / WIDTH < ISW_BLOCK_SIZE;
      int filled = b < ISW_CELL_BANDS ? value_of(0, c, b) : values[c];
      int nodata = b < ISW_CELL_BANDS ? ISW_BANDS_NODATA : ISW_PICK_NODATA;
      ck_assert_int_eq(values[c], empty ? nodata : filled);
      ck_assert(empty || values[c] != nodata);
    }
  }
  g_free(values);
  GDALClose(dataset);
  GDALClose(pick);
  free_made(&made);
}
END_TEST

START_TEST(values_come_back) {
  struct made made = make_rasters();
  GDALDatasetH dataset = open_made(&made, "standard-autumn.tif");
  ck_assert_int_eq(GDALGetRasterCount(dataset), ISW_CELL_BANDS);
  int16_t *values = g_new(int16_t, WIDTH * HEIGHT);
  for (int b = 0; b < ISW_CELL_BANDS; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    ck_assert_str_eq(GDALGetDescription(band), isw_survey_band_names[b]);
    ck_assert_int_eq(GDALGetRasterDataType(band), GDT_Int16);
    ck_assert_double_eq(GDALGetRasterNoDataValue(band, NULL), -32768);
    ck_assert_int_eq(
        GDALRasterIO(band, GF_Read, 0, 0, WIDTH, HEIGHT, values, WIDTH, HEIGHT, GDT_Int16, 0, 0),
        CE_None);
    for (int c = 0; c < WIDTH * HEIGHT; c++) ck_assert_int_eq(values[c], value_of(0, c, b));
  }
  int block_width, block_height;
  GDALGetBlockSize(GDALGetRasterBand(dataset, 1), &block_width, &block_height);
  ck_assert_int_eq(block_width, 256);
  ck_assert_int_eq(block_height, 256);
  ck_assert_str_eq(GDALGetMetadataItem(dataset, "INTERLEAVE", "IMAGE_STRUCTURE"), "PIXEL");
  ck_assert_str_eq(GDALGetMetadataItem(dataset, "COMPRESSION", "IMAGE_STRUCTURE"), "DEFLATE");
  ck_assert_str_eq(GDALGetMetadataItem(dataset, "PREDICTOR", "IMAGE_STRUCTURE"), "2");
  g_free(values);
  GDALClose(dataset);
  free_made(&made);
}
END_TEST

/* Statistics stand in the file, as GDAL would work them out itself. */
static void check_band_statistics(GDALRasterBandH band, double valid_percent) {
  double least, most, mean, deviation, computed[4];
  ck_assert_int_eq(GDALGetRasterStatistics(band, FALSE, FALSE, &least, &most, &mean, &deviation),
                   CE_None);
  ck_assert_int_eq(GDALComputeRasterStatistics(band, FALSE, &computed[0], &computed[1],
                                               &computed[2], &computed[3], NULL, NULL),
                   CE_None);
  ck_assert_double_eq(least, computed[0]);
  ck_assert_double_eq(most, computed[1]);
  ck_assert_double_eq_tol(mean, computed[2], 1e-9 * fabs(computed[2]) + 1e-9);
  ck_assert_double_eq_tol(deviation, computed[3], 1e-9 * fabs(computed[3]) + 1e-9);
  const char *valid = GDALGetMetadataItem(band, "STATISTICS_VALID_PERCENT", NULL);
  ck_assert_double_eq_tol(g_ascii_strtod(valid, NULL), valid_percent, 0.01);
}

/* Units too, and asking for them makes no side-car (free_made sees to that). */
static void check_statistics(GDALDatasetH dataset, const char *const *names,
                             const char *const *units, int n_bands, double first_cells) {
  for (int b = 0; b < n_bands; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    ck_assert_str_eq(GDALGetDescription(band), names[b]);
    ck_assert_str_eq(GDALGetRasterUnitType(band), units[b]);
    check_band_statistics(band, 100.0 * first_cells / ((double)WIDTH * HEIGHT));
  }
}

START_TEST(bands_carry_units_and_statistics) {
  const bool part_empty = _i == 1;
  struct made made = make_rasters_where(part_empty ? 0 : -1);
  const double cells =
      (double)WIDTH * HEIGHT - (part_empty ? (double)ISW_BLOCK_SIZE * ISW_BLOCK_SIZE : 0.0);
  static const char *const pick_names[] = {"pick"}, *const pick_units[] = {"code"};
  CPLSetConfigOption("GDAL_PAM_ENABLED", "NO"); /* what follows may not write a side-car itself */
  GDALDatasetH dataset = open_made(&made, "standard-autumn.tif");
  check_statistics(dataset, isw_survey_band_names, isw_survey_band_units, ISW_CELL_BANDS, cells);
  GDALClose(dataset);
  dataset = open_made(&made, "span-autumn.tif");
  check_statistics(dataset, isw_survey_span_names, isw_survey_span_units, ISW_SPAN_BANDS, cells);
  GDALClose(dataset);
  dataset = open_made(&made, "pick-autumn.tif");
  check_statistics(dataset, pick_names, pick_units, 1, cells);
  GDALClose(dataset);
  free_made(&made);
}
END_TEST

START_TEST(spans_come_back) {
  struct made made = make_rasters();
  GDALDatasetH dataset = open_made(&made, "span-autumn.tif");
  ck_assert_int_eq(GDALGetRasterCount(dataset), ISW_SPAN_BANDS);
  int16_t *values = g_new(int16_t, WIDTH * HEIGHT);
  for (int b = 0; b < ISW_SPAN_BANDS; b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    ck_assert_int_eq(GDALGetRasterDataType(band), GDT_Int16);
    ck_assert_double_eq(GDALGetRasterNoDataValue(band, NULL), -32768);
    ck_assert_int_eq(
        GDALRasterIO(band, GF_Read, 0, 0, WIDTH, HEIGHT, values, WIDTH, HEIGHT, GDT_Int16, 0, 0),
        CE_None);
    for (int c = 0; c < WIDTH * HEIGHT; c++) ck_assert_int_eq(values[c], span_of(c, b));
  }
  g_free(values);
  GDALClose(dataset);
  free_made(&made);
}
END_TEST

static const struct {
  const char *raster, *key, *value;
  int band; /* 0: dataset */
} items[] = {
    {"standard-autumn.tif", "VARIETY", "standard", 0},
    {"standard-autumn.tif", "SEASON", "autumn", 0},
    {"standard-autumn.tif", "PERIOD", "1991-2020", 0},
    {"standard-autumn.tif", "GOOD", "70", 0},
    {"standard-autumn.tif", "YEARS", "8", 0},
    {"standard-autumn.tif", "YEAR_SPREAD_K", "1.1", 0},
    {"standard-autumn.tif", "CUT", "12-17..01-11", 0},
    {"standard-autumn.tif", "SPREAD_K", "2.75", 0},
    {"standard-autumn.tif", "WARMER_K", "-1.5", 0},
    {"standard-autumn.tif", "GROWN_UNDER", "row-cover", 0},
    {"pick-autumn.tif", "START", "direct", 0},
    {"standard-autumn.tif", "LIMIT_0", "nothing", 9},
    {"standard-autumn.tif", "LIMIT_1", "emergence too cold", 9},
    {"standard-autumn.tif", "LIMIT_6", "rosette too warm", 9},
    {"standard-autumn.tif", "LIMIT_10", "filling too warm", 9},
    {"standard-autumn.tif", "LIMIT_101", "frost", 9},
    {"standard-autumn.tif", "LIMIT_102", "bolting", 9},
    {"standard-autumn.tif", "LIMIT_103", "never matures", 9},
    {"standard-autumn.tif", "LIMIT_104", "cut outside", 9},
    {"span-autumn.tif", "TYPE_2", "standard", 4},
    {"span-autumn.tif", "TYPE_2", "standard", 5},
    {"span-autumn.tif", "SEASON", "autumn", 0},
    {"pick-autumn.tif", "PICK_0", "none", 1},
    {"pick-autumn.tif", "PICK_2", "standard", 1},
    {"pick-autumn.tif", "PICK_102", "standard, risky", 1},
};

START_TEST(codes_are_named_inside) {
  struct made made = make_rasters();
  GDALDatasetH dataset = open_made(&made, items[_i].raster);
  GDALMajorObjectH owner =
      items[_i].band == 0 ? dataset : (GDALMajorObjectH)GDALGetRasterBand(dataset, items[_i].band);
  const char *value = GDALGetMetadataItem(owner, items[_i].key, NULL);
  ck_assert_msg(value != NULL, "%s is missing", items[_i].key);
  ck_assert_str_eq(value, items[_i].value);
  GDALClose(dataset);
  free_made(&made);
}
END_TEST

START_TEST(picks_carry_their_colours) {
  struct made made = make_rasters();
  GDALDatasetH dataset = open_made(&made, "pick-autumn.tif");
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  ck_assert_int_eq(GDALGetRasterDataType(band), GDT_Byte);
  ck_assert_double_eq(GDALGetRasterNoDataValue(band, NULL), 255);
  GDALColorTableH table = GDALGetRasterColorTable(band);
  ck_assert_ptr_nonnull(table);
  ck_assert_int_eq(GDALGetColorEntry(table, 2)->c1, 200);
  GDALClose(dataset);
  free_made(&made);
}
END_TEST

/* Rows of small and of large values, with holes, and one without any value: as GDAL itself. */
START_TEST(statistics_leave_nodata_out) {
  enum { SIDE = 256, HOLE_EVERY = 5, EMPTY_ROW = 7 };
  GDALAllRegister();
  char *dir = g_build_filename(TEST_BINARY_DIR, "holes-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(dir));
  char *path = g_build_filename(dir, "holes.tif", NULL);
  struct isw_grid grid = {
      .width = SIDE, .height = SIDE, .wkt = (char[]){""}, .transform = {0, 1, 0, 0, 0, -1}};
  static const char *const names[] = {"one", "other"};
  struct isw_raster_spec spec = {.grid = &grid,
                                 .type = ISW_RASTER_INT16,
                                 .n_bands = 2,
                                 .descriptions = names,
                                 .nodata = -32768};
  int16_t *data = g_new(int16_t, 2 * SIDE * SIDE);
  long long valid = 0;
  for (int i = 0; i < SIDE * SIDE; i++) {
    const int y = i / SIDE;
    const bool there = i % HOLE_EVERY != 0 && y != EMPTY_ROW;
    const int value = y % 2 == 0 ? (i * 37) % 4095 - 2047 : (i * 7919) % 65535 - 32767;
    data[2 * i] = there ? (int16_t)value : -32768;
    data[2 * i + 1] = there ? (int16_t)-value : -32768;
    valid += there;
  }
  struct isw_error error = {.text = ""};
  struct isw_raster *raster;
  ck_assert_int_eq(isw_output_create_raster(path, &spec, &raster, &error), ISW_OK);
  ck_assert_int_eq(isw_output_write_block(raster, 0, 0, SIDE, SIDE, data, &error), ISW_OK);
  ck_assert_int_eq(isw_output_close_raster(raster, &error), ISW_OK);
  CPLSetConfigOption("GDAL_PAM_ENABLED", "NO");
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  for (int b = 1; b <= 2; b++)
    check_band_statistics(GDALGetRasterBand(dataset, b), 100.0 * (double)valid / (SIDE * SIDE));
  GDALClose(dataset);
  g_free(data);
  g_unlink(path);
  g_rmdir(dir);
  g_free(path);
  g_free(dir);
}
END_TEST

/* A limit on the size of files stands in for a full disk: writing stops in the middle. */
START_TEST(a_full_disk_is_noticed) {
  GDALAllRegister();
  CPLSetErrorHandler(CPLQuietErrorHandler);
  char *dir = g_build_filename(TEST_BINARY_DIR, "full-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(dir));
  char *path = g_build_filename(dir, "full.tif", NULL);
  struct isw_grid grid = {
      .width = 256, .height = 256, .wkt = (char[]){""}, .transform = {0, 1, 0, 0, 0, -1}};
  static const char *const names[] = {"one"};
  struct isw_raster_spec spec = {.grid = &grid,
                                 .type = ISW_RASTER_INT16,
                                 .n_bands = 1,
                                 .descriptions = names,
                                 .nodata = -32768};
  struct isw_error error = {.text = ""};
  struct isw_raster *raster;
  ck_assert_int_eq(isw_output_create_raster(path, &spec, &raster, &error), ISW_OK);
  struct rlimit limit = {20000, 20000};
  signal(SIGXFSZ, SIG_IGN);
  ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
  int16_t *data = g_new(int16_t, 256 * 256);
  unsigned noise = 1;
  for (int i = 0; i < 256 * 256; i++)
    data[i] = (int16_t)((noise = noise * 1103515245u + 12345u) >> 17);
  enum isw_status written = isw_output_write_block(raster, 0, 0, 256, 256, data, &error);
  enum isw_status closed = isw_output_close_raster(raster, &error);
  ck_assert(written == ISW_OUTPUT || closed == ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "full.tif"));
  ck_assert_ptr_nonnull(strstr(error.text, "disk full"));
  g_free(data);
  g_unlink(path);
  g_rmdir(dir);
  g_free(path);
  g_free(dir);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("window rasters");
  TCase *rasters = tcase_create("rasters");
  tcase_add_test(rasters, values_come_back);
  tcase_add_test(rasters, empty_blocks_are_nodata);
  tcase_add_loop_test(rasters, codes_are_named_inside, 0, (int)G_N_ELEMENTS(items));
  tcase_add_test(rasters, picks_carry_their_colours);
  tcase_add_test(rasters, spans_come_back);
  tcase_add_loop_test(rasters, bands_carry_units_and_statistics, 0, 2);
  tcase_add_test(rasters, statistics_leave_nodata_out);
  tcase_add_test(rasters, a_full_disk_is_noticed);
  suite_add_tcase(suite, rasters);
  return suite;
}

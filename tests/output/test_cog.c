/* Cloud-optimised rasters: the layout GDAL itself recognises, and everything else as it was. */
#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <gdal.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <ogr_srs_api.h>

#include "output/cog.h"
#include "output/raster.h"
#include "suite_main.h"

enum { WIDTH = 1100, HEIGHT = 700, BANDS = 2, TILE = 256, PALETTE = 4 };

static const uint8_t colours[PALETTE][4] = {
    {1, 2, 3, 255}, {40, 50, 60, 255}, {7, 8, 9, 0}, {200, 100, 0, 255}};

/* Day 364 beside day 2: an average would be a day of summer. */
static int value_at(int col, int row, int band) {
  return band == 0 ? (col + row) % 2 == 0 ? 364 : 2 : (col * 7 + row) % 3;
}

static char *make_raster(enum isw_raster_type type) {
  GDALAllRegister();
  char *path = g_build_filename(TEST_BINARY_DIR, "cog-XXXXXX.tif", NULL);
  int file = g_mkstemp(path);
  ck_assert_int_ge(file, 0);
  g_close(file, NULL);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(crs, 32606);
  char *wkt = NULL;
  OSRExportToWkt(crs, &wkt);
  OSRDestroySpatialReference(crs);
  struct isw_grid grid = {.width = WIDTH,
                          .height = HEIGHT,
                          .wkt = wkt,
                          .transform = {500000, 1000, 0, 4900000, 0, -1000}};
  static const char *const names[] = {"day", "class"}, *const units[] = {"day of year", "code"};
  static const struct isw_raster_metadata metadata[] = {{-1, "CROP", "made-up"},
                                                        {0, "LIMIT_1", "first: too = cold"}};
  bool byte = type == ISW_RASTER_BYTE;
  int n_bands = byte ? 1 : BANDS;
  struct isw_raster_spec spec = {.grid = &grid,
                                 .type = type,
                                 .n_bands = n_bands,
                                 .descriptions = names,
                                 .units = units,
                                 .nodata = byte ? 255 : -32768,
                                 .n_metadata = 2,
                                 .metadata = metadata,
                                 .n_colours = byte ? PALETTE : 0,
                                 .colours = colours};
  struct isw_error error = {.text = ""};
  struct isw_raster *raster;
  ck_assert_msg(isw_output_create_raster(path, &spec, &raster, &error) == ISW_OK, "%s", error.text);
  int16_t *words = g_new(int16_t, TILE * TILE * BANDS);
  uint8_t *bytes = g_new(uint8_t, TILE * TILE);
  for (int row = 0; row < HEIGHT; row += TILE) {
    for (int col = 0; col < WIDTH; col += TILE) {
      int w = MIN(TILE, WIDTH - col), h = MIN(TILE, HEIGHT - row);
      for (int i = 0; i < w * h; i++) {
        bytes[i] = (uint8_t)value_at(col + i % w, row + i / w, 1);
        for (int b = 0; b < n_bands; b++)
          words[i * n_bands + b] = (int16_t)value_at(col + i % w, row + i / w, b);
      }
      ck_assert_int_eq(isw_output_write_block(raster, col, row, w, h,
                                              byte ? (const void *)bytes : words, &error),
                       ISW_OK);
    }
  }
  ck_assert_msg(isw_output_close_raster(raster, &error) == ISW_OK, "%s", error.text);
  g_free(words);
  g_free(bytes);
  CPLFree(wkt);
  return path;
}

static void check_values(GDALRasterBandH band, int number, int reduced) {
  int width = GDALGetRasterBandXSize(band), height = GDALGetRasterBandYSize(band);
  gint16 *values = g_new(gint16, (gsize)width * (gsize)height);
  ck_assert_int_eq(
      GDALRasterIO(band, GF_Read, 0, 0, width, height, values, width, height, GDT_Int16, 0, 0),
      CE_None);
  for (int i = 0; i < width * height; i++) {
    if (reduced == 1)
      ck_assert_int_eq(values[i], value_at(i % width, i / width, number));
    else if (number == 0) /* nothing between the two days */
      ck_assert(values[i] == 364 || values[i] == 2);
    else
      ck_assert(values[i] >= 0 && values[i] <= 2);
  }
  g_free(values);
}

START_TEST(everything_stays) {
  bool byte = _i == 1;
  char *path = make_raster(byte ? ISW_RASTER_BYTE : ISW_RASTER_INT16);
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_output_make_cog(path, &error) == ISW_OK, "%s", error.text);
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  ck_assert_ptr_nonnull(dataset);
  ck_assert_str_eq(GDALGetMetadataItem(dataset, "LAYOUT", "IMAGE_STRUCTURE"), "COG");
  ck_assert_str_eq(GDALGetMetadataItem(dataset, "COMPRESSION", "IMAGE_STRUCTURE"), "DEFLATE");
  ck_assert_str_eq(GDALGetMetadataItem(dataset, "CROP", NULL), "made-up");
  for (int b = 0; b < GDALGetRasterCount(dataset); b++) {
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    int number = byte ? 1 : b;
    ck_assert_str_eq(GDALGetDescription(band), b == 0 ? "day" : "class");
    ck_assert_double_eq(GDALGetRasterNoDataValue(band, NULL), byte ? 255 : -32768);
    ck_assert_str_eq(GDALGetRasterUnitType(band), b == 0 ? "day of year" : "code");
    double least, most, mean, deviation;
    ck_assert_int_eq(GDALGetRasterStatistics(band, FALSE, FALSE, &least, &most, &mean, &deviation),
                     CE_None);
    ck_assert_double_eq(least, number == 0 ? 2 : 0);
    ck_assert_double_eq(most, number == 0 ? 364 : 2);
    int tile_width, tile_height;
    GDALGetBlockSize(band, &tile_width, &tile_height);
    ck_assert_int_eq(tile_width, TILE);
    ck_assert_int_eq(tile_height, TILE);
    check_values(band, number, 1);
    ck_assert_int_gt(GDALGetOverviewCount(band), 0);
    for (int o = 0; o < GDALGetOverviewCount(band); o++)
      check_values(GDALGetOverview(band, o), number, 2);
  }
  GDALRasterBandH first = GDALGetRasterBand(dataset, 1);
  ck_assert_str_eq(GDALGetMetadataItem(first, "LIMIT_1", NULL), "first: too = cold");
  GDALColorTableH table = GDALGetRasterColorTable(first);
  ck_assert_int_eq(table != NULL, byte);
  if (byte)
    for (int i = 0; i < PALETTE; i++) {
      const GDALColorEntry *entry = GDALGetColorEntry(table, i);
      ck_assert_int_eq(entry->c1, colours[i][0]);
      ck_assert_int_eq(entry->c2, colours[i][1]);
      ck_assert_int_eq(entry->c3, colours[i][2]);
    }
  char **files = GDALGetFileList(dataset);
  ck_assert_ptr_null(files[1]); /* no side-car */
  CSLDestroy(files);
  GDALClose(dataset);
  g_unlink(path);
  g_free(path);
}
END_TEST

START_TEST(what_cannot_be_read_stays) {
  GDALAllRegister();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  char *path = g_build_filename(TEST_BINARY_DIR, "no-raster.tif", NULL);
  ck_assert(g_file_set_contents(path, "text", -1, NULL));
  struct isw_error error;
  ck_assert_int_eq(isw_output_make_cog(path, &error), ISW_OUTPUT);
  char *text;
  ck_assert(g_file_get_contents(path, &text, NULL, NULL));
  ck_assert_str_eq(text, "text");
  g_free(text);
  g_unlink(path);
  g_free(path);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("cloud-optimised rasters");
  TCase *rewriting = tcase_create("rewriting");
  tcase_set_timeout(rewriting, 60);
  tcase_add_loop_test(rewriting, everything_stays, 0, 2);
  tcase_add_test(rewriting, what_cannot_be_read_stays);
  suite_add_tcase(suite, rewriting);
  return suite;
}

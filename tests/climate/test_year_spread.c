/* A raster of year spreads beside the normals: read cell by cell, and where it has no data there
 * are none. The values are made here; the normals are Colorado's. */
#include "climate/climate.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/year-spread/"

/* K at a cell; NAN in every seventh column. */
static double spread_at(int cell) {
  return cell % COLS % 7 == 0 ? NAN : 0.5 + 0.01 * (cell % 200);
}

static void write_spread(const char *path, double factor, const char *unit, int width) {
  GDALAllRegister();
  GDALDatasetH dataset =
      GDALCreate(GDALGetDriverByName("GTiff"), path, width, ROWS, 1, GDT_Float32, NULL);
  double transform[6];
  memcpy(transform, colorado_transform, sizeof transform);
  GDALSetGeoTransform(dataset, transform);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(crs, 4326);
  GDALSetSpatialRef(dataset, crs);
  OSRDestroySpatialReference(crs);
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  GDALSetRasterNoDataValue(band, -9999);
  if (unit != NULL) GDALSetRasterUnitType(band, unit);
  float *values = g_new(float, (gsize)width *ROWS);
  for (int i = 0; i < width * ROWS; i++) {
    const double spread_K = spread_at(i / width * COLS + i % width);
    values[i] = isnan(spread_K) ? -9999.0f : (float)(factor * spread_K);
  }
  ck_assert_int_eq(
      GDALRasterIO(band, GF_Write, 0, 0, width, ROWS, values, width, ROWS, GDT_Float32, 0, 0),
      CE_None);
  g_free(values);
  GDALClose(dataset);
}

static enum isw_status open_with(const char *spread, struct isw_climate **climate,
                                 struct isw_error *error) {
  const struct isw_climate_request request = {
      .tmin = COLORADO "tmin.tif", .tmax = COLORADO "tmax.tif", .year_spread = spread};
  return isw_climate_open(&request, NULL, climate, error);
}

static const struct {
  double factor; /* stated = factor * K */
  const char *unit;
} forms[] = {{1.0, "K"}, {1.0, "degC"}, {1.0, NULL}, {1.8, "degF"}};

START_TEST(cells_have_their_own) {
  struct isw_error error;
  struct isw_climate *plain, *climate;
  write_spread(MEMORY "spread.tif", forms[_i].factor, forms[_i].unit, COLS);
  ck_assert_msg(open_with(NULL, &plain, &error) == ISW_OK, "%s", error.text);
  ck_assert_msg(open_with(MEMORY "spread.tif", &climate, &error) == ISW_OK, "%s", error.text);
  float *normals = g_new(float, CELLS *ISW_CELL_NORMALS), *spread_K = g_new(float, CELLS);
  uint8_t *before = g_new(uint8_t, CELLS), *flags = g_new(uint8_t, CELLS);
  ck_assert_int_eq(
      isw_climate_read_cells(plain, 0, 0, COLS, ROWS, normals, spread_K, before, &error), ISW_OK);
  for (int i = 0; i < CELLS; i++) ck_assert(isnan(spread_K[i]));
  ck_assert_msg(
      isw_climate_read_cells(climate, 0, 0, COLS, ROWS, normals, spread_K, flags, &error) == ISW_OK,
      "%s", error.text);
  int valid = 0, lost = 0;
  for (int i = 0; i < CELLS; i++) {
    const bool has = !isnan(spread_at(i));
    if ((before[i] & ISW_CELL_VALID) == 0) continue;
    ck_assert_int_eq((flags[i] & ISW_CELL_VALID) != 0, has);
    if (has) ck_assert_double_eq_tol((double)spread_K[i], spread_at(i), 1e-5);
    valid += has;
    lost += !has;
  }
  ck_assert_int_gt(lost, 1000);
  const struct isw_climate_counts counts = isw_climate_get_counts(climate);
  ck_assert_int_eq(counts.valid, valid);
  /* the same validity where nobody asks for the spread itself */
  ck_assert_int_eq(isw_climate_read_block(climate, 0, 0, COLS, ROWS, normals, before, &error),
                   ISW_OK);
  ck_assert_mem_eq(before, flags, CELLS);
  bool told = false;
  for (int i = 0; isw_climate_understood(climate, i) != NULL; i++)
    told = told || strstr(isw_climate_understood(climate, i), "year spread") != NULL;
  ck_assert(told);
  g_free(normals);
  g_free(spread_K);
  g_free(before);
  g_free(flags);
  isw_climate_free(plain);
  isw_climate_free(climate);
}
END_TEST

static const struct {
  double factor;
  const char *unit;
  int width;
  const char *word;
} refused[] = {
    {-1.0, "K", COLS, "year spreads from"},
    {20.0, "K", COLS, "outside 0..20 K"},
    {1.0, "m", COLS, "of a year spread is not known"},
    {1.0, "K", COLS - 1, "grid"}, /* another grid */
};

START_TEST(what_is_no_year_spread_is_refused) {
  struct isw_error error;
  struct isw_climate *climate = NULL;
  write_spread(MEMORY "refused.tif", refused[_i].factor, refused[_i].unit, refused[_i].width);
  ck_assert_int_ne(open_with(MEMORY "refused.tif", &climate, &error), ISW_OK);
  ck_assert_msg(strstr(error.text, refused[_i].word) != NULL, "%s", error.text);
  ck_assert_msg(strstr(error.text, "refused.tif") != NULL, "%s", error.text);
  ck_assert_int_ne(open_with(COLORADO "tmin.tif", &climate, &error), ISW_OK);
  ck_assert_msg(strstr(error.text, "a year spread has one") != NULL, "%s", error.text);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("year spread");
  TCase *rasters = tcase_create("rasters");
  tcase_set_timeout(rasters, 60);
  tcase_add_loop_test(rasters, cells_have_their_own, 0, (int)(sizeof forms / sizeof forms[0]));
  tcase_add_loop_test(rasters, what_is_no_year_spread_is_refused, 0,
                      (int)(sizeof refused / sizeof refused[0]));
  suite_add_tcase(suite, rasters);
  return suite;
}

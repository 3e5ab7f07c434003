/* What inspect finds in the real Colorado normals, against sums taken with GDAL alone, and in the
 * same values packed, holed and without a CRS of their own. */
#include "climate/inspection.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/inspection/"

static struct isw_inspection *inspect(const char *src,
                                      const struct isw_inspection_options *options) {
  struct isw_inspection *inspection = NULL;
  struct isw_error error = {0};
  enum isw_status status = isw_climate_inspect(src, options, &inspection, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  return inspection;
}

static void check_bands(const struct isw_inspection *i, const struct normals *truth,
                        double tolerance) {
  ck_assert_int_eq(i->band_count, MONTHS);
  for (int m = 0; m < MONTHS; m++) {
    double low = INFINITY, high = -INFINITY, sum = 0;
    long long count = 0;
    for (int cell = 0; cell < CELLS; cell++) {
      double value = (double)truth->month[m][cell];
      if (isnan(value)) continue;
      low = fmin(low, value);
      high = fmax(high, value);
      sum += value;
      count++;
    }
    ck_assert_int_eq(i->bands[m].with_value, count);
    ck_assert_int_eq(i->bands[m].missing, CELLS - count);
    ck_assert_double_eq_tol(i->bands[m].low, low, tolerance);
    ck_assert_double_eq_tol(i->bands[m].high, high, tolerance);
    ck_assert_double_eq_tol(i->bands[m].mean, sum / (double)count, tolerance + 1e-9);
  }
}

START_TEST(the_real_file) {
  struct normals *truth = read_colorado("tmin.tif");
  const struct isw_inspection_options options = {.unit = ISW_UNIT_UNKNOWN};
  struct isw_inspection *i = inspect(COLORADO "tmin.tif", &options);
  ck_assert(!i->elevation && i->every_cell && !i->crs_assumed);
  ck_assert_str_eq(i->unit, "C");
  ck_assert_str_eq(i->unit_reason, "metadata");
  ck_assert_str_eq(i->month_reason, "month names of the bands");
  ck_assert_str_eq(i->bands[0].formula, "v");
  ck_assert_str_eq(i->bands[0].nodata, "-9999");
  ck_assert_str_eq(i->format, "GTiff");
  ck_assert_str_eq(i->crs_name, "WGS 84 (EPSG:4326)");
  ck_assert_ptr_null(i->period);
  ck_assert_int_eq(i->cells, CELLS);
  ck_assert_int_eq(i->whole, CELLS - 511);
  ck_assert_int_eq(i->partial, 0);
  ck_assert_int_eq(i->empty, 511);
  ck_assert_double_eq_tol(i->north_deg, 41.479168, 1e-5);
  ck_assert_double_eq_tol(i->west_deg, -109.520832, 1e-5);
  ck_assert_ptr_null(i->doubts[0]);
  check_bands(i, truth, 1e-12);
  isw_climate_free_inspection(i);
  g_free(truth);
}
END_TEST

START_TEST(packed_kelvin_with_a_hole) {
  struct normals *truth = read_colorado("tmin.tif");
  enum { HOLE = 60 * COLS + 100, MAY = 4 };
  truth->month[MAY][HOLE] = NAN;
  struct raster_form form = {
      .type = GDT_UInt16, .unit = "K", .unit_shift = 273.15, .scale = 0.002, .offset = 200};
  make_raster(truth, &form, MEMORY "packed.tif");
  const struct isw_inspection_options options = {.unit = ISW_UNIT_UNKNOWN};
  struct isw_inspection *i = inspect(MEMORY "packed.tif", &options);
  ck_assert_str_eq(i->unit, "K");
  ck_assert_str_eq(i->bands[0].formula, "0.002*v - 73.15");
  ck_assert_str_eq(i->type, "UInt16");
  ck_assert_int_eq(i->partial, 1);
  ck_assert_ptr_nonnull(i->doubts[0]);
  ck_assert(strstr(i->doubts[0], "1 cells have only some months") != NULL);
  check_bands(i, truth, 0.0011);
  isw_climate_free_inspection(i);
  g_free(truth);
}
END_TEST

START_TEST(overrides) {
  struct normals *truth = read_colorado("tmin.tif");
  struct raster_form form = {.unit = "", .no_crs = true, .nodata = -9999};
  make_raster(truth, &form, MEMORY "bare.tif");
  struct isw_inspection_options options = {.unit = ISW_UNIT_C, .crs = "EPSG:4269"};
  struct isw_inspection *i = inspect(MEMORY "bare.tif", &options);
  ck_assert_str_eq(i->unit_reason, "‹unit›");
  ck_assert(strstr(i->crs_name, "4269") != NULL);
  isw_climate_free_inspection(i);
  struct isw_error error = {0};
  options.unit = ISW_UNIT_UNKNOWN;
  ck_assert_int_eq(isw_climate_inspect(MEMORY "bare.tif", &options, &i, &error), ISW_INPUT_DOUBT);
  g_free(truth);
}
END_TEST

START_TEST(an_elevation) {
  GDALAllRegister();
  const struct isw_inspection_options options = {.unit = ISW_UNIT_UNKNOWN};
  struct isw_inspection *i = inspect(COLORADO "elevation.tif", &options);
  ck_assert(i->elevation);
  ck_assert_int_eq(i->band_count, 1);
  ck_assert_str_eq(i->unit, "m");
  /* Colorado's lowest and highest points are 1,011 and 4,401 m (common knowledge, no source); the
   * grid reaches into the plains of Kansas and its cells are means. */
  ck_assert_double_gt(i->bands[0].low, 700);
  ck_assert_double_lt(i->bands[0].high, 4401);
  isw_climate_free_inspection(i);
  isw_climate_free_inspection(NULL);
}
END_TEST

/* One band is no elevation for having one band. */
START_TEST(one_month_is_no_elevation) {
  struct normals *truth = read_colorado("tmin.tif");
  const int may[] = {4};
  struct raster_form form = {.bands = 1, .order = may, .nodata = -9999};
  const struct isw_inspection_options options = {.unit = ISW_UNIT_UNKNOWN};
  struct isw_inspection *i;
  struct isw_error error = {0};
  make_raster(truth, &form, MEMORY "may.tif");
  ck_assert_int_eq(isw_climate_inspect(MEMORY "may.tif", &options, &i, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "holds temperatures") != NULL, "%s", error.text);
  ck_assert_msg(strstr(error.text, "{month}") != NULL, "%s", error.text);
  form.unit = "";
  make_raster(truth, &form, MEMORY "bare_may.tif");
  i = inspect(MEMORY "bare_may.tif", &options);
  ck_assert(i->elevation && i->unit_guessed);
  isw_climate_free_inspection(i);
  i = inspect(COLORADO "elevation.tif", &options);
  ck_assert(!i->unit_guessed);
  isw_climate_free_inspection(i);
  g_free(truth);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("inspection");
  TCase *all = tcase_create("all");
  tcase_add_test(all, the_real_file);
  tcase_add_test(all, packed_kelvin_with_a_hole);
  tcase_add_test(all, overrides);
  tcase_add_test(all, an_elevation);
  tcase_add_test(all, one_month_is_no_elevation);
  suite_add_tcase(suite, all);
  return suite;
}

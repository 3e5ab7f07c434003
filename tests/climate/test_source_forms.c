/* The real Colorado normals (tests/data/colorado, Debian package r-cran-fields) repackaged into
 * every form a climate raster comes in: each must give the same temperatures, cell by cell. The
 * truth is what GDAL alone reads from the original files. */
#include <stdio.h>

#include "climate/climate.h"
#include "climate/grid.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/forms/"

static const char *const names[] = {"tmin January", "tmin February", "tmin March",
                                    "tmin April",   "tmin May",      "tmin June",
                                    "tmin July",    "tmin August",   "tmin September",
                                    "tmin October", "tmin November", "tmin December"};

/* Reads the whole grid in odd blocks and compares with the truth. */
static void check_same(struct isw_climate_request *request, double tolerance_K) {
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  const struct isw_grid *grid = isw_climate_grid(climate);
  ck_assert_int_eq(grid->width, COLS);
  ck_assert_int_eq(grid->height, ROWS);
  bool south_up = grid->transform[5] > 0.0;
  enum { ACROSS = 100, DOWN = 50 };
  float *normals = g_new(float, ACROSS *DOWN *ISW_CELL_NORMALS);
  uint8_t flags[ACROSS * DOWN];
  int compared = 0, empty = 0;
  double worst_K = 0.0;
  for (int row = 0; row < ROWS; row += DOWN)
    for (int col = 0; col < COLS; col += ACROSS) {
      int width = MIN(ACROSS, COLS - col), height = MIN(DOWN, ROWS - row);
      status = isw_climate_read_block(climate, col, row, width, height, normals, flags, &error);
      ck_assert_msg(status == ISW_OK, "%s", error.text);
      for (int i = 0; i < width * height; i++) {
        int at_row = row + i / width, at_col = col + i % width;
        int cell = (south_up ? ROWS - 1 - at_row : at_row) * COLS + at_col;
        bool valid = (flags[i] & ISW_CELL_VALID) != 0;
        ck_assert_int_eq(valid, !isnan(tmin->month[0][cell]));
        ck_assert_int_eq(flags[i] & ISW_CELL_SOUTH, 0);
        empty += !valid;
        if (!valid) continue;
        for (int m = 0; m < MONTHS; m++) {
          worst_K = fmax(worst_K,
                         fabs((double)(normals[i * ISW_CELL_NORMALS + m] - tmin->month[m][cell])));
          worst_K = fmax(worst_K, fabs((double)(normals[i * ISW_CELL_NORMALS + MONTHS + m] -
                                                tmax->month[m][cell])));
          compared += 2;
        }
      }
    }
  ck_assert_double_le(worst_K, tolerance_K);
  ck_assert_int_eq(compared, (CELLS - empty) * ISW_CELL_NORMALS);
  ck_assert_int_eq(empty, 511);
  struct isw_climate_counts counts = isw_climate_get_counts(climate);
  ck_assert_int_eq(counts.cells, CELLS);
  ck_assert_int_eq(counts.empty, empty);
  ck_assert_int_eq(counts.valid, CELLS - empty);
  ck_assert_int_eq(isw_climate_check_counts(&counts, NULL, &error), ISW_OK);
  ck_assert_ptr_nonnull(isw_climate_understood(climate, 0));
  ck_assert_ptr_nonnull(isw_climate_input_file(climate, 0));
  isw_climate_free(climate);
  g_free(normals);
  g_free(tmin);
  g_free(tmax);
}

static void make_pair(const struct raster_form *tmin_form, const struct raster_form *tmax_form,
                      const char *tmin_path, const char *tmax_path) {
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  bool months = strstr(tmin_path, "{month}") != NULL;
  (months ? make_months : make_raster)(tmin, tmin_form, tmin_path);
  (months ? make_months : make_raster)(tmax, tmax_form, tmax_path);
  g_free(tmin);
  g_free(tmax);
}

START_TEST(the_files_themselves) {
  GDALAllRegister();
  struct isw_climate_request request = {.tmin = COLORADO "tmin.tif", .tmax = COLORADO "tmax.tif"};
  check_same(&request, 0.0);
}
END_TEST

static const int reversed[] = {11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0};
static const char *const reversed_names[] = {"Dec", "nov", "tmaxOct", "sept", "AUGUST", "Jul",
                                             "Jun", "May", "Apr",     "Mar",  "Feb",    "January"};
static const int as_text[] = {0, 9, 10, 11, 1, 2, 3, 4, 5, 6, 7, 8};
static const char *const text_numbers[] = {"t_1", "t_10", "t_11", "t_12", "t_2", "t_3",
                                           "t_4", "t_5",  "t_6",  "t_7",  "t_8", "t_9"};
static const char *const annual_names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",   "Jul",
                                           "Aug", "Sep", "Oct", "Nov", "Dec", "Annual"};

/* Both inputs in the same form; tolerance is what the form can hold. */
static const struct {
  const char *what;
  struct raster_form form;
  enum isw_unit unit;
  double tolerance_K;
  const char *file; /* after tmin_ or tmax_ */
} forms[] = {
    {"plain", {.nodata = -9999}, 0, 0.0, "plain.tif"},
    {"Int16, scale, offset",
     {.type = GDT_Int16, .scale = 0.002, .offset = 5, .nodata = -32768},
     0,
     0.00101,
     "int16.tif"},
    {"Int16, tenths said by --unit",
     {.type = GDT_Int16, .unit = "", .unit_factor = 10, .scale = 1, .nodata = -32768},
     ISW_UNIT_C10,
     0.0501,
     "tenths.tif"},
    {"kelvin, by metadata",
     {.unit = "K", .unit_shift = 273.15, .nodata = -1},
     0,
     3.1e-5,
     "kelvin.tif"},
    {"packed kelvin: nodata 0 is tested before the offset",
     {.type = GDT_UInt16, .unit = "kelvin", .unit_shift = 273.15, .scale = 0.002, .offset = 200},
     0,
     0.00101,
     "packed_kelvin.tif"},
    {"degF in Float64",
     {.type = GDT_Float64,
      .unit = "degrees Fahrenheit",
      .unit_factor = 1.8,
      .unit_shift = 32,
      .nodata = -9999},
     0,
     4e-6,
     "fahrenheit.tif"},
    {"degF tenths in Int32",
     {.type = GDT_Int32,
      .unit = "",
      .unit_factor = 18,
      .unit_shift = 320,
      .scale = 1,
      .nodata = -2147483647},
     ISW_UNIT_F10,
     0.028,
     "f10.tif"},
    {"Float64", {.type = GDT_Float64, .nodata = -1e34}, 0, 0.0, "double.tif"},
    {"months by name, December first",
     {.order = reversed, .descriptions = reversed_names, .nodata = -9999},
     0,
     0.0,
     "reversed.tif"},
    {"months by number, sorted as text",
     {.order = as_text, .descriptions = text_numbers, .nodata = -9999},
     0,
     0.0,
     "text.tif"},
    {"a 13th band called annual",
     {.bands = 13, .descriptions = annual_names, .nodata = -9999},
     0,
     0.0,
     "annual.tif"},
    {"a 13th band that is the mean", {.bands = 13, .nodata = -9999}, 0, 0.0, "thirteen.tif"},
    {"NaN beside nodata", {.nodata = -9999, .nan_too = true}, 0, 0.0, "nan.tif"},
    {"NaN alone", {.nodata = NAN}, 0, 0.0, "only_nan.tif"},
    {"-3.4e38, rounded in metadata",
     {.nodata = -3.4028234663852886e38, .declared_nodata = -3.4e38},
     0,
     0.0,
     "rounded.tif"},
    {"a mask band", {.nodata = 7, .no_nodata = true, .mask = true}, 0, 0.0, "mask.tif"},
    {"a mask band beside nodata",
     {.nodata = -9999, .nan_too = true, .mask = true},
     0,
     0.0,
     "mask_nodata.tif"},
    {"longitudes 0..360", {.nodata = -9999, .move_x = 360}, 0, 0.0, "east.tif"},
    {"south up", {.nodata = -9999, .south_up = true}, 0, 0.0, "south_up.tif"},
    {"twelve files, 01", {.nodata = -9999}, 0, 0.0, "m{month}.tif"},
    {"twelve files, 1", {.nodata = -9999}, 0, 0.0, "plain_{month}.tif"},
    {"twelve ESRI ASCII files",
     {.format = "AAIGrid", .nodata = -9999},
     ISW_UNIT_C,
     1e-4,
     "{month}.asc"},
    {"ERDAS Imagine",
     {.format = "HFA", .nodata = -9999, .descriptions = names},
     ISW_UNIT_C,
     0.0,
     "hfa.img"},
};

START_TEST(every_form) {
  GDALAllRegister();
  char *tmin = g_strconcat(MEMORY "tmin_", forms[_i].file, NULL);
  char *tmax = g_strconcat(MEMORY "tmax_", forms[_i].file, NULL);
  make_pair(&forms[_i].form, &forms[_i].form, tmin, tmax);
  struct isw_climate_request request = {.tmin = tmin, .tmax = tmax, .unit = forms[_i].unit};
  check_same(&request, forms[_i].tolerance_K);
  g_free(tmin);
  g_free(tmax);
}
END_TEST

START_TEST(different_nodata_and_float_noise) {
  GDALAllRegister();
  struct raster_form tmin = {.nodata = -9999}, tmax = {.nodata = 1e20, .move_cells = 9e-4};
  make_pair(&tmin, &tmax, MEMORY "a.tif", MEMORY "b.tif");
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = MEMORY "b.tif"};
  check_same(&request, 0.0);
}
END_TEST

START_TEST(different_units_and_types) {
  GDALAllRegister();
  struct raster_form tmin = {.unit = "K", .unit_shift = 273.15, .nodata = -1};
  struct raster_form tmax = {.type = GDT_Int16, .scale = 0.002, .offset = 5, .nodata = -32768};
  make_pair(&tmin, &tmax, MEMORY "k.tif", MEMORY "i.tif");
  struct isw_climate_request request = {.tmin = MEMORY "k.tif", .tmax = MEMORY "i.tif"};
  check_same(&request, 0.00101);
}
END_TEST

static void copy_file(const char *from, const char *to) {
  vsi_l_offset length = 0;
  GByte *bytes = NULL;
  ck_assert(VSIIngestFile(NULL, from, &bytes, &length, -1));
  VSILFILE *file = VSIFOpenL(to, "wb");
  ck_assert_ptr_nonnull(file);
  ck_assert_uint_eq(VSIFWriteL(bytes, 1, (size_t)length, file), (size_t)length);
  VSIFCloseL(file);
  VSIFree(bytes);
}

START_TEST(inside_a_zip) {
  GDALAllRegister();
  copy_file(COLORADO "tmin.tif", "/vsizip/" MEMORY "c.zip/deep/tmin.tif");
  copy_file(COLORADO "tmax.tif", "/vsizip/" MEMORY "d.zip/tmax.tif");
  struct isw_climate_request request = {.tmin = "/vsizip/" MEMORY "c.zip/deep/tmin.tif",
                                        .tmax = "/vsizip/" MEMORY "d.zip/tmax.tif"};
  check_same(&request, 0.0);
}
END_TEST

START_TEST(inside_gzip) {
  GDALAllRegister();
  copy_file(COLORADO "tmin.tif", "/vsigzip/" MEMORY "tmin.tif.gz");
  copy_file(COLORADO "tmax.tif", "/vsigzip/" MEMORY "tmax.tif.gz");
  struct isw_climate_request request = {.tmin = "/vsigzip/" MEMORY "tmin.tif.gz",
                                        .tmax = "/vsigzip/" MEMORY "tmax.tif.gz"};
  check_same(&request, 0.0);
}
END_TEST

START_TEST(virtual_rasters) {
  GDALAllRegister();
  static const char *const names_of[] = {"tmin", "tmax"};
  for (int k = 0; k < 2; k++) {
    char *from = g_strconcat(COLORADO, names_of[k], ".tif", NULL);
    char *to = g_strconcat(MEMORY, names_of[k], ".vrt", NULL);
    GDALDatasetH dataset = GDALOpen(from, GA_ReadOnly);
    save_copy(dataset, "VRT", to, NULL);
    GDALClose(dataset);
    g_free(from);
    g_free(to);
  }
  struct isw_climate_request request = {.tmin = MEMORY "tmin.vrt", .tmax = MEMORY "tmax.vrt"};
  check_same(&request, 0.0);
}
END_TEST

START_TEST(mean_and_range) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  struct normals *mean = g_new(struct normals, 1), *range = g_new(struct normals, 1);
  for (int m = 0; m < MONTHS; m++)
    for (int i = 0; i < CELLS; i++) {
      mean->month[m][i] = 0.5f * (tmin->month[m][i] + tmax->month[m][i]);
      range->month[m][i] = tmax->month[m][i] - tmin->month[m][i];
    }
  struct raster_form plain = {.nodata = -9999};
  struct raster_form fahrenheit = {.unit = "F", .unit_factor = 1.8, .nodata = -9999};
  make_raster(mean, &plain, MEMORY "mean.tif");
  make_raster(range, &plain, MEMORY "range.tif");
  make_raster(range, &fahrenheit, MEMORY "range_f.tif");
  struct isw_climate_request request = {.mean = MEMORY "mean.tif", .range = MEMORY "range.tif"};
  check_same(&request, 1e-5);
  request.range = MEMORY "range_f.tif";
  check_same(&request, 1e-5);
  g_free(tmin);
  g_free(tmax);
  g_free(mean);
  g_free(range);
}
END_TEST

START_TEST(mean_and_one_range_for_all) {
  GDALAllRegister();
  struct isw_climate_request request = {.mean = COLORADO "tmin.tif", .range = "12.5"};
  struct isw_error error;
  struct isw_climate *climate;
  ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_OK);
  struct normals *mean = read_colorado("tmin.tif");
  enum { COL = 60, ROW = 70 };
  float normals[ISW_CELL_NORMALS];
  uint8_t flags;
  ck_assert_int_eq(isw_climate_read_block(climate, COL, ROW, 1, 1, normals, &flags, &error),
                   ISW_OK);
  ck_assert_int_eq(flags, ISW_CELL_VALID);
  for (int m = 0; m < MONTHS; m++) {
    double truth_C = (double)mean->month[m][ROW * COLS + COL];
    ck_assert_double_eq_tol((double)normals[m], truth_C - 6.25, 1e-5);
    ck_assert_double_eq_tol((double)normals[m + MONTHS], truth_C + 6.25, 1e-5);
  }
  g_free(mean);
  isw_climate_free(climate);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("source forms");
  TCase *all = tcase_create("all");
  tcase_set_timeout(all, 60);
  tcase_add_test(all, the_files_themselves);
  tcase_add_loop_test(all, every_form, 0, (int)G_N_ELEMENTS(forms));
  tcase_add_test(all, different_nodata_and_float_noise);
  tcase_add_test(all, different_units_and_types);
  tcase_add_test(all, inside_a_zip);
  tcase_add_test(all, inside_gzip);
  tcase_add_test(all, virtual_rasters);
  tcase_add_test(all, mean_and_range);
  tcase_add_test(all, mean_and_one_range_for_all);
  suite_add_tcase(suite, all);
  return suite;
}

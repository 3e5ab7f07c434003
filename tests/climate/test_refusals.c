#define _POSIX_C_SOURCE 200809L
/* Everything doubtful is refused, with a message that says what, where and what to do; what is only
 * odd is warned of. Rasters are the Colorado normals, spoilt. */
#include <stdio.h>

#include "climate/climate.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/refusals/"

static void expect_refusal(const struct isw_climate_request *request, enum isw_status expected,
                           const char *const *words) {
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(request, NULL, &climate, &error);
  ck_assert_msg(status == expected, "status %d: %s", (int)status, error.text);
  ck_assert_ptr_null(climate);
  ck_assert_int_eq(error.status, expected);
  for (; *words != NULL; words++)
    ck_assert_msg(strstr(error.text, *words) != NULL, "no \"%s\" in: %s", *words, error.text);
}

static const int doubled[] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11};
static const char *const doubled_names[] = {"Jan", "Feb", "Mar", "Apr", "May", "May",
                                            "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
static const int to_thirteen[] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 0};

/* tmin spoilt; tmax as it is. */
static const struct {
  struct raster_form form;
  enum isw_unit unit;
  enum isw_status status;
  const char *words[5];
} spoilt[] = {
    {{.nodata = -9999, .bands = 11}, 0, ISW_INPUT_CONTENT, {"spoilt.tif", "11 bands", "{month}"}},
    {{.nodata = -9999, .bands = 13, .order = to_thirteen},
     0,
     ISW_INPUT_CONTENT,
     {"13 bands", "annual"}},
    {{.nodata = -9999, .no_crs = true}, 0, ISW_INPUT_DOUBT, {"CRS", "‹crs›"}},
    {{.nodata = -9999, .unit = ""},
     0,
     ISW_INPUT_DOUBT,
     {"no unit", "-22.79 to 19.46", "looks like degC", "‹unit›"}},
    {{.nodata = -9999, .unit = "", .unit_shift = 273.15},
     0,
     ISW_INPUT_DOUBT,
     {"no unit", "looks like kelvin", "‹unit›"}},
    {{.nodata = -9999, .unit = "mm"}, 0, ISW_INPUT_DOUBT, {"\"mm\"", "‹unit›"}},
    {{.nodata = -9999, .unit_shift = 273.15},
     0,
     ISW_INPUT_CONTENT,
     {"outside -90..60", "look like kelvin", "‹unit› K"}},
    {{.nodata = -9999, .unit_shift = 273.15},
     ISW_UNIT_C,
     ISW_INPUT_CONTENT,
     {"by ‹unit›", "‹unit› K"}},
    {{.nodata = -9999, .unit_factor = 10}, 0, ISW_INPUT_CONTENT, {"‹unit› C/10"}},
    {{.type = GDT_Int16, .nodata = -9999, .unit = "0.1 degC", .unit_factor = 10, .scale = 0.1},
     0,
     ISW_INPUT_DOUBT,
     {"0.1", "tenths", "too much"}},
    {{.nodata = -9999, .order = doubled, .descriptions = doubled_names},
     0,
     ISW_INPUT_DOUBT,
     {"twelve months", "May May"}},
    {{.nodata = -9999, .move_cells = 0.25},
     0,
     ISW_INPUT_CONTENT,
     {"spoilt.tif", "tmax.tif", "same grid", "-0.25 columns", "205 x 119"}},
    {{.nodata = -3.4028234663852886e38, .no_nodata = true},
     0,
     ISW_INPUT_CONTENT,
     {"nodata", "not declare"}},
    {{.nodata = -9999, .no_nodata = true}, 0, ISW_INPUT_CONTENT, {"-9999", "outside -90..60"}},
    {{.nodata = -9999, .unit_shift = 60}, 0, ISW_INPUT_CONTENT, {"outside -90..60"}},
    {{.nodata = -9999, .unit_shift = 35}, 0, ISW_INPUT_CONTENT, {"exchanged", "swap"}},
};

START_TEST(spoilt_rasters) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif");
  make_raster(tmin, &spoilt[_i].form, MEMORY "spoilt.tif");
  struct isw_climate_request request = {
      .tmin = MEMORY "spoilt.tif", .tmax = COLORADO "tmax.tif", .unit = spoilt[_i].unit};
  expect_refusal(&request, spoilt[_i].status, spoilt[_i].words);
  g_free(tmin);
}
END_TEST

#define TMIN COLORADO "tmin.tif"
#define TMAX COLORADO "tmax.tif"
#define HIGH COLORADO "elevation.tif"

static const struct {
  struct isw_climate_request request;
  enum isw_status status;
  const char *words[4];
} requests[] = {
    {{.tmin = TMIN}, ISW_USAGE, {"‹tmax› is missing"}},
    {{.tmax = TMAX}, ISW_USAGE, {"‹tmin› is missing"}},
    {{.mean = TMIN}, ISW_USAGE, {"‹range› is missing"}},
    {{.tmin = TMIN, .tmax = TMAX, .mean = TMIN, .range = "3"}, ISW_USAGE, {"either"}},
    {{.mean = TMIN, .range = "-3"}, ISW_USAGE, {"‹range› -3"}},
    {{.mean = TMAX, .range = TMIN},
     ISW_INPUT_CONTENT,
     {"tmin.tif: daily ranges from", "never negative"}},
    {{.mean = TMIN, .range = "nan"}, ISW_USAGE, {"‹range› nan"}},
    {{.tmin = TMIN, .tmax = "/nowhere/tmax.tif"}, ISW_INPUT_FILE, {"/nowhere/tmax.tif"}},
    {{.tmin = "/nowhere/t{month}.tif", .tmax = TMAX},
     ISW_INPUT_FILE,
     {"month 1 is missing", "t01.tif", "t1.tif"}},
    {{.tmin = COLORADO "stations.csv", .tmax = TMAX}, ISW_INPUT_FILE, {"stations.csv", "raster"}},
    {{.tmin = HIGH, .tmax = TMAX}, ISW_INPUT_CONTENT, {"1 bands", "twelve"}},
    {{.tmin = TMAX, .tmax = TMIN}, ISW_INPUT_CONTENT, {"exchanged", "swap ‹tmin› and ‹tmax›"}},
    {{.tmin = TMIN, .tmax = TMIN}, ISW_INPUT_DOUBT, {"same values"}},
    {{.tmin = TMIN, .tmax = TMAX, .crs = "no such thing"}, ISW_USAGE, {"‹crs› no such thing"}},
    {{.tmin = TMIN, .tmax = TMAX, .crs = "LOCAL_CS[\"plan\",UNIT[\"metre\",1]]"},
     ISW_INPUT_CONTENT,
     {"neither one of longitude and latitude", "‹crs›"}},
    {{.tmin = TMIN, .tmax = TMAX, .lapse = "6"}, ISW_USAGE, {"‹elevation›"}},
    {{.tmin = TMIN, .tmax = TMAX, .elevation = HIGH}, ISW_USAGE, {"‹normals-elevation›"}},
    {{.tmin = TMIN, .tmax = TMAX, .elevation = HIGH, .normals_elevation = HIGH, .lapse = "six"},
     ISW_USAGE,
     {"‹lapse› six"}},
    {{.tmin = TMIN, .tmax = TMAX, .elevation = HIGH, .normals_elevation = HIGH, .lapse = "650"},
     ISW_USAGE,
     {"‹lapse› 650", "K per km"}},
    {{.tmin = TMIN,
      .tmax = TMAX,
      .elevation = HIGH,
      .normals_elevation = HIGH,
      .lapse_monthly = "1,2,3"},
     ISW_USAGE,
     {"3 values", "12", "24"}},
    {{.tmin = TMIN, .tmax = TMAX, .elevation = TMIN, .normals_elevation = HIGH},
     ISW_INPUT_CONTENT,
     {"12 bands", "elevation"}},
};

START_TEST(wrong_requests) {
  GDALAllRegister();
  expect_refusal(&requests[_i].request, requests[_i].status, requests[_i].words);
}
END_TEST

START_TEST(a_missing_and_a_doubled_month_file) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif");
  struct raster_form form = {.nodata = -9999};
  make_months(tmin, &form, MEMORY "m{month}.tif");
  VSIUnlink(MEMORY "m07.tif");
  struct isw_climate_request request = {.tmin = MEMORY "m{month}.tif", .tmax = TMAX};
  expect_refusal(&request, ISW_INPUT_FILE, (const char *const[]){"month 7", "m07.tif", NULL});
  make_months(tmin, &form, MEMORY "m{month}.tif");
  form.bands = 1;
  make_raster(tmin, &form, MEMORY "m3.tif");
  expect_refusal(&request, ISW_INPUT_DOUBT, (const char *const[]){"m03.tif", "m3.tif", NULL});
  g_free(tmin);
}
END_TEST

static const int swapped[] = {1, 0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11};
static const char *const swapped_names[] = {"Feb"};

START_TEST(file_number_against_month_name) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif");
  struct raster_form form = {.nodata = -9999};
  make_months(tmin, &form, MEMORY "n{month}.tif");
  static const char *const all[] = {"Feb", "Jan", "Mar", "Apr", "May", "Jun",
                                    "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  for (int b = 0; b < MONTHS; b++) {
    struct raster_form one = {.nodata = -9999,
                              .bands = 1,
                              .order = &swapped[b],
                              .descriptions = b == 0 ? swapped_names : &all[b]};
    char path[64];
    g_snprintf(path, sizeof path, MEMORY "n%02d.tif", b + 1);
    make_raster(tmin, &one, path);
  }
  struct isw_climate_request request = {.tmin = MEMORY "n{month}.tif", .tmax = TMAX};
  expect_refusal(&request, ISW_INPUT_DOUBT,
                 (const char *const[]){"contradict", "month names", "file names", NULL});
  g_free(tmin);
}
END_TEST

/* What a run says while opening, as text. */
static char *open_and_listen(const struct isw_climate_request *request) {
  char *text = NULL;
  size_t length = 0;
  FILE *stream = open_memstream(&text, &length);
  struct isw_log log = isw_base_log_make(stream, false);
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(request, &log, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  isw_climate_free(climate);
  fclose(stream);
  return text;
}

static const int half_year_late[] = {6, 7, 8, 9, 10, 11, 0, 1, 2, 3, 4, 5};
static const int as_text[] = {0, 9, 10, 11, 1, 2, 3, 4, 5, 6, 7, 8};

static const struct {
  struct raster_form form;
  const char *words[3];
} warned[] = {
    {{.nodata = -9999}, {NULL}},
    {{.nodata = -9999, .order = half_year_late},
     {"warning", "contradicts the hemisphere", "north"}},
    {{.nodata = -9999, .order = as_text}, {"warning", "up and down", "order"}},
    {{.nodata = -9999, .bands = 13}, {"band 13", "annual", "left out"}},
};

START_TEST(warnings) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  make_raster(tmin, &warned[_i].form, MEMORY "a.tif");
  make_raster(tmax, &warned[_i].form, MEMORY "b.tif");
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = MEMORY "b.tif"};
  char *text = open_and_listen(&request);
  for (int k = 0; k < 3 && warned[_i].words[k] != NULL; k++)
    ck_assert_msg(strstr(text, warned[_i].words[k]) != NULL, "%s: %s", warned[_i].words[k], text);
  if (warned[_i].words[0] == NULL) ck_assert_msg(strstr(text, "warning") == NULL, "%s", text);
  free(text);
  g_free(tmin);
  g_free(tmax);
}
END_TEST

static const int june_twice[] = {0, 1, 2, 3, 4, 5, 5, 7, 8, 9, 10, 11};
static const int month_late[] = {11, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10};

/* One of the two spoilt. */
START_TEST(one_of_a_pair) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif");
  struct raster_form form = {.nodata = -9999, .order = month_late};
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = TMAX};
  make_raster(tmin, &form, MEMORY "a.tif");
  char *text = open_and_listen(&request);
  ck_assert_msg(strstr(text, "runs 1 month before that of " MEMORY "a.tif") != NULL, "%s", text);
  free(text);
  form.order = june_twice;
  make_raster(tmin, &form, MEMORY "a.tif");
  text = open_and_listen(&request);
  ck_assert_msg(strstr(text, "June and July hold the same values") != NULL, "%s", text);
  free(text);
  form.order = NULL;
  for (int i = 0; i < CELLS; i++)
    if (!isnan(tmin->month[3][i])) tmin->month[3][i] = 0.0f;
  make_raster(tmin, &form, MEMORY "a.tif");
  text = open_and_listen(&request);
  ck_assert_msg(strstr(text, "April is 0 degC in every cell") != NULL, "%s", text);
  free(text);
  g_free(tmin);
}
END_TEST

START_TEST(understood_line) {
  GDALAllRegister();
  struct normals *tmin = read_colorado("tmin.tif");
  struct raster_form packed = {
      .type = GDT_Int16, .unit = "K", .unit_shift = 273.15, .scale = 0.1, .nodata = -1};
  make_raster(tmin, &packed, MEMORY "a.tif");
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = TMAX};
  char *text = open_and_listen(&request);
  ck_assert_msg(strstr(text, "degC = 0.1*v - 273.15, where v is in K by ") != NULL, "%s", text);
  ck_assert_msg(strstr(text, "January") != NULL, "%s", text);
  free(text);
  g_free(tmin);
}
END_TEST

/* A single cell is spoilt where the coarse look at opening need not see it. */
static const struct {
  float tmin_C, tmax_C;
  enum isw_status status;
  const char *words[4];
} cells[] = {
    {10.4f, 10.0f, ISW_OK, {NULL}},
    {10.6f, 10.0f, ISW_INPUT_CONTENT, {"column 101, row 52", "July", "10.6", "1 of"}},
    {-95.0f, 10.0f, ISW_INPUT_CONTENT, {"column 101, row 52", "-95", "July", "outside"}},
    {10.0f, 61.0f, ISW_INPUT_CONTENT, {"b.tif", "61", "column 101, row 52", "outside"}},
};

START_TEST(one_cell) {
  GDALAllRegister();
  enum { COL = 101, ROW = 52, JULY = 6 };
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  struct raster_form form = {.nodata = -9999};
  form.options = CSLSetNameValue(NULL, "TILED", "YES");
  form.options = CSLSetNameValue(form.options, "BLOCKXSIZE", "16");
  form.options = CSLSetNameValue(form.options, "BLOCKYSIZE", "16");
  tmin->month[JULY][ROW * COLS + COL] = cells[_i].tmin_C;
  tmax->month[JULY][ROW * COLS + COL] = cells[_i].tmax_C;
  make_raster(tmin, &form, MEMORY "a.tif");
  make_raster(tmax, &form, MEMORY "b.tif");
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = MEMORY "b.tif"};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  float *normals = g_new(float, (gsize)CELLS *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, CELLS);
  if (status == ISW_OK)
    status = isw_climate_read_block(climate, 0, 0, COLS, ROWS, normals, flags, &error);
  ck_assert_int_eq(status, cells[_i].status);
  for (int k = 0; k < 4 && cells[_i].words[k] != NULL; k++)
    ck_assert_msg(strstr(error.text, cells[_i].words[k]) != NULL, "%s: %s", cells[_i].words[k],
                  error.text);
  if (status == ISW_OK) {
    struct isw_climate_counts counts = isw_climate_get_counts(climate);
    ck_assert_int_eq(flags[ROW * COLS + COL] & ISW_CELL_VALID, 0);
    ck_assert_int_eq(counts.inverted, 1);
    ck_assert_int_eq(counts.valid, CELLS - 511 - 1);
    ck_assert_msg(strstr(counts.first_inverted, "column 101, row 52") != NULL, "%s",
                  counts.first_inverted);
    /* one in 23,884 is below 0.1 %; one in a hundred is not */
    ck_assert_int_eq(isw_climate_check_counts(&counts, NULL, &error), ISW_OK);
    counts.cells = 100;
    counts.empty = 0;
    ck_assert_int_eq(isw_climate_check_counts(&counts, NULL, &error), ISW_INPUT_CONTENT);
  }
  isw_climate_free(climate);
  CSLDestroy(form.options);
  g_free(normals);
  g_free(flags);
  g_free(tmin);
  g_free(tmax);
}
END_TEST

START_TEST(a_month_without_value) {
  GDALAllRegister();
  enum { COL = 101, ROW = 52, JULY = 6 };
  struct normals *tmin = read_colorado("tmin.tif");
  tmin->month[JULY][ROW * COLS + COL] = NAN;
  struct raster_form form = {.nodata = -9999};
  make_raster(tmin, &form, MEMORY "a.tif");
  struct isw_climate_request request = {.tmin = MEMORY "a.tif", .tmax = TMAX};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_OK);
  float normals[ISW_CELL_NORMALS * 2];
  uint8_t flags[2];
  ck_assert_int_eq(isw_climate_read_block(climate, COL, ROW, 2, 1, normals, flags, &error), ISW_OK);
  ck_assert_int_eq(flags[0], 0);
  ck_assert_int_eq(flags[1], ISW_CELL_VALID);
  ck_assert_int_eq(isw_climate_get_counts(climate).partial, 1);
  isw_climate_free(climate);
  g_free(tmin);
}
END_TEST

/* Real damage: the file cut at three quarters. */
START_TEST(truncated) {
  GDALAllRegister();
  vsi_l_offset length = 0;
  GByte *bytes = NULL;
  ck_assert(VSIIngestFile(NULL, TMIN, &bytes, &length, -1));
  VSILFILE *file = VSIFileFromMemBuffer(MEMORY "cut.tif", bytes, length * 3 / 4, FALSE);
  VSIFCloseL(file);
  struct isw_climate_request request = {.tmin = MEMORY "cut.tif", .tmax = TMAX};
  expect_refusal(&request, ISW_INPUT_FILE, (const char *const[]){"cut.tif", "damaged", NULL});
  VSIUnlink(MEMORY "cut.tif");
  VSIFree(bytes);
}
END_TEST

/* 46,341 x 46,341 cells claimed, nothing stored; and one strip as large as the whole. */
static void open_hostile(bool one_strip) {
  GDALAllRegister();
  enum { SIDE = 46341 };
  char **options = CSLSetNameValue(NULL, "SPARSE_OK", "TRUE");
  options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
  if (one_strip) {
    options = CSLSetNameValue(options, "BLOCKYSIZE", "46341");
  } else {
    options = CSLSetNameValue(options, "TILED", "YES");
  }
  GDALDatasetH dataset = GDALCreate(GDALGetDriverByName("GTiff"), MEMORY "huge.tif", SIDE, SIDE, 12,
                                    GDT_Float32, options);
  ck_assert_ptr_nonnull(dataset);
  double transform[6] = {-180, 360.0 / SIDE, 0, 90, 0, -180.0 / SIDE};
  GDALSetGeoTransform(dataset, transform);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(crs, 4326);
  GDALSetSpatialRef(dataset, crs);
  OSRDestroySpatialReference(crs);
  for (int b = 1; b <= MONTHS; b++) {
    GDALSetRasterNoDataValue(GDALGetRasterBand(dataset, b), -9999);
    GDALSetRasterUnitType(GDALGetRasterBand(dataset, b), "degC");
  }
  GDALClose(dataset);
  CSLDestroy(options);
  struct isw_climate_request request = {.mean = MEMORY "huge.tif", .range = "8"};
  if (one_strip) {
    expect_refusal(&request, ISW_INPUT_CONTENT,
                   (const char *const[]){"too large to read in parts", "TILED", NULL});
    return;
  }
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  ck_assert_msg(isw_climate_open(&request, NULL, &climate, &error) == ISW_OK, "%s", error.text);
  enum { BLOCK = 256 };
  float *normals = g_new(float, BLOCK *BLOCK *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, BLOCK * BLOCK);
  ck_assert_int_eq(isw_climate_read_block(climate, SIDE - BLOCK, SIDE - BLOCK, BLOCK, BLOCK,
                                          normals, flags, &error),
                   ISW_OK);
  ck_assert_int_eq(isw_climate_get_counts(climate).empty, BLOCK * BLOCK);
  ck_assert_int_eq(
      isw_climate_read_block(climate, SIDE - BLOCK + 1, 0, BLOCK, 1, normals, flags, &error),
      ISW_INTERNAL);
  isw_climate_free(climate);
  g_free(normals);
  g_free(flags);
}

START_TEST(hostile_sizes) {
  open_hostile(_i == 1);
}
END_TEST

#if defined(__SANITIZE_ADDRESS__)
#define MEMORY_IS_MEASURED 0
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define MEMORY_IS_MEASURED 0
#endif
#endif
#ifndef MEMORY_IS_MEASURED
#define MEMORY_IS_MEASURED 1
#endif

/* The most memory the process ever had; kB. */
static long peak_memory_kB(void) {
  long peak = 0;
  FILE *status = fopen("/proc/self/status", "r");
  char line[256];
  while (status != NULL && fgets(line, sizeof line, status) != NULL)
    if (sscanf(line, "VmHWM: %ld", &peak) == 1) break;
  if (status != NULL) fclose(status);
  return peak;
}

START_TEST(hostile_sizes_need_little_memory) {
  if (!MEMORY_IS_MEASURED) {
    printf("skipped: memory is not measured under AddressSanitizer\n");
    return;
  }
  GDALSetCacheMax64(64 * 1024 * 1024); /* as the program does */
  open_hostile(false);
  long peak_kB = peak_memory_kB();
  ck_assert_int_gt(peak_kB, 0);
  ck_assert_int_lt(peak_kB, 500000);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("refusals");
  TCase *all = tcase_create("all");
  tcase_set_timeout(all, 60);
  tcase_add_loop_test(all, spoilt_rasters, 0, (int)G_N_ELEMENTS(spoilt));
  tcase_add_loop_test(all, wrong_requests, 0, (int)G_N_ELEMENTS(requests));
  tcase_add_test(all, a_missing_and_a_doubled_month_file);
  tcase_add_test(all, file_number_against_month_name);
  tcase_add_test(all, one_of_a_pair);
  tcase_add_loop_test(all, warnings, 0, (int)G_N_ELEMENTS(warned));
  tcase_add_test(all, understood_line);
  tcase_add_loop_test(all, one_cell, 0, (int)G_N_ELEMENTS(cells));
  tcase_add_test(all, a_month_without_value);
  tcase_add_test(all, truncated);
  tcase_add_loop_test(all, hostile_sizes, 0, 2);
  tcase_add_test(all, hostile_sizes_need_little_memory);
  suite_add_tcase(suite, all);
  return suite;
}

/* netCDF as climatologies come: written here with GDAL's multidimensional API, so that dimensions,
 * bounds, packing and attributes are what CF Conventions 1.10 (sections 3.1, 4.4, 7.4, 8.1) say. */
#include <stdio.h>
#include <unistd.h>

#include "climate/climate.h"
#include "raster_maker.h"
#include "suite_main.h"

struct netcdf_form {
  const char *file;
  const char *time_units, *calendar;
  double times[MONTHS];
  int first_month;      /* of the first time, 0..11 */
  const char *unit;     /* units of the variable */
  double shift;         /* added to degC */
  bool packed;          /* Int16, scale 0.01, offset 280 */
  bool bounds;          /* climatology_bounds beside it: opens as an empty container */
  bool second_variable; /* another temperature of twelve times */
  bool south_first;     /* latitudes from south to north */
  double move_lon;
};

static GDALMDArrayH new_array(GDALGroupH group, const char *name, size_t n,
                              GDALDimensionH *dimensions, GDALDataType type) {
  GDALExtendedDataTypeH data_type = GDALExtendedDataTypeCreate(type);
  GDALMDArrayH array = GDALGroupCreateMDArray(group, name, n, dimensions, data_type, NULL);
  ck_assert_msg(array != NULL, "%s", CPLGetLastErrorMsg());
  GDALExtendedDataTypeRelease(data_type);
  return array;
}

static void say(GDALMDArrayH array, const char *key, const char *value) {
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreateString(0);
  GDALAttributeH attribute = GDALMDArrayCreateAttribute(array, key, 0, NULL, type, NULL);
  ck_assert_ptr_nonnull(attribute);
  GDALAttributeWriteString(attribute, value);
  GDALAttributeRelease(attribute);
  GDALExtendedDataTypeRelease(type);
}

static void write_doubles(GDALMDArrayH array, size_t dimensions, const size_t *count,
                          const double *values) {
  const GUInt64 start[3] = {0, 0, 0};
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(GDT_Float64);
  ck_assert(dimensions <= 3 &&
            GDALMDArrayWrite(array, start, count, NULL, NULL, type, values, NULL, 0));
  GDALExtendedDataTypeRelease(type);
}

static void write_variable(GDALGroupH group, const char *name, GDALDimensionH *dimensions,
                           const struct normals *normals, const struct netcdf_form *form) {
  static const double fill = -32768;
  GDALMDArrayH array =
      new_array(group, name, 3, dimensions, form->packed ? GDT_Int16 : GDT_Float32);
  GDALMDArraySetNoDataValueAsDouble(array, fill);
  if (form->packed) {
    GDALMDArraySetScale(array, 0.01);
    GDALMDArraySetOffset(array, 280.0);
  }
  if (form->unit != NULL) GDALMDArraySetUnit(array, form->unit);
  say(array, "long_name", "near-surface air temperature");
  /* Of the array's own type: the driver writes anything else one value at a time. */
  size_t n = (size_t)MONTHS * CELLS;
  float *floats = g_new(float, n);
  int16_t *packed = g_new(int16_t, n);
  for (int t = 0; t < MONTHS; t++)
    for (int i = 0; i < CELLS; i++) {
      int row = form->south_first ? ROWS - 1 - i / COLS : i / COLS;
      double value =
          (double)normals->month[(t + form->first_month) % MONTHS][row * COLS + i % COLS];
      double stated = value + form->shift;
      size_t at = (size_t)t * CELLS + (size_t)i;
      floats[at] = (float)(isnan(value) ? fill : stated);
      packed[at] = (int16_t)(isnan(value) ? fill : round((stated - 280.0) / 0.01));
    }
  const GUInt64 start[3] = {0, 0, 0};
  const size_t count[3] = {MONTHS, ROWS, COLS};
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(form->packed ? GDT_Int16 : GDT_Float32);
  ck_assert(GDALMDArrayWrite(array, start, count, NULL, NULL, type,
                             form->packed ? (const void *)packed : (const void *)floats, NULL, 0));
  GDALExtendedDataTypeRelease(type);
  g_free(floats);
  g_free(packed);
  GDALMDArrayRelease(array);
}

static void write_axis(GDALGroupH group, const char *name, GDALDimensionH dimension, size_t n,
                       const double *values, const char *units, const char *calendar,
                       const char *bounds) {
  GDALMDArrayH array = new_array(group, name, 1, &dimension, GDT_Float64);
  if (units != NULL) say(array, "units", units);
  if (calendar != NULL) say(array, "calendar", calendar);
  if (bounds != NULL) say(array, "climatology", bounds);
  write_doubles(array, 1, &n, values);
  GDALMDArrayRelease(array);
}

static void write_netcdf(const char *path, const struct normals *normals, const char *variable,
                         const struct netcdf_form *form) {
  unlink(path);
  GDALDatasetH dataset =
      GDALCreateMultiDimensional(GDALGetDriverByName("netCDF"), path, NULL, NULL);
  ck_assert_msg(dataset != NULL, "%s", CPLGetLastErrorMsg());
  GDALGroupH group = GDALDatasetGetRootGroup(dataset);
  GDALDimensionH time = GDALGroupCreateDimension(group, "time", "TEMPORAL", NULL, MONTHS, NULL);
  GDALDimensionH lat = GDALGroupCreateDimension(group, "lat", "HORIZONTAL_Y", "NORTH", ROWS, NULL);
  GDALDimensionH lon = GDALGroupCreateDimension(group, "lon", "HORIZONTAL_X", "EAST", COLS, NULL);
  double lats[ROWS], lons[COLS];
  for (int j = 0; j < ROWS; j++)
    lats[form->south_first ? ROWS - 1 - j : j] =
        colorado_transform[3] + (j + 0.5) * colorado_transform[5];
  for (int i = 0; i < COLS; i++)
    lons[i] = colorado_transform[0] + (i + 0.5) * colorado_transform[1] + form->move_lon;
  write_axis(group, "time", time, MONTHS, form->times, form->time_units, form->calendar,
             form->bounds ? "climatology_bounds" : NULL);
  write_axis(group, "lat", lat, ROWS, lats, "degrees_north", NULL, NULL);
  write_axis(group, "lon", lon, COLS, lons, "degrees_east", NULL, NULL);
  GDALDimensionH dimensions[3] = {time, lat, lon};
  if (form->bounds) {
    GDALDimensionH two = GDALGroupCreateDimension(group, "nv", NULL, NULL, 2, NULL);
    GDALDimensionH pair[2] = {time, two};
    GDALMDArrayH array = new_array(group, "climatology_bounds", 2, pair, GDT_Float64);
    double bounds[MONTHS * 2];
    for (int t = 0; t < MONTHS; t++) {
      bounds[2 * t] = form->times[t] - 14;
      bounds[2 * t + 1] = form->times[t] + 14;
    }
    const size_t count[2] = {MONTHS, 2};
    write_doubles(array, 2, count, bounds);
    GDALMDArrayRelease(array);
    GDALDimensionRelease(two);
  }
  write_variable(group, variable, dimensions, normals, form);
  if (form->second_variable) write_variable(group, "other", dimensions, normals, form);
  GDALDimensionRelease(time);
  GDALDimensionRelease(lat);
  GDALDimensionRelease(lon);
  GDALGroupRelease(group);
  GDALClose(dataset);
}

/* Middles of the months of a year without a leap day, as days and as hours. */
#define MID_MONTHS \
  { 15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5 }

static const struct netcdf_form forms[] = {
    {"plain.nc", "days since 1961-01-01", "365_day", MID_MONTHS, 0, "degC", .bounds = false},
    {"container.nc", "days since 1961-01-01", "365_day", MID_MONTHS, 0, "degC", .bounds = true},
    {"kelvin.nc", "days since 1961-01-01", NULL, MID_MONTHS, 0, "K", .shift = 273.15},
    {"packed.nc", "days since 1961-01-01", NULL, MID_MONTHS, 0, "K", .shift = 273.15,
     .packed = true},
    {"south_first.nc", "days since 1961-01-01", NULL, MID_MONTHS, 0, "celsius",
     .south_first = true},
    {"east.nc", "days since 1961-01-01", NULL, MID_MONTHS, 0, "DEG C", .move_lon = 360},
    /* from 1 October: the 274th day of a common year */
    {"october.nc", "days since 1961-10-01 00:00:00", "noleap", MID_MONTHS, 9, "degrees_celsius",
     .bounds = false},
    {"hours.nc",
     "hours since 0000-01-01 00:00:00",
     NULL,
     {366, 1096.485, 1826.97, 2557.455, 3287.94, 4018.425, 4748.91, 5479.395, 6209.88, 6940.365,
      7670.85, 8401.335},
     0,
     "degC",
     .bounds = false},
    {"months.nc",
     "months since 1990-04-01",
     NULL,
     {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11},
     3,
     "degC",
     .bounds = false},
    {"numbers.nc", NULL, NULL, {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, 0, "degC", .bounds = false},
    {"backwards.nc",
     NULL,
     NULL,
     {7, 8, 9, 10, 11, 12, 1, 2, 3, 4, 5, 6},
     6,
     "degC",
     .bounds = false},
};

START_TEST(every_form) {
  GDALAllRegister();
  const struct netcdf_form *form = &forms[_i];
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  char *tmin_path = g_strdup_printf("%s/tmin_%s", TEST_BINARY_DIR, form->file);
  char *tmax_path = g_strdup_printf("%s/tmax_%s", TEST_BINARY_DIR, form->file);
  write_netcdf(tmin_path, tmin, "tasmin", form);
  write_netcdf(tmax_path, tmax, "tasmax", form);
  struct isw_climate_request request = {.tmin = tmin_path, .tmax = tmax_path};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  const struct isw_grid *grid = isw_climate_grid(climate);
  ck_assert_int_eq(grid->width, COLS);
  ck_assert_int_eq(grid->height, ROWS);
  ck_assert(grid->geographic);
  float *normals = g_new(float, (gsize)CELLS *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, CELLS);
  status = isw_climate_read_block(climate, 0, 0, COLS, ROWS, normals, flags, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  bool south_up = grid->transform[5] > 0.0;
  double worst_K = 0.0;
  int valid = 0;
  for (int i = 0; i < CELLS; i++) {
    int row = south_up ? ROWS - 1 - i / COLS : i / COLS, cell = row * COLS + i % COLS;
    ck_assert_int_eq((flags[i] & ISW_CELL_VALID) != 0, !isnan(tmin->month[0][cell]));
    if (!(flags[i] & ISW_CELL_VALID)) continue;
    valid++;
    for (int m = 0; m < MONTHS; m++) {
      worst_K =
          fmax(worst_K, fabs((double)(normals[i * ISW_CELL_NORMALS + m] - tmin->month[m][cell])));
      worst_K =
          fmax(worst_K,
               fabs((double)(normals[i * ISW_CELL_NORMALS + MONTHS + m] - tmax->month[m][cell])));
    }
  }
  ck_assert_int_eq(valid, CELLS - 511);
  ck_assert_double_le(worst_K, form->packed ? 0.00502 : form->shift != 0.0 ? 3.1e-5 : 0.0);
  /* A place west of Greenwich finds its cell whatever the grid counts. */
  struct isw_locator *locator;
  double col, row;
  ck_assert_int_eq(isw_climate_new_locator(grid, &locator, &error), ISW_OK);
  ck_assert(isw_climate_find_cell(locator, 39.0, -105.25, &col, &row));
  ck_assert_double_eq_tol(col, (-105.25 - colorado_transform[0]) / colorado_transform[1], 1e-6);
  isw_climate_free_locator(locator);
  isw_climate_free(climate);
  unlink(tmin_path);
  unlink(tmax_path);
  g_free(normals);
  g_free(flags);
  g_free(tmin_path);
  g_free(tmax_path);
  g_free(tmin);
  g_free(tmax);
}
END_TEST

START_TEST(several_variables) {
  GDALAllRegister();
  struct netcdf_form form = forms[1];
  form.second_variable = true;
  struct normals *tmin = read_colorado("tmin.tif");
  const char *path = TEST_BINARY_DIR "/several.nc";
  write_netcdf(path, tmin, "tasmin", &form);
  struct isw_climate_request request = {.tmin = path, .tmax = COLORADO "tmax.tif"};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_INPUT_DOUBT);
  ck_assert_msg(strstr(error.text, "‹var›") != NULL && strstr(error.text, "tasmin") != NULL &&
                    strstr(error.text, "other") != NULL,
                "%s", error.text);
  request.variable = "missing";
  ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "no variable missing") != NULL, "%s", error.text);
  request.variable = "tasmin";
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  isw_climate_free(climate);
  unlink(path);
  g_free(tmin);
}
END_TEST

/* As GDAL's netCDF driver copies a raster of twelve bands: Band1 .. Band12, a variable each. */
START_TEST(a_variable_for_each_month) {
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  const struct raster_form form = {.format = "netCDF", .unit = "", .nodata = -9999};
  make_raster(tmin, &form, TEST_BINARY_DIR "/tmin_bands.nc");
  make_raster(tmax, &form, TEST_BINARY_DIR "/tmax_bands.nc");
  static const char tmin_src[] = "NETCDF:\"" TEST_BINARY_DIR "/tmin_bands.nc\":Band{month}";
  static const char tmax_src[] = "NETCDF:\"" TEST_BINARY_DIR "/tmax_bands.nc\":Band{month}";
  struct isw_climate_request request = {
      .tmin = tmin_src, .tmax = tmax_src, .unit = ISW_UNIT_C, .crs = "EPSG:4326"};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  enum { CELL = 60 * COLS + 100 };
  float normals[ISW_CELL_NORMALS];
  uint8_t flags;
  bool south_up = isw_climate_grid(climate)->transform[5] > 0.0;
  ck_assert_int_eq(
      isw_climate_read_block(climate, CELL % COLS, south_up ? ROWS - 1 - CELL / COLS : CELL / COLS,
                             1, 1, normals, &flags, &error),
      ISW_OK);
  for (int m = 0; m < MONTHS; m++) {
    ck_assert_double_eq((double)normals[m], (double)tmin->month[m][CELL]);
    ck_assert_double_eq((double)normals[MONTHS + m], (double)tmax->month[m][CELL]);
  }
  isw_climate_free(climate);
  /* The file itself, and with a variable of one band: what to write is said, --var only where it
   * leads somewhere. */
  request.tmin = TEST_BINARY_DIR "/tmin_bands.nc";
  const char *const variables[] = {NULL, "Band3"};
  for (size_t i = 0; i < G_N_ELEMENTS(variables); i++) {
    request.variable = variables[i];
    ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_INPUT_CONTENT);
    char *advice = g_strdup_printf("give '%s'", tmin_src);
    ck_assert_msg(strstr(error.text, advice) != NULL, "%s", error.text);
    ck_assert_msg(strstr(error.text, "‹var›") == NULL, "%s", error.text);
    g_free(advice);
  }
  unlink(TEST_BINARY_DIR "/tmin_bands.nc");
  unlink(TEST_BINARY_DIR "/tmax_bands.nc");
  g_free(tmin);
  g_free(tmax);
}
END_TEST

/* Real: Debian package ferret-datasets, COADS climatology; a mean over the oceans with cells that
 * have only some months. What it holds is checked against GDAL reading it alone. */
START_TEST(ocean_climatology) {
  GDALAllRegister();
  static const char *const places[] = {TEST_SHARED_DATA "/ocean/coads_airt.nc",
                                       "/usr/share/ferret-vis/data/coads_climatology.cdf"};
  const char *path = NULL;
  for (size_t i = 0; i < G_N_ELEMENTS(places) && path == NULL; i++)
    if (access(places[i], R_OK) == 0) path = places[i];
  if (path == NULL) {
    printf("skipped: no ocean climatology (Debian package ferret-datasets)\n");
    return;
  }
  struct isw_climate_request request = {.mean = path, .range = "6", .variable = "AIRT"};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  enum { OCEAN_COLS = 180, OCEAN_ROWS = 90, OCEAN_CELLS = OCEAN_COLS * OCEAN_ROWS };
  const struct isw_grid *grid = isw_climate_grid(climate);
  ck_assert_int_eq(grid->width, OCEAN_COLS);
  ck_assert_int_eq(grid->height, OCEAN_ROWS);
  float *normals = g_new(float, (gsize)OCEAN_CELLS *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, OCEAN_CELLS);
  status = isw_climate_read_block(climate, 0, 0, OCEAN_COLS, OCEAN_ROWS, normals, flags, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  float *truth = g_new(float, (gsize)OCEAN_CELLS *MONTHS);
  char *direct = g_strdup_printf("NETCDF:\"%s\":AIRT", path);
  GDALDatasetH dataset = GDALOpen(direct, GA_ReadOnly);
  ck_assert_ptr_nonnull(dataset);
  ck_assert_int_eq(
      GDALDatasetRasterIOEx(dataset, GF_Read, 0, 0, OCEAN_COLS, OCEAN_ROWS, truth, OCEAN_COLS,
                            OCEAN_ROWS, GDT_Float32, MONTHS, NULL, sizeof(float) * MONTHS,
                            sizeof(float) * MONTHS * OCEAN_COLS, sizeof(float), NULL),
      CE_None);
  GDALClose(dataset);
  int whole = 0, partial = 0, empty = 0;
  for (int i = 0; i < OCEAN_CELLS; i++) {
    int have = 0;
    for (int m = 0; m < MONTHS; m++) have += truth[i * MONTHS + m] > -1e30f;
    whole += have == MONTHS;
    empty += have == 0;
    partial += have > 0 && have < MONTHS;
    ck_assert_int_eq((flags[i] & ISW_CELL_VALID) != 0, have == MONTHS);
    ck_assert_int_eq((flags[i] & ISW_CELL_SOUTH) != 0, i / OCEAN_COLS >= OCEAN_ROWS / 2);
    if (have != MONTHS) continue;
    for (int m = 0; m < MONTHS; m++)
      ck_assert_double_eq_tol((double)normals[i * ISW_CELL_NORMALS + m],
                              (double)truth[i * MONTHS + m] - 3.0, 1e-5);
  }
  struct isw_climate_counts counts = isw_climate_get_counts(climate);
  ck_assert_int_eq(counts.valid, whole);
  ck_assert_int_eq(counts.partial, partial);
  ck_assert_int_eq(counts.empty, empty);
  ck_assert_int_gt(partial, 1000);
  /* 20..380: 150 W is 210 E, column 95 */
  struct isw_locator *locator;
  double col, row, lat, lon;
  ck_assert_int_eq(isw_climate_new_locator(grid, &locator, &error), ISW_OK);
  ck_assert(isw_climate_find_cell(locator, 44.2, -150.1, &col, &row));
  ck_assert_double_eq_tol(col, (360.0 - 150.1 - 20.0) / 2.0, 1e-9);
  ck_assert_double_eq_tol(row, (90.0 - 44.2) / 2.0, 1e-9);
  ck_assert(isw_climate_locate_cell(locator, col, row, &lat, &lon));
  ck_assert_double_eq_tol(lon, -150.1, 1e-9);
  ck_assert(isw_climate_find_cell(locator, 0, 10, &col, &row));
  ck_assert_double_eq_tol(col, 175.0, 1e-9);
  isw_climate_free_locator(locator);
  isw_climate_free(climate);
  g_free(direct);
  g_free(truth);
  g_free(normals);
  g_free(flags);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("netCDF sources");
  TCase *all = tcase_create("all");
  tcase_set_timeout(all, 60);
  tcase_add_loop_test(all, every_form, 0, (int)G_N_ELEMENTS(forms));
  tcase_add_test(all, several_variables);
  tcase_add_test(all, a_variable_for_each_month);
  tcase_add_test(all, ocean_climatology);
  suite_add_tcase(suite, all);
  return suite;
}

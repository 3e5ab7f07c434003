/* Rotated poles: the sign of latitude, and where a cell lies, by the rotation's own formula (CF
 * Conventions 1.10, appendix F; spherical trigonometry: with the pole at latitude p,
 * sin(lat) = sin(p) sin(rlat) + cos(p) cos(rlat) cos(rlon)). */
#include <glib/gstdio.h>
#include <unistd.h>

#include "climate/climate.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/rotated_"

/* So that the equator crosses the grid. */
static const double pole_lat_deg = 20.0, pole_lon_deg = -162.0;

static double true_lat_deg(double rlat_deg, double rlon_deg) {
  double p = pole_lat_deg * G_PI / 180, y = rlat_deg * G_PI / 180, x = rlon_deg * G_PI / 180;
  return asin(sin(p) * sin(y) + cos(p) * cos(y) * cos(x)) * 180 / G_PI;
}

/* Flags and places of all cells against the formula; the grid is that of Colorado, taken for
 * rotated degrees. */
static void check_cells(struct isw_climate *climate) {
  const struct isw_grid *grid = isw_climate_grid(climate);
  ck_assert(!grid->geographic);
  for (int k = 0; k < 6; k++)
    ck_assert_double_eq_tol(grid->transform[k], colorado_transform[k], 1e-6);
  float *normals = g_new(float, (gsize)CELLS *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, CELLS);
  struct isw_error error = {0};
  enum isw_status status =
      isw_climate_read_block(climate, 0, 0, COLS, ROWS, normals, flags, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  struct isw_locator *locator;
  ck_assert_int_eq(isw_climate_new_locator(grid, &locator, &error), ISW_OK);
  int south = 0;
  for (int i = 0; i < CELLS; i++) {
    double col = i % COLS + 0.5, row = i / COLS + 0.5, lat, lon;
    double wanted = true_lat_deg(colorado_transform[3] + row * colorado_transform[5],
                                 colorado_transform[0] + col * colorado_transform[1]);
    if (fabs(wanted) > 1e-6) ck_assert_int_eq((flags[i] & ISW_CELL_SOUTH) != 0, wanted < 0);
    south += wanted < 0;
    if (i % 97 != 0) continue;
    ck_assert(isw_climate_locate_cell(locator, col, row, &lat, &lon));
    ck_assert_double_eq_tol(lat, wanted, 1e-6);
    double found_col, found_row;
    ck_assert(isw_climate_find_cell(locator, lat, lon, &found_col, &found_row));
    ck_assert_double_eq_tol(found_col, col, 1e-4);
    ck_assert_double_eq_tol(found_row, row, 1e-4);
  }
  ck_assert_int_gt(south, CELLS / 10);
  ck_assert_int_lt(south, CELLS - CELLS / 10);
  /* 1/24 degree of the rotated sphere, at any true latitude; on the ellipsoid within 1 %. */
  double side_m = 6371008.8 * colorado_transform[1] * G_PI / 180;
  double rlat_deg = colorado_transform[3] + 60.5 * colorado_transform[5];
  ck_assert_double_eq_tol(isw_climate_cell_area_m2(locator, 100, 60),
                          side_m * side_m * cos(rlat_deg * G_PI / 180), 0.01 * side_m * side_m);
  isw_climate_free_locator(locator);
  g_free(normals);
  g_free(flags);
}

/* A raster whose CRS says it: before, its row coordinate was taken for the latitude. */
START_TEST(a_derived_crs) {
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  const struct raster_form form = {.nodata = -9999};
  make_raster(tmin, &form, MEMORY "tmin.tif");
  make_raster(tmax, &form, MEMORY "tmax.tif");
  char *crs = g_strdup_printf(
      "+proj=ob_tran +o_proj=longlat +o_lon_p=0 +o_lat_p=%g +lon_0=%g +R=6371229 +no_defs",
      pole_lat_deg, pole_lon_deg + 180);
  struct isw_climate_request request = {
      .tmin = MEMORY "tmin.tif", .tmax = MEMORY "tmax.tif", .crs = crs};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  check_cells(climate);
  isw_climate_free(climate);
  g_free(crs);
  g_free(tmin);
  g_free(tmax);
}
END_TEST

static GDALMDArrayH new_array(GDALGroupH group, const char *name, size_t n,
                              GDALDimensionH *dimensions, GDALDataType type) {
  GDALExtendedDataTypeH data_type = GDALExtendedDataTypeCreate(type);
  GDALMDArrayH array = GDALGroupCreateMDArray(group, name, n, dimensions, data_type, NULL);
  ck_assert_msg(array != NULL, "%s", CPLGetLastErrorMsg());
  GDALExtendedDataTypeRelease(data_type);
  return array;
}

static void say(GDALMDArrayH array, const char *key, const char *text) {
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreateString(0);
  GDALAttributeH attribute = GDALMDArrayCreateAttribute(array, key, 0, NULL, type, NULL);
  GDALAttributeWriteString(attribute, text);
  GDALAttributeRelease(attribute);
  GDALExtendedDataTypeRelease(type);
}

static void say_number(GDALMDArrayH array, const char *key, double value) {
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(GDT_Float64);
  GDALAttributeH attribute = GDALMDArrayCreateAttribute(array, key, 0, NULL, type, NULL);
  GDALAttributeWriteDouble(attribute, value);
  GDALAttributeRelease(attribute);
  GDALExtendedDataTypeRelease(type);
}

static GDALDimensionH write_axis(GDALGroupH group, const char *name, size_t n, const double *values,
                                 const char *units, const char *standard_name, const char *axis) {
  GDALDimensionH dimension = GDALGroupCreateDimension(group, name, NULL, NULL, n, NULL);
  GDALMDArrayH array = new_array(group, name, 1, &dimension, GDT_Float64);
  say(array, "units", units);
  say(array, "standard_name", standard_name);
  if (axis != NULL) say(array, "axis", axis);
  const GUInt64 start = 0;
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(GDT_Float64);
  ck_assert(GDALMDArrayWrite(array, &start, &n, NULL, NULL, type, values, NULL, 0));
  GDALExtendedDataTypeRelease(type);
  GDALMDArrayRelease(array);
  return dimension;
}

struct axis_form {
  bool said;        /* axis = "X", "Y" */
  bool north_first; /* rows in the file */
};

/* As regional models write them. */
static void write_rotated(const char *path, const struct normals *normals,
                          const struct axis_form *form) {
  unlink(path);
  GDALDatasetH dataset =
      GDALCreateMultiDimensional(GDALGetDriverByName("netCDF"), path, NULL, NULL);
  ck_assert_msg(dataset != NULL, "%s", CPLGetLastErrorMsg());
  GDALGroupH group = GDALDatasetGetRootGroup(dataset);
  double times[MONTHS], lats[ROWS], lons[COLS];
  for (int t = 0; t < MONTHS; t++) times[t] = t + 1;
  for (int j = 0; j < ROWS; j++)
    lats[form->north_first ? j : ROWS - 1 - j] =
        colorado_transform[3] + (j + 0.5) * colorado_transform[5];
  for (int i = 0; i < COLS; i++)
    lons[i] = colorado_transform[0] + (i + 0.5) * colorado_transform[1];
  GDALDimensionH dimensions[3] = {
      write_axis(group, "month", MONTHS, times, "1", "time", NULL),
      write_axis(group, "rlat", ROWS, lats, "degrees", "grid_latitude", form->said ? "Y" : NULL),
      write_axis(group, "rlon", COLS, lons, "degrees", "grid_longitude", form->said ? "X" : NULL)};
  GDALMDArrayH mapping = new_array(group, "rotated_pole", 0, NULL, GDT_Int32);
  say(mapping, "grid_mapping_name", "rotated_latitude_longitude");
  say_number(mapping, "grid_north_pole_latitude", pole_lat_deg);
  say_number(mapping, "grid_north_pole_longitude", pole_lon_deg);
  say_number(mapping, "earth_radius", 6371229);
  GDALMDArrayRelease(mapping);
  GDALMDArrayH array = new_array(group, "tas", 3, dimensions, GDT_Float32);
  GDALMDArraySetUnit(array, "degC");
  say(array, "grid_mapping", "rotated_pole");
  GDALMDArraySetNoDataValueAsDouble(array, -9999);
  float *values = g_new(float, (gsize)MONTHS *CELLS);
  for (int t = 0; t < MONTHS; t++)
    for (int i = 0; i < CELLS; i++) {
      int row = form->north_first ? i / COLS : ROWS - 1 - i / COLS;
      float value = normals->month[t][row * COLS + i % COLS];
      values[(size_t)t * CELLS + (size_t)i] = isnan(value) ? -9999.0f : value;
    }
  const GUInt64 start[3] = {0, 0, 0};
  const size_t count[3] = {MONTHS, ROWS, COLS};
  GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(GDT_Float32);
  ck_assert(GDALMDArrayWrite(array, start, count, NULL, NULL, type, values, NULL, 0));
  GDALExtendedDataTypeRelease(type);
  GDALMDArrayRelease(array);
  for (int k = 0; k < 3; k++) GDALDimensionRelease(dimensions[k]);
  GDALGroupRelease(group);
  GDALClose(dataset);
  g_free(values);
}

static const struct axis_form axis_forms[] = {{false, false}, {true, false}, {true, true}};

START_TEST(a_netcdf_of_a_regional_model) {
  struct normals *tmin = read_colorado("tmin.tif"), *tmax = read_colorado("tmax.tif");
  static const char tmin_path[] = TEST_BINARY_DIR "/rotated_tmin.nc";
  static const char tmax_path[] = TEST_BINARY_DIR "/rotated_tmax.nc";
  write_rotated(tmin_path, tmin, &axis_forms[_i]);
  write_rotated(tmax_path, tmax, &axis_forms[_i]);
  struct isw_climate_request request = {.tmin = tmin_path, .tmax = tmax_path};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  check_cells(climate);
  enum { CELL = 60 * COLS + 100 };
  float normals[ISW_CELL_NORMALS];
  uint8_t flags;
  ck_assert_int_eq(
      isw_climate_read_block(climate, CELL % COLS, CELL / COLS, 1, 1, normals, &flags, &error),
      ISW_OK);
  for (int m = 0; m < MONTHS; m++)
    ck_assert_double_eq((double)normals[m], (double)tmin->month[m][CELL]);
  isw_climate_free(climate);
  unlink(tmin_path);
  unlink(tmax_path);
  g_free(tmin);
  g_free(tmax);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("rotated pole");
  TCase *all = tcase_create("all");
  tcase_add_test(all, a_derived_crs);
  tcase_add_loop_test(all, a_netcdf_of_a_regional_model, 0, (int)G_N_ELEMENTS(axis_forms));
  suite_add_tcase(suite, all);
  return suite;
}

/* Bringing coarse normals to a fine elevation. The outside: a field that is linear in longitude,
 * latitude and height, whose answer is known in closed form; and real stations left out of the
 * normals (185 of Colorado, Debian package r-cran-fields), against the published lapse rates:
 * 5.7 K/km from those stations, 3.9-5.2 in the Cascades (Minder et al. 2010, JGR 115 D14122),
 * 6.5 in the standard atmosphere (ISO 2533). */
#include <stdio.h>

#include "climate/climate.h"
#include "climate/stations.h"
#include "raster_maker.h"
#include "suite_main.h"

#define MEMORY "/vsimem/elevation/"

struct place_grid {
  int width, height;
  double transform[6];
  const char *crs;
};

static const struct place_grid coarse_grid = {24, 20, {-109, 0.25, 0, 41, 0, -0.25}, "EPSG:4326"};

static OGRCoordinateTransformationH to_degrees(const char *crs) {
  OGRSpatialReferenceH from = OSRNewSpatialReference(NULL), to = OSRNewSpatialReference(NULL);
  OSRSetFromUserInput(from, crs);
  OSRImportFromEPSG(to, 4326);
  OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
  OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
  OGRCoordinateTransformationH made = OCTNewCoordinateTransformation(from, to);
  OSRDestroySpatialReference(from);
  OSRDestroySpatialReference(to);
  return made;
}

/* value(band, lon, lat) at every cell centre; NAN is nodata. */
static void write_grid(const char *path, const struct place_grid *grid, int bands, const char *unit,
                       double (*value)(int band, double lon, double lat, void *context),
                       void *context) {
  GDALDatasetH dataset = GDALCreate(GDALGetDriverByName("GTiff"), path, grid->width, grid->height,
                                    bands, GDT_Float32, NULL);
  GDALSetGeoTransform(dataset, (double *)grid->transform);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRSetFromUserInput(crs, grid->crs);
  GDALSetSpatialRef(dataset, crs);
  OSRDestroySpatialReference(crs);
  OGRCoordinateTransformationH way = to_degrees(grid->crs);
  float *values = g_new(float, (gsize)(grid->width * grid->height));
  for (int b = 0; b < bands; b++) {
    for (int i = 0; i < grid->width * grid->height; i++) {
      double x = grid->transform[0] + (i % grid->width + 0.5) * grid->transform[1];
      double y = grid->transform[3] + (i / grid->width + 0.5) * grid->transform[5];
      ck_assert(OCTTransform(way, 1, &x, &y, NULL));
      if (x > 180) x -= 360;
      double v = value(b, x, y, context);
      values[i] = isnan(v) ? -9999.0f : (float)v;
    }
    GDALRasterBandH band = GDALGetRasterBand(dataset, b + 1);
    GDALSetRasterNoDataValue(band, -9999);
    GDALSetRasterUnitType(band, unit);
    ck_assert_int_eq(GDALRasterIO(band, GF_Write, 0, 0, grid->width, grid->height, values,
                                  grid->width, grid->height, GDT_Float32, 0, 0),
                     CE_None);
  }
  g_free(values);
  OCTDestroyCoordinateTransformation(way);
  GDALClose(dataset);
}

static double coarse_height(int band, double lon, double lat, void *context) {
  (void)band;
  (void)context;
  return 1500 + 700 * sin(7 * lon) * cos(5 * lat);
}

static double fine_height(int band, double lon, double lat, void *context) {
  (void)band;
  (void)context;
  return 1400 + 900 * sin(31 * lon) * sin(29 * lat);
}

/* Lapse rate of month m (K/km) and sea-level temperature: linear in place. */
static double lapse_of(int k) {
  return 3.0 + 0.15 * k;
}

static double sea_level(int k, double lon, double lat) {
  return 12 + k * 0.3 + (k >= MONTHS ? 8 : 0) - 0.8 * (lat - 39) + 0.3 * (lon + 106);
}

static double coarse_normal(int band, double lon, double lat, void *context) {
  int k = band + *(const int *)context;
  return sea_level(k, lon, lat) - lapse_of(k) / 1000 * coarse_height(0, lon, lat, NULL);
}

static double coarse_with_hole(int band, double lon, double lat, void *context) {
  if (fabs(lon + 106.125) < 0.01 && fabs(lat - 38.875) < 0.01) return NAN;
  return coarse_normal(band, lon, lat, context);
}

static const struct place_grid fine_grids[] = {
    {96, 80, {-108.5, 0.05, 0, 40.5, 0, -0.05}, "EPSG:4326"},
    {96, 80, {251.5, 0.05, 0, 40.5, 0, -0.05}, "EPSG:4326"},      /* the same, 0..360 */
    {60, 60, {-107.0, 0.05, 0, 37.5, 0, 0.05}, "EPSG:4326"},      /* south up */
    {70, 80, {350000, 4000, 0, 4450000, 0, -4000}, "EPSG:32613"}, /* another CRS */
};

static char *lapse_list(void) {
  GString *list = g_string_new(NULL);
  for (int k = 0; k < ISW_CELL_NORMALS; k++)
    g_string_append_printf(list, "%s%.2f", k > 0 ? "," : "", lapse_of(k));
  return g_string_free(list, FALSE);
}

static void write_linear_field(bool hole) {
  GDALAllRegister();
  int lower = 0, upper = MONTHS;
  write_grid(MEMORY "tmin.tif", &coarse_grid, MONTHS, "degC",
             hole ? coarse_with_hole : coarse_normal, &lower);
  write_grid(MEMORY "tmax.tif", &coarse_grid, MONTHS, "degC", coarse_normal, &upper);
  write_grid(MEMORY "coarse.tif", &coarse_grid, 1, "m", coarse_height, NULL);
}

static struct isw_climate *open_lifted(const char *lapse, const char *monthly) {
  struct isw_climate_request request = {.tmin = MEMORY "tmin.tif",
                                        .tmax = MEMORY "tmax.tif",
                                        .elevation = MEMORY "fine.tif",
                                        .normals_elevation = MEMORY "coarse.tif",
                                        .lapse = lapse,
                                        .lapse_monthly = monthly};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  enum isw_status status = isw_climate_open(&request, NULL, &climate, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  return climate;
}

START_TEST(linear_field) {
  write_linear_field(false);
  const struct place_grid *fine = &fine_grids[_i];
  write_grid(MEMORY "fine.tif", fine, 1, "m", fine_height, NULL);
  char *monthly = lapse_list();
  struct isw_climate *climate = open_lifted(NULL, monthly);
  const struct isw_grid *grid = isw_climate_grid(climate);
  ck_assert_int_eq(grid->width, fine->width);
  ck_assert_int_eq(grid->height, fine->height);
  ck_assert_double_eq(grid->transform[0], fine->transform[0]);
  int n = fine->width * fine->height;
  float *normals = g_new(float, (gsize)n *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, (gsize)n);
  struct isw_error error = {0};
  enum isw_status status =
      isw_climate_read_block(climate, 0, 0, fine->width, fine->height, normals, flags, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  OGRCoordinateTransformationH way = to_degrees(fine->crs);
  double worst_K = 0;
  for (int i = 0; i < n; i++) {
    ck_assert_int_eq(flags[i], ISW_CELL_VALID);
    double lon = fine->transform[0] + (i % fine->width + 0.5) * fine->transform[1];
    double lat = fine->transform[3] + (i / fine->width + 0.5) * fine->transform[5];
    ck_assert(OCTTransform(way, 1, &lon, &lat, NULL));
    if (lon > 180) lon -= 360;
    double height = fine_height(0, lon, lat, NULL);
    for (int k = 0; k < ISW_CELL_NORMALS; k++)
      worst_K = fmax(worst_K, fabs(sea_level(k, lon, lat) - lapse_of(k) / 1000 * height -
                                   (double)normals[i * ISW_CELL_NORMALS + k]));
  }
  ck_assert_double_le(worst_K, 2e-5); /* floats of 2,000 m and 30 degC */
  OCTDestroyCoordinateTransformation(way);
  isw_climate_free(climate);
  g_free(monthly);
  g_free(normals);
  g_free(flags);
}
END_TEST

/* Cells inside the hole have no data; cells beside it do. */
START_TEST(a_hole_in_the_normals) {
  write_linear_field(true);
  write_grid(MEMORY "fine.tif", &fine_grids[0], 1, "m", fine_height, NULL);
  struct isw_climate *climate = open_lifted("4", NULL);
  /* The hole is the coarse cell -106.25..-106, 38.75..39; fine cells of 0.05 degrees: columns 45 to
   * 49, rows 30 to 34. */
  enum { SIDE = 7, FIRST_COL = 44, FIRST_ROW = 29 };
  float normals[SIDE * SIDE * ISW_CELL_NORMALS];
  uint8_t flags[SIDE * SIDE];
  struct isw_error error = {0};
  ck_assert_int_eq(
      isw_climate_read_block(climate, FIRST_COL, FIRST_ROW, SIDE, SIDE, normals, flags, &error),
      ISW_OK);
  for (int i = 0; i < SIDE * SIDE; i++) {
    int col = i % SIDE, row = i / SIDE;
    bool inside = col >= 1 && col <= 5 && row >= 1 && row <= 5;
    ck_assert_int_eq((flags[i] & ISW_CELL_VALID) != 0, !inside);
  }
  isw_climate_free(climate);
}
END_TEST

START_TEST(same_elevation_changes_nothing) {
  GDALAllRegister();
  struct isw_climate_request request = {.tmin = COLORADO "tmin.tif",
                                        .tmax = COLORADO "tmax.tif",
                                        .elevation = COLORADO "elevation.tif",
                                        .normals_elevation = COLORADO "elevation.tif"};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  ck_assert_msg(isw_climate_open(&request, NULL, &climate, &error) == ISW_OK, "%s", error.text);
  struct normals *tmin = read_colorado("tmin.tif");
  float *normals = g_new(float, (gsize)CELLS *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, CELLS);
  ck_assert_int_eq(isw_climate_read_block(climate, 0, 0, COLS, ROWS, normals, flags, &error),
                   ISW_OK);
  double worst_K = 0;
  for (int i = 0; i < CELLS; i++) {
    ck_assert_int_eq(flags[i] & ISW_CELL_VALID, !isnan(tmin->month[0][i]));
    if (flags[i] & ISW_CELL_VALID)
      worst_K = fmax(worst_K, fabs((double)(normals[i * ISW_CELL_NORMALS] - tmin->month[0][i])));
  }
  ck_assert_double_le(worst_K, 2e-5);
  isw_climate_free(climate);
  g_free(tmin);
  g_free(normals);
  g_free(flags);
}
END_TEST

START_TEST(fine_must_be_fine_and_grids_the_same) {
  write_linear_field(false);
  const struct place_grid coarser = {10, 8, {-109, 0.5, 0, 41, 0, -0.5}, "EPSG:4326"};
  write_grid(MEMORY "fine.tif", &coarser, 1, "m", fine_height, NULL);
  struct isw_climate_request request = {.tmin = MEMORY "tmin.tif",
                                        .tmax = MEMORY "tmax.tif",
                                        .elevation = MEMORY "fine.tif",
                                        .normals_elevation = MEMORY "coarse.tif"};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "larger than the normals'") != NULL, "%s", error.text);
  write_grid(MEMORY "fine.tif", &fine_grids[0], 1, "m", fine_height, NULL);
  request.normals_elevation = MEMORY "fine.tif";
  ck_assert_int_eq(isw_climate_open(&request, NULL, &climate, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "not on the same grid") != NULL, "%s", error.text);
}
END_TEST

/* Leave-out: coarse normals and their elevation are inverse-distance means of one half of the
 * stations, so they hold no elevation effect of their own; the other half judges. */
struct half {
  const struct isw_stations *stations;
  int remainder; /* stations whose index has it make the normals */
  bool upper;
};

static double spread_stations(const struct half *half, double lon, double lat, int month) {
  double sum = 0, weights = 0;
  for (int s = half->remainder; s < half->stations->count; s += 2) {
    const struct isw_station *station = &half->stations->items[s];
    double east = (station->lon_deg - lon) * cos(lat * G_PI / 180), north = station->lat_deg - lat;
    double weight = 1 / (east * east + north * north + 0.01);
    sum += weight * (month < 0     ? station->elevation_m
                     : half->upper ? station->tmax_C[month]
                                   : station->tmin_C[month]);
    weights += weight;
  }
  return sum / weights;
}

static double station_normal(int band, double lon, double lat, void *context) {
  return spread_stations(context, lon, lat, band);
}

static double station_height(int band, double lon, double lat, void *context) {
  (void)band;
  return spread_stations(context, lon, lat, -1);
}

static struct isw_stations *read_stations(void) {
  char *text = NULL;
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert(g_file_get_contents(COLORADO "stations.csv", &text, NULL, NULL));
  char *renamed = g_strconcat("name,town,", text + strlen("id,name,"), NULL);
  enum isw_status status = isw_climate_parse_stations("stations.csv", renamed, strlen(renamed),
                                                      ISW_UNIT_C, true, NULL, &stations, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  g_free(renamed);
  g_free(text);
  return stations;
}

/* Sum of squared errors at the stations left out. */
static double judge(const struct half *half, const char *lapse, const char *monthly, int *count) {
  struct isw_climate_request request = {.tmin = MEMORY "tmin.tif",
                                        .tmax = MEMORY "tmax.tif",
                                        .elevation = COLORADO "elevation.tif",
                                        .normals_elevation = MEMORY "coarse.tif",
                                        .lapse = lapse,
                                        .lapse_monthly = monthly};
  struct isw_error error = {0};
  struct isw_climate *climate = NULL;
  ck_assert_msg(isw_climate_open(&request, NULL, &climate, &error) == ISW_OK, "%s", error.text);
  struct isw_locator *locator;
  ck_assert_int_eq(isw_climate_new_locator(isw_climate_grid(climate), &locator, &error), ISW_OK);
  double squares = 0;
  for (int s = 1 - half->remainder; s < half->stations->count; s += 2) {
    const struct isw_station *station = &half->stations->items[s];
    double col, row;
    float normals[ISW_CELL_NORMALS];
    uint8_t flags;
    if (!isw_climate_find_cell(locator, station->lat_deg, station->lon_deg, &col, &row)) continue;
    ck_assert_int_eq(
        isw_climate_read_block(climate, (int)col, (int)row, 1, 1, normals, &flags, &error), ISW_OK);
    if (!(flags & ISW_CELL_VALID)) continue;
    for (int m = 0; m < MONTHS; m++) {
      squares += pow((double)normals[m] - station->tmin_C[m], 2);
      squares += pow((double)normals[m + MONTHS] - station->tmax_C[m], 2);
      *count += 2;
    }
  }
  isw_climate_free_locator(locator);
  isw_climate_free(climate);
  return squares;
}

START_TEST(stations_left_out) {
  GDALAllRegister();
  const struct place_grid half_degree = {18, 11, {-109.75, 0.5, 0, 41.75, 0, -0.5}, "EPSG:4326"};
  /* Colorado by month as far as published here: winter 4.2 and 3.1, summer 7.1 and 7.3, the yearly
   * mean between. */
  static const char monthly[] =
      "4.2,4.2,5.7,5.7,5.7,7.1,7.1,7.1,5.7,5.7,5.7,4.2,"
      "3.1,3.1,5.7,5.7,5.7,7.3,7.3,7.3,5.7,5.7,5.7,3.1";
  static const struct {
    const char *lapse, *monthly;
  } tried[] = {{"0", NULL},   {"3.9", NULL}, {"5.2", NULL},  {NULL, NULL},
               {"6.5", NULL}, {"9.8", NULL}, {NULL, monthly}};
  enum { NONE, LOW_CASCADES, HIGH_CASCADES, DEFAULT, STANDARD, DRY, MONTHLY, TRIED };
  double rmse[TRIED];
  struct isw_stations *stations = read_stations();
  double squares[TRIED] = {0};
  int count[TRIED] = {0};
  for (int remainder = 0; remainder < 2; remainder++) {
    struct half lower = {stations, remainder, false}, upper = {stations, remainder, true};
    write_grid(MEMORY "tmin.tif", &half_degree, MONTHS, "degC", station_normal, &lower);
    write_grid(MEMORY "tmax.tif", &half_degree, MONTHS, "degC", station_normal, &upper);
    write_grid(MEMORY "coarse.tif", &half_degree, 1, "m", station_height, &lower);
    for (int t = 0; t < TRIED; t++)
      squares[t] += judge(&lower, tried[t].lapse, tried[t].monthly, &count[t]);
  }
  for (int t = 0; t < TRIED; t++) rmse[t] = sqrt(squares[t] / count[t]);
  printf(
      "stations left out, RMSE in K over %d values: without lapse %.2f, 3.9 K/km %.2f, 5.2 %.2f, "
      "default %.2f, 6.5 %.2f, 9.8 %.2f, monthly %.2f\n",
      count[0], rmse[NONE], rmse[LOW_CASCADES], rmse[HIGH_CASCADES], rmse[DEFAULT], rmse[STANDARD],
      rmse[DRY], rmse[MONTHLY]);
  ck_assert_int_gt(count[0], 150 * 24);
  ck_assert_double_lt(rmse[DEFAULT], 0.7 * rmse[NONE]);
  ck_assert_double_lt(rmse[DEFAULT], rmse[LOW_CASCADES]);
  ck_assert_double_lt(rmse[DEFAULT], rmse[DRY]);
  ck_assert_double_lt(rmse[MONTHLY], rmse[DEFAULT]);
  isw_climate_free_stations(stations);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("elevation");
  TCase *all = tcase_create("all");
  tcase_set_timeout(all, 60);
  tcase_add_loop_test(all, linear_field, 0, (int)G_N_ELEMENTS(fine_grids));
  tcase_add_test(all, a_hole_in_the_normals);
  tcase_add_test(all, same_elevation_changes_nothing);
  tcase_add_test(all, fine_must_be_fine_and_grids_the_same);
  tcase_add_test(all, stations_left_out);
  suite_add_tcase(suite, all);
  return suite;
}

/* The cell that answers for a place, against a plain search of the whole grid. */
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "made_up.h"
#include "suite_main.h"
#include "survey/place_cell.h"

enum { PLACES = 12 };

struct opened {
  struct isw_climate *climate;
  struct isw_locator *locator;
  const struct isw_grid *grid;
  float *normals;
  uint8_t *flags;
};

static struct opened open_grid(const char *tmin, const char *tmax) {
  struct opened opened;
  struct isw_error error;
  GDALAllRegister();
  struct isw_climate_request request = {.tmin = tmin, .tmax = tmax, .unit = ISW_UNIT_C};
  ck_assert_int_eq(isw_climate_open(&request, NULL, &opened.climate, &error), ISW_OK);
  opened.grid = isw_climate_grid(opened.climate);
  ck_assert_int_eq(isw_climate_new_locator(opened.grid, &opened.locator, &error), ISW_OK);
  size_t cells = (size_t)opened.grid->width * (size_t)opened.grid->height;
  opened.normals = g_new(float, cells *ISW_CELL_NORMALS);
  opened.flags = g_new(uint8_t, cells);
  ck_assert_int_eq(
      isw_climate_read_block(opened.climate, 0, 0, opened.grid->width, opened.grid->height,
                             opened.normals, opened.flags, &error),
      ISW_OK);
  return opened;
}

static struct opened open_island(void) {
  return open_grid(TEST_SAMPLE_DIR "/tmin.tif", TEST_SAMPLE_DIR "/tmax.tif");
}

static void close_grid(struct opened *opened) {
  isw_climate_free_locator(opened->locator);
  isw_climate_free(opened->climate);
  g_free(opened->normals);
  g_free(opened->flags);
}

/* Equirectangular distance, good to 1 % over the island's 250 km (spherical Earth). */
static double plain_km(double lat_a, double lon_a, double lat_b, double lon_b) {
  double north = (lat_b - lat_a) * 111.195;
  double east = (lon_b - lon_a) * 111.195 * cos(0.5 * (lat_a + lat_b) * G_PI / 180.0);
  return hypot(north, east);
}

static bool is_valid(const struct opened *opened, int col, int row) {
  return (opened->flags[(size_t)row * (size_t)opened->grid->width + (size_t)col] &
          ISW_CELL_VALID) != 0;
}

static double least_km(const struct opened *opened, double lat, double lon) {
  double least = INFINITY;
  for (int row = 0; row < opened->grid->height; row++) {
    for (int col = 0; col < opened->grid->width; col++) {
      double cell_lat, cell_lon;
      if (!is_valid(opened, col, row)) continue;
      ck_assert(
          isw_climate_locate_cell(opened->locator, col + 0.5, row + 0.5, &cell_lat, &cell_lon));
      least = fmin(least, plain_km(lat, lon, cell_lat, cell_lon));
    }
  }
  return least;
}

/* Every cell asked at a point inside it answers with itself and its own values. */
START_TEST(a_valid_cell_answers_for_itself) {
  struct opened opened = open_island();
  uint64_t state = 362436069U;
  int seen = 0;
  while (seen < PLACES) {
    int col = (int)made_up(&state, 0, opened.grid->width);
    int row = (int)made_up(&state, 0, opened.grid->height);
    if (!is_valid(&opened, col, row)) continue;
    double lat, lon;
    ck_assert(isw_climate_locate_cell(opened.locator, col + made_up(&state, 0.02, 0.98),
                                      row + made_up(&state, 0.02, 0.98), &lat, &lon));
    struct isw_place_cell cell;
    struct isw_error error;
    ck_assert_int_eq(isw_survey_find_place_cell(opened.climate, lat, lon, false, &cell, &error),
                     ISW_OK);
    ck_assert_int_eq(cell.col, col);
    ck_assert_int_eq(cell.row, row);
    ck_assert(!cell.moved);
    const float *normals =
        opened.normals +
        ((size_t)row * (size_t)opened.grid->width + (size_t)col) * ISW_CELL_NORMALS;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      ck_assert(cell.normals.tmin_C[m] == (double)normals[m]);
      ck_assert(cell.normals.tmax_C[m] == (double)normals[ISW_YEAR_MONTHS + m]);
    }
    seen++;
  }
  close_grid(&opened);
}
END_TEST

/* At sea: the nearest land there is; without --nearest only from next door. */
START_TEST(at_sea_the_nearest_land_answers) {
  struct opened opened = open_island();
  uint64_t state = 88675123U + (uint64_t)_i;
  int seen = 0, refused = 0;
  while (seen < PLACES) {
    int col = (int)made_up(&state, 0, opened.grid->width);
    int row = (int)made_up(&state, 0, opened.grid->height);
    if (is_valid(&opened, col, row)) continue;
    double lat, lon;
    ck_assert(isw_climate_locate_cell(opened.locator, col + 0.5, row + 0.5, &lat, &lon));
    struct isw_place_cell cell;
    struct isw_error error;
    ck_assert_int_eq(isw_survey_find_place_cell(opened.climate, lat, lon, true, &cell, &error),
                     ISW_OK);
    ck_assert(cell.moved);
    ck_assert(is_valid(&opened, cell.col, cell.row));
    double least = least_km(&opened, lat, lon);
    ck_assert_msg(fabs(cell.away_km - least) <= 0.01 * least, "%g, not %g", cell.away_km, least);
    bool next_door = abs(cell.col - col) <= 1 && abs(cell.row - row) <= 1;
    enum isw_status status =
        isw_survey_find_place_cell(opened.climate, lat, lon, false, &cell, &error);
    ck_assert_int_eq(status, next_door ? ISW_OK : ISW_USAGE);
    if (!next_door) {
      refused++;
      ck_assert_ptr_nonnull(strstr(error.text, " km away"));
    }
    seen++;
  }
  ck_assert_int_gt(refused, 0);
  close_grid(&opened);
}
END_TEST

/* Directly beside the coast the neighbour answers without being asked to. */
START_TEST(one_cell_off_the_coast_is_near_enough) {
  struct opened opened = open_island();
  int found = 0;
  for (int row = 1; row < opened.grid->height && found < PLACES; row += 7) {
    for (int col = 1; col < opened.grid->width; col++) {
      if (is_valid(&opened, col - 1, row) || !is_valid(&opened, col, row)) continue;
      double lat, lon;
      ck_assert(isw_climate_locate_cell(opened.locator, col - 0.5, row + 0.5, &lat, &lon));
      struct isw_place_cell cell;
      struct isw_error error;
      ck_assert_int_eq(isw_survey_find_place_cell(opened.climate, lat, lon, false, &cell, &error),
                       ISW_OK);
      ck_assert(cell.moved);
      ck_assert_int_le(abs(cell.col - (col - 1)), 1);
      ck_assert_int_le(abs(cell.row - row), 1);
      found++;
      break;
    }
  }
  ck_assert_int_gt(found, 5);
  close_grid(&opened);
}
END_TEST

static const struct {
  double lat_deg, lon_deg;
} outside_cases[] = {{0, 0}, {44, 149}, {89.9, 0}, {-44, -149}, {43.9, -152}, {90, 360}};

START_TEST(outside_is_refused) {
  struct opened opened = open_island();
  struct isw_place_cell cell;
  struct isw_error error;
  ck_assert_int_eq(isw_survey_find_place_cell(opened.climate, outside_cases[_i].lat_deg,
                                              outside_cases[_i].lon_deg, true, &cell, &error),
                   ISW_USAGE);
  ck_assert_ptr_nonnull(strstr(error.text, "outside the grid"));
  close_grid(&opened);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("place cell");
  TCase *core = tcase_create("place cell");
  tcase_set_timeout(core, 120);
  tcase_add_test(core, a_valid_cell_answers_for_itself);
  tcase_add_loop_test(core, at_sea_the_nearest_land_answers, 0, 3);
  tcase_add_test(core, one_cell_off_the_coast_is_near_enough);
  tcase_add_loop_test(core, outside_is_refused, 0,
                      (int)(sizeof outside_cases / sizeof outside_cases[0]));
  suite_add_tcase(suite, core);
  return suite;
}

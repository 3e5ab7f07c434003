/* Known patterns of the mountains, on every cell of a real grid: the Colorado normals of 1961-1990
 * (tests/data/colorado, which names their source). Why the patterns are as they are:
 * docs/method.md.
 */
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <string.h>

#include "suite_main.h"
#include "survey/survey.h"

enum { WIDTH = 205, HEIGHT = 119, CELLS = WIDTH * HEIGHT, RESULTS_MAX = 16 };

struct colorado {
  struct isw_sheet *sheet;
  struct isw_plan plan;
  int n_results;
  float elevation_m[CELLS]; /* NAN: none */
  bool valid[CELLS];
  int16_t bands[RESULTS_MAX][CELLS][ISW_CELL_BANDS];
};

static enum isw_status take_block(void *self, const struct isw_block *block,
                                  struct isw_error *error) {
  (void)error;
  struct colorado *colorado = self;
  size_t block_cells = (size_t)block->width * (size_t)block->height;
  for (int row = 0; row < block->height; row++)
    for (int col = 0; col < block->width; col++) {
      size_t from = (size_t)row * (size_t)block->width + (size_t)col;
      size_t to = (size_t)(block->row + row) * WIDTH + (size_t)(block->col + col);
      colorado->valid[to] = (block->flags[from] & ISW_CELL_VALID) != 0;
      for (int r = 0; r < colorado->n_results; r++)
        memcpy(colorado->bands[r][to],
               block->bands[0] + ((size_t)r * block_cells + from) * ISW_CELL_BANDS,
               sizeof colorado->bands[r][to]);
    }
  return ISW_OK;
}

static void read_elevation(struct colorado *out) {
  GDALDatasetH dataset = GDALOpen(TEST_SOURCE_DIR "/data/colorado/elevation.tif", GA_ReadOnly);
  ck_assert_ptr_nonnull(dataset);
  ck_assert_int_eq(GDALGetRasterXSize(dataset), WIDTH);
  ck_assert_int_eq(GDALGetRasterYSize(dataset), HEIGHT);
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  ck_assert_int_eq(GDALRasterIO(band, GF_Read, 0, 0, WIDTH, HEIGHT, out->elevation_m, WIDTH, HEIGHT,
                                GDT_Float32, 0, 0),
                   CE_None);
  GDALClose(dataset);
}

/* Every variety and season of the built-in sheet on the whole grid. */
static struct colorado *map_colorado(void) {
  struct colorado *colorado = g_new0(struct colorado, 1);
  struct isw_error error = {0};
  struct isw_conditions conditions = isw_growth_default_conditions();
  const struct isw_climate_request request = {.tmin = TEST_SOURCE_DIR "/data/colorado/tmin.tif",
                                              .tmax = TEST_SOURCE_DIR "/data/colorado/tmax.tif",
                                              .unit = ISW_UNIT_C};
  struct isw_climate *climate = NULL;
  GDALAllRegister();
  ck_assert_msg(isw_crop_load_sheet("napa-cabbage", &colorado->sheet, &error) == ISW_OK, "%s",
                error.text);
  isw_growth_make_plan(colorado->sheet, &conditions, 0, NULL, 0, NULL, &colorado->plan);
  colorado->n_results = colorado->plan.n_varieties * colorado->plan.n_seasons;
  ck_assert_int_le(colorado->n_results, RESULTS_MAX);
  ck_assert_msg(isw_climate_open(&request, NULL, &climate, &error) == ISW_OK, "%s", error.text);
  const struct isw_plan *plans[] = {&colorado->plan};
  const struct isw_survey_options options = {.threads = 2};
  const struct isw_sink sink = {.self = colorado, .take_block = take_block};
  ck_assert_msg(isw_survey_run(climate, 1, plans, &options, &sink, &error) == ISW_OK, "%s",
                error.text);
  isw_climate_free(climate);
  read_elevation(colorado);
  return colorado;
}

static void free_colorado(struct colorado *colorado) {
  isw_crop_free_sheet(colorado->sheet);
  g_free(colorado);
}

static int result_of(const struct colorado *colorado, const char *variety, const char *season) {
  int v = isw_crop_find_variety(colorado->sheet, variety);
  int s = isw_crop_find_season(colorado->sheet, season);
  ck_assert(v >= 0 && s >= 0);
  return isw_growth_result_index(&colorado->plan, v, s);
}

static bool has_elevation(const struct colorado *colorado, int cell, double from_m, double to_m) {
  double elevation_m = (double)colorado->elevation_m[cell];
  return colorado->valid[cell] && elevation_m >= from_m && elevation_m < to_m;
}

/* Cells of these elevations where the first result's score is above the second's. */
struct comparison {
  int cells, higher, lower;
};
static struct comparison compare(const struct colorado *colorado, int a, int b, double from_m,
                                 double to_m) {
  struct comparison sum = {0, 0, 0};
  for (int cell = 0; cell < CELLS; cell++) {
    if (!has_elevation(colorado, cell, from_m, to_m)) continue;
    int difference =
        colorado->bands[a][cell][ISW_BAND_SCORE] - colorado->bands[b][cell][ISW_BAND_SCORE];
    sum.cells++;
    sum.higher += difference > 0;
    sum.lower += difference < 0;
  }
  return sum;
}

/* None, but for the slow-bolting type sown in early summer, the quickest in the cold, on a few
 * cells just above. */
START_TEST(no_window_above_3000_m) {
  static const double no_exception_m = 3150.0, exceptions_share = 0.005;
  struct colorado *colorado = map_colorado();
  const int exception = result_of(colorado, "spring-slow-bolting", "summer");
  int high_cells = 0, low_windows = 0, exceptions = 0;
  for (int cell = 0; cell < CELLS; cell++)
    for (int r = 0; r < colorado->n_results; r++) {
      int days = colorado->bands[r][cell][ISW_BAND_WINDOW_DAYS];
      if (has_elevation(colorado, cell, 3000.0, 9000.0)) {
        high_cells++;
        if (r == exception && !has_elevation(colorado, cell, no_exception_m, 9000.0))
          exceptions += days > 0;
        else
          ck_assert_msg(days == 0, "%d days at %.0f m", days, (double)colorado->elevation_m[cell]);
      } else if (has_elevation(colorado, cell, 0.0, 3000.0)) {
        low_windows += days > 0;
      }
    }
  ck_assert_int_gt(high_cells, 1000);
  printf("%d windows above 3000 m\n", exceptions);
  ck_assert_double_le(exceptions, exceptions_share * high_cells / colorado->n_results);
  ck_assert_int_gt(low_windows, 1000);
  free_colorado(colorado);
}
END_TEST

/* Of every variety: the highest cell with a window of a week, of sowings before July and from then
 * on.
 */
START_TEST(summer_windows_reach_higher_than_autumn_windows) {
  struct colorado *colorado = map_colorado();
  for (int v = 0; v < colorado->plan.n_varieties; v++) {
    double top_m[2] = {0.0, 0.0};
    for (int i = 0; i < 2; i++) {
      int r = result_of(colorado, colorado->sheet->varieties[v].name, i == 0 ? "summer" : "autumn");
      for (int cell = 0; cell < CELLS; cell++)
        if (colorado->valid[cell] && colorado->bands[r][cell][ISW_BAND_WINDOW_DAYS] >= 7)
          top_m[i] = fmax(top_m[i], (double)colorado->elevation_m[cell]);
    }
    printf("%s: summer windows to %.0f m, autumn windows to %.0f m\n",
           colorado->sheet->varieties[v].name, top_m[0], top_m[1]);
    ck_assert_double_gt(top_m[0], top_m[1]);
  }
  free_colorado(colorado);
}
END_TEST

START_TEST(autumn_beats_summer_on_the_plains) {
  struct colorado *colorado = map_colorado();
  struct comparison sum = compare(colorado, result_of(colorado, "standard", "autumn"),
                                  result_of(colorado, "standard", "summer"), 0.0, 1300.0);
  printf("below 1300 m: autumn higher in %d of %d cells, lower in %d\n", sum.higher, sum.cells,
         sum.lower);
  ck_assert_int_gt(sum.cells, 500);
  ck_assert_int_gt(2 * sum.higher, sum.cells);
  free_colorado(colorado);
}
END_TEST

START_TEST(summer_beats_spring_for_late_storage_at_1700_to_2300_m) {
  struct colorado *colorado = map_colorado();
  struct comparison sum = compare(colorado, result_of(colorado, "late-storage", "summer"),
                                  result_of(colorado, "late-storage", "spring"), 1700.0, 2300.0);
  printf("1700-2300 m: summer higher in %d of %d cells, lower in %d\n", sum.higher, sum.cells,
         sum.lower);
  ck_assert_int_gt(sum.cells, 500);
  ck_assert_int_eq(sum.higher, sum.cells);
  free_colorado(colorado);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("Colorado patterns");
  TCase *patterns = tcase_create("patterns");
  tcase_set_timeout(patterns, 120);
  tcase_add_test(patterns, no_window_above_3000_m);
  tcase_add_test(patterns, summer_windows_reach_higher_than_autumn_windows);
  tcase_add_test(patterns, autumn_beats_summer_on_the_plains);
  tcase_add_test(patterns, summer_beats_spring_for_late_storage_at_1700_to_2300_m);
  suite_add_tcase(suite, patterns);
  return suite;
}

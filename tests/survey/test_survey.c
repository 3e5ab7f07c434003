/* The run over a grid: order, parts, failures, and that what reaches the sink is the model's own
 * answer for each cell. On the real Colorado normals (tests/data/colorado). */
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <string.h>

#include "suite_main.h"
#include "survey/survey.h"

static const char tmin_path[] = TEST_SOURCE_DIR "/data/colorado/tmin.tif";
static const char tmax_path[] = TEST_SOURCE_DIR "/data/colorado/tmax.tif";

struct collected {
  long long next_index, blocks, stop_after;
  GChecksum *checksum;
  GByteArray *first_bands; /* of block 0, plan 0 */
};

static enum isw_status collect(void *self, const struct isw_block *block, struct isw_error *error) {
  struct collected *all = self;
  ck_assert_int_eq(block->index, all->next_index);
  all->next_index++;
  size_t cells = (size_t)block->width * (size_t)block->height;
  g_checksum_update(all->checksum, block->flags, (gssize)cells);
  g_checksum_update(all->checksum, (const guchar *)block->bands[0],
                    (gssize)(cells * ISW_CELL_BANDS * sizeof(int16_t)));
  g_checksum_update(all->checksum, block->picks[0], (gssize)cells);
  if (all->first_bands != NULL && block->index == 0)
    g_byte_array_append(all->first_bands, (const guint8 *)block->bands[0],
                        (guint)(cells * ISW_CELL_BANDS * sizeof(int16_t)));
  if (++all->blocks == all->stop_after) return isw_base_fail(error, ISW_OUTPUT, "the sink is full");
  return ISW_OK;
}

/* A 400 x 300 grid of real cells, Colorado repeated: four blocks, of which three are cut. */
static char *repeat_raster(const char *source, const char *name) {
  char *path = g_strdup_printf("/vsimem/%s.tif", name);
  enum { WIDTH = 400, HEIGHT = 300 };
  GDALDatasetH in = GDALOpen(source, GA_ReadOnly);
  ck_assert_ptr_nonnull(in);
  int in_width = GDALGetRasterXSize(in), in_height = GDALGetRasterYSize(in);
  GDALDatasetH out =
      GDALCreate(GDALGetDriverByName("GTiff"), path, WIDTH, HEIGHT, 12, GDT_Float32, NULL);
  double transform[6];
  GDALGetGeoTransform(in, transform);
  GDALSetGeoTransform(out, transform);
  GDALSetProjection(out, GDALGetProjectionRef(in));
  float *row = g_new(float, (size_t)in_width);
  for (int b = 1; b <= 12; b++) {
    GDALRasterBandH from = GDALGetRasterBand(in, b), to = GDALGetRasterBand(out, b);
    GDALSetDescription(to, GDALGetDescription(from));
    GDALSetRasterUnitType(to, "degC");
    GDALSetRasterNoDataValue(to, -9999);
    for (int y = 0; y < HEIGHT; y++) {
      ck_assert_int_eq(GDALRasterIO(from, GF_Read, 0, y % in_height, in_width, 1, row, in_width, 1,
                                    GDT_Float32, 0, 0),
                       CE_None);
      for (int x = 0; x < WIDTH; x += in_width) {
        int n = MIN(in_width, WIDTH - x);
        ck_assert_int_eq(GDALRasterIO(to, GF_Write, x, y, n, 1, row, n, 1, GDT_Float32, 0, 0),
                         CE_None);
      }
    }
  }
  g_free(row);
  GDALClose(in);
  GDALClose(out);
  return path;
}

struct stage_set {
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  struct isw_climate *climate;
  char *tmin, *tmax;
};

static struct stage_set set_up(void) {
  GDALAllRegister();
  struct stage_set set = {0};
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_crop_load_sheet("napa-cabbage", &set.sheet, &error) == ISW_OK, "%s",
                error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  int variety = isw_crop_find_variety(set.sheet, "standard");
  int season = isw_crop_find_season(set.sheet, "autumn");
  set.plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(set.sheet, &conditions, 1, &variety, 1, &season, set.plan);
  set.tmin = repeat_raster(tmin_path, "tmin");
  set.tmax = repeat_raster(tmax_path, "tmax");
  return set;
}

static struct isw_climate *open_climate(const struct stage_set *set) {
  struct isw_climate_request request = {.tmin = set->tmin, .tmax = set->tmax};
  struct isw_error error = {.text = ""};
  struct isw_climate *climate;
  ck_assert_msg(isw_climate_open(&request, NULL, &climate, &error) == ISW_OK, "%s", error.text);
  return climate;
}

static void tear_down(struct stage_set *set) {
  isw_crop_free_sheet(set->sheet);
  g_free(set->plan);
  g_free(set->tmin);
  g_free(set->tmax);
}

static enum isw_status run(const struct stage_set *set, int threads, int memory_MB,
                           long long first_block, long long block_count, struct collected *out,
                           struct isw_error *error) {
  struct isw_climate *climate = open_climate(set);
  const struct isw_plan *plans[] = {set->plan};
  struct isw_survey_options options = {.threads = threads,
                                       .memory_MB = memory_MB,
                                       .first_block = first_block,
                                       .block_count = block_count};
  struct isw_sink sink = {out, collect};
  enum isw_status status = isw_survey_run(climate, 1, plans, &options, &sink, error);
  isw_climate_free(climate);
  return status;
}

START_TEST(same_bytes_for_any_threads_and_memory) {
  struct stage_set set = set_up();
  static const int threads[] = {1, 2, 7};
  static const int memory_MB[] = {0, 1, 160};
  char *first = NULL;
  for (int i = 0; i < 3; i++) {
    struct isw_error error = {.text = ""};
    struct collected all = {.checksum = g_checksum_new(G_CHECKSUM_SHA256)};
    ck_assert_msg(run(&set, threads[i], memory_MB[i], 0, 0, &all, &error) == ISW_OK, "%s",
                  error.text);
    ck_assert_int_eq(all.blocks, 4);
    if (first == NULL)
      first = g_strdup(g_checksum_get_string(all.checksum));
    else
      ck_assert_str_eq(first, g_checksum_get_string(all.checksum));
    g_checksum_free(all.checksum);
  }
  g_free(first);
  tear_down(&set);
}
END_TEST

START_TEST(parts_join_to_the_whole) {
  struct stage_set set = set_up();
  struct isw_error error = {.text = ""};
  struct collected whole = {.checksum = g_checksum_new(G_CHECKSUM_SHA256)};
  ck_assert_int_eq(run(&set, 2, 0, 0, 0, &whole, &error), ISW_OK);
  struct collected parts = {.checksum = g_checksum_new(G_CHECKSUM_SHA256)};
  ck_assert_int_eq(run(&set, 2, 0, 0, 1, &parts, &error), ISW_OK);
  ck_assert_int_eq(run(&set, 2, 0, 1, 3, &parts, &error), ISW_OK);
  ck_assert_str_eq(g_checksum_get_string(whole.checksum), g_checksum_get_string(parts.checksum));
  g_checksum_free(whole.checksum);
  g_checksum_free(parts.checksum);
  tear_down(&set);
}
END_TEST

START_TEST(a_failing_sink_ends_the_run) {
  struct stage_set set = set_up();
  struct isw_error error = {.text = ""};
  struct collected all = {.checksum = g_checksum_new(G_CHECKSUM_SHA256), .stop_after = 2};
  ck_assert_int_eq(run(&set, 3, 0, 0, 0, &all, &error), ISW_OUTPUT);
  ck_assert_str_eq(error.text, "the sink is full");
  ck_assert_int_eq(all.blocks, 2);
  g_checksum_free(all.checksum);
  tear_down(&set);
}
END_TEST

START_TEST(a_cell_is_the_models_own_answer) {
  struct stage_set set = set_up();
  struct isw_error error = {.text = ""};
  struct collected all = {.checksum = g_checksum_new(G_CHECKSUM_SHA256),
                          .first_bands = g_byte_array_new()};
  ck_assert_int_eq(run(&set, 2, 0, 0, 0, &all, &error), ISW_OK);
  const int16_t *bands = (const int16_t *)(const void *)all.first_bands->data;

  struct isw_climate *climate = open_climate(&set);
  float normals[ISW_CELL_NORMALS];
  uint8_t flags;
  struct isw_growth_workspace *workspace = g_new(struct isw_growth_workspace, 1);
  isw_growth_start_workspace(set.plan, workspace);
  int compared = 0;
  for (int row = 0; row < ISW_BLOCK_SIZE; row += 17) {
    for (int col = 0; col < ISW_BLOCK_SIZE; col += 13) {
      const int16_t *found = bands + ((size_t)row * ISW_BLOCK_SIZE + (size_t)col) * ISW_CELL_BANDS;
      ck_assert_int_eq(isw_climate_read_block(climate, col, row, 1, 1, normals, &flags, &error),
                       ISW_OK);
      int16_t expected[ISW_CELL_BANDS];
      if (flags & ISW_CELL_VALID) {
        struct isw_normals cell = {0};
        for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
          cell.tmin_C[m] = normals[m];
          cell.tmax_C[m] = normals[ISW_YEAR_MONTHS + m];
        }
        struct isw_result result;
        isw_growth_cell(workspace, &cell, false, &result);
        isw_survey_encode_result(&result, expected);
      } else {
        for (int b = 0; b < ISW_CELL_BANDS; b++) expected[b] = ISW_BANDS_NODATA;
      }
      ck_assert_mem_eq(found, expected, sizeof expected);
      compared++;
    }
  }
  ck_assert_int_gt(compared, 300);
  g_free(workspace);
  isw_climate_free(climate);
  g_byte_array_unref(all.first_bands);
  g_checksum_free(all.checksum);
  tear_down(&set);
}
END_TEST

START_TEST(results_become_the_integers_of_the_outputs_page) {
  struct isw_result result = {.score_tenths = 865,
                              .best_sow_day = 223,
                              .window = {211, 227, 17},
                              .transplant_day = 244,
                              .harvest_day = 303,
                              .growing_days = 80,
                              .limit = 6,
                              .frost_risk = 0.025,
                              .bolt_risk = 0.0049,
                              .years = 9,
                              .edge = ISW_EDGE_GOES_ON_AFTER | ISW_EDGE_BETTER_AFTER,
                              .cut_from_day = 280,
                              .cut_to_day = 4};
  int16_t bands[ISW_CELL_BANDS];
  isw_survey_encode_result(&result, bands);
  static const int16_t expected[ISW_CELL_BANDS] = {87, 224, 212, 228, 17, 245, 304, 80,
                                                   6,  3,   0,   9,   10, 281, 5};
  ck_assert_mem_eq(bands, expected, sizeof expected);
  result = (struct isw_result){.score_tenths = 0,
                               .best_sow_day = -1,
                               .window = {-1, -1, 0},
                               .transplant_day = -1,
                               .harvest_day = -1,
                               .limit = ISW_LIMIT_NEVER_MATURES,
                               .years = -1,
                               .cut_from_day = -1,
                               .cut_to_day = -1};
  isw_survey_encode_result(&result, bands);
  static const int16_t none[ISW_CELL_BANDS] = {0, 0, 0, 0, 0, 0, 0, 0, 103, 0, 0, -1, 0, 0, 0};
  ck_assert_mem_eq(bands, none, sizeof none);
  static const struct isw_span span = {.days = {205, 3, 164},
                                       .n_types = 2,
                                       .n_runs = 3,
                                       .runs = {{1, 205, 218}, {0, 219, 300}, {1, 301, 3}}};
  int16_t span_bands[ISW_SPAN_BANDS];
  isw_survey_encode_span(&span, span_bands);
  static const int16_t expected_span[ISW_SPAN_BANDS] = {206, 4, 164, 2, 2, 2};
  ck_assert_mem_eq(span_bands, expected_span, sizeof expected_span);
  static const struct isw_span no_span = {.days = {-1, -1, 0}};
  isw_survey_encode_span(&no_span, span_bands);
  for (int b = 0; b < ISW_SPAN_BANDS; b++) ck_assert_int_eq(span_bands[b], 0);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("survey");
  TCase *runs = tcase_create("runs");
  tcase_set_timeout(runs, 120);
  tcase_add_test(runs, same_bytes_for_any_threads_and_memory);
  tcase_add_test(runs, parts_join_to_the_whole);
  tcase_add_test(runs, a_failing_sink_ends_the_run);
  tcase_add_test(runs, a_cell_is_the_models_own_answer);
  tcase_add_test(runs, results_become_the_integers_of_the_outputs_page);
  suite_add_tcase(suite, runs);
  return suite;
}

/* Where best days lie: not on a season's first or last day for the calendar's sake, and not
 * elsewhere because normals were rounded. Asked of real grids and stations (tests/data/colorado),
 * of the sample island, and of a table of places around the world where it is there. */
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <stdlib.h>

#include "climate/stations.h"
#include "growth/cell.h"
#include "growth/windows.h"
#include "suite_main.h"

enum { MONTHS = ISW_YEAR_MONTHS, TOP_TENTHS = 10 };

struct model {
  struct isw_sheet *sheet;
  struct isw_plan plan;
  struct isw_growth_workspace workspace;
  struct isw_result results[64];
  struct isw_scores scores[8];
};

static struct model *open_model(void) {
  struct model *model = g_new0(struct model, 1);
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &model->sheet, &error), ISW_OK);
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(model->sheet, &conditions, 0, NULL, 0, NULL, &model->plan);
  isw_growth_start_workspace(&model->plan, &model->workspace);
  return model;
}

static void close_model(struct model *model) {
  isw_crop_free_sheet(model->sheet);
  g_free(model);
}

/* ---- seasons' ends ---- */

/* Days in a row from the season's end on that are as good as the best day: as many years, and
 * within a point of the highest score of these. */
static int flat_top(const struct isw_scores *scores, struct isw_window season,
                    const struct isw_result *result, int end, int step) {
  const int best = result->best_sow_day;
  int highest = 0, run = 0;
  for (int i = 0; i < season.days; i++) {
    const int day = isw_base_wrap_day(season.from_day + i);
    if (scores->years[day] == scores->years[best] && scores->good[day] == scores->good[best])
      highest = MAX(highest, scores->score_tenths[day]);
  }
  for (int i = end; i >= 0 && i < season.days; i += step, run++) {
    const int day = isw_base_wrap_day(season.from_day + i);
    if (scores->years[day] != scores->years[best] || scores->good[day] != scores->good[best] ||
        scores->score_tenths[day] < MAX(highest - TOP_TENTHS, 1))
      break;
  }
  return run;
}

struct ends {
  int best_days, at_an_end, with_window, with_window_at_an_end, two_days;
};

/* A best day at an end is there because the good days go on beyond it (edge says so), or because
 * the slope is so steep that its top is one day. Without a window nothing goes on; then the top may
 * be of two days, whose middle, the earlier, is the season's first. */
static void look_at_ends(const struct model *model, const char *name, bool south, int v, int s,
                         struct ends *sum) {
  const struct isw_plan *plan = &model->plan;
  const struct isw_result *result = &model->results[isw_growth_result_index(plan, v, s)];
  const struct isw_window season = isw_growth_season_days(&model->sheet->seasons[s], south);
  if (result->best_sow_day < 0) return;
  const int at = isw_base_days_forward(season.from_day, result->best_sow_day);
  const bool windowed = result->window.days > 0;
  sum->best_days++;
  sum->with_window += windowed;
  if (at != 0 && at != season.days - 1) return;
  sum->at_an_end++;
  sum->with_window_at_an_end += windowed;
  const int goes_on = at == 0 ? ISW_EDGE_GOES_ON_BEFORE : ISW_EDGE_GOES_ON_AFTER;
  if (result->edge & goes_on) return;
  const int top =
      flat_top(&model->scores[plan->programme_of[v][s]], season, result, at, at == 0 ? 1 : -1);
  sum->two_days += top == 2;
  ck_assert_msg(top <= (windowed ? 1 : 2),
                "%s, variety %d, season %d: at an end with a top of %d days", name, v, s, top);
}

static const struct {
  const char *path;
  double most_share; /* of best days with a window that lie on an end */
} tables[] = {
    {TEST_SOURCE_DIR "/data/colorado/stations.csv", 0.10},
    {TEST_SAMPLE_DIR "/stations.csv", 0.25}, /* mild summers: seasons cut one good time in three */
    {TEST_SHARED_DATA "/places/places.csv", 0.10},
};

START_TEST(best_days_keep_off_the_ends) {
  char *text;
  gsize size;
  if (!g_file_get_contents(tables[_i].path, &text, &size, NULL)) {
    printf("skipped: no %s\n", tables[_i].path);
    return;
  }
  /* the Colorado table has one name twice; its ids are distinct */
  char *by_id = g_str_has_prefix(text, "id,name") ? g_strconcat("name,label", text + 7, NULL)
                                                  : g_strdup(text);
  struct isw_stations *stations;
  struct isw_error error;
  ck_assert_msg(isw_climate_parse_stations("table", by_id, strlen(by_id), ISW_UNIT_C, true, NULL,
                                           &stations, &error) == ISW_OK,
                "%s", error.text);
  struct model *model = open_model();
  struct ends sum = {0};
  for (int i = 0; i < stations->count; i++) {
    const struct isw_station *station = &stations->items[i];
    struct isw_normals normals = {.has_year_spread = false};
    memcpy(normals.tmin_C, station->tmin_C, sizeof normals.tmin_C);
    memcpy(normals.tmax_C, station->tmax_C, sizeof normals.tmax_C);
    const bool south = station->lat_deg < 0.0;
    isw_growth_cell(&model->workspace, &normals, south, model->results);
    for (int p = 0; p < model->plan.n_programmes; p++)
      isw_growth_score_year(&model->workspace, &normals, p, &model->scores[p]);
    for (int v = 0; v < model->plan.n_varieties; v++)
      for (int s = 0; s < model->plan.n_seasons; s++)
        look_at_ends(model, station->name, south, v, s, &sum);
  }
  printf("%s: %d best days, %d on an end; with a window %d, %d on an end; a top of two days %d\n",
         tables[_i].path, sum.best_days, sum.at_an_end, sum.with_window, sum.with_window_at_an_end,
         sum.two_days);
  ck_assert_int_gt(sum.with_window, 50);
  ck_assert_double_le(sum.with_window_at_an_end, tables[_i].most_share * sum.with_window);
  isw_climate_free_stations(stations);
  close_model(model);
  g_free(by_id);
  g_free(text);
}
END_TEST

/* ---- rounding ---- */

static GDALDatasetH open_normals(const char *folder, const char *name) {
  char *path = g_build_filename(folder, name, NULL);
  GDALAllRegister();
  GDALDatasetH dataset = GDALOpen(path, GA_ReadOnly);
  ck_assert_ptr_nonnull(dataset);
  g_free(path);
  return dataset;
}

static float *read_bands(GDALDatasetH dataset, size_t cells) {
  const int width = GDALGetRasterXSize(dataset), height = GDALGetRasterYSize(dataset);
  float *values = g_new(float, cells *MONTHS);
  ck_assert_int_eq(GDALDatasetRasterIO(dataset, GF_Read, 0, 0, width, height, values, width, height,
                                       GDT_Float32, MONTHS, NULL, 0, 0, 0),
                   CE_None);
  return values;
}

static double to_a_tenth(double value) {
  return floor(value * 10.0 + 0.5) / 10.0;
}

static const struct {
  const char *folder;
  double most_share;
} grids[] = {{TEST_SOURCE_DIR "/data/colorado", 0.01},
             /* invented; its mild summers are good throughout, their two ends alike: 1.6 % */
             {TEST_SAMPLE_DIR, 0.02}};

/* Of each variety's summer: best days that normals rounded to 0.1 K move by more than ten days. On
 * Colorado's grid the day of the highest score moved so in 6.9 % of one type's. */
START_TEST(rounded_normals_move_no_best_day) {
  enum { EVERY = 3, MOST_DAYS = 10 };
  GDALDatasetH low = open_normals(grids[_i].folder, "tmin.tif");
  GDALDatasetH high = open_normals(grids[_i].folder, "tmax.tif");
  const size_t cells = (size_t)GDALGetRasterXSize(low) * (size_t)GDALGetRasterYSize(low);
  float *tmin = read_bands(low, cells), *tmax = read_bands(high, cells);
  GDALRasterBandH band = GDALGetRasterBand(low, 1);
  const double nodata = GDALGetRasterNoDataValue(band, NULL);
  int has_scale = 0, has_offset = 0;
  double scale = GDALGetRasterScale(band, &has_scale);
  const double offset = GDALGetRasterOffset(band, &has_offset);
  if (!has_scale) scale = 1.0;
  struct model *model = open_model();
  const int summer = isw_crop_find_season(model->sheet, "summer");
  int seen[8] = {0}, moved[8] = {0};
  for (size_t cell = 0; cell < cells; cell += EVERY) {
    struct isw_normals exact = {.has_year_spread = false}, rounded = exact;
    bool valid = true;
    for (int m = 0; m < MONTHS; m++) {
      const float lo = tmin[(size_t)m * cells + cell], hi = tmax[(size_t)m * cells + cell];
      valid = valid && (double)lo != nodata && (double)hi != nodata && !isnan(lo) && !isnan(hi);
      exact.tmin_C[m] = scale * (double)lo + offset;
      exact.tmax_C[m] = scale * (double)hi + offset;
      rounded.tmin_C[m] = to_a_tenth(exact.tmin_C[m]);
      rounded.tmax_C[m] = to_a_tenth(exact.tmax_C[m]);
    }
    if (!valid) continue;
    int before[8];
    isw_growth_cell(&model->workspace, &exact, false, model->results);
    for (int v = 0; v < model->plan.n_varieties; v++)
      before[v] = model->results[isw_growth_result_index(&model->plan, v, summer)].best_sow_day;
    isw_growth_cell(&model->workspace, &rounded, false, model->results);
    for (int v = 0; v < model->plan.n_varieties; v++) {
      const int after =
          model->results[isw_growth_result_index(&model->plan, v, summer)].best_sow_day;
      if (before[v] < 0 || after < 0) continue;
      seen[v]++;
      moved[v] += abs(after - before[v]) > MOST_DAYS;
    }
  }
  for (int v = 0; v < model->plan.n_varieties; v++) {
    printf("%s, %s, summer: %d of %d best days moved by more than %d days (%.2f %%)\n",
           grids[_i].folder, model->sheet->varieties[v].name, moved[v], seen[v], MOST_DAYS,
           100.0 * moved[v] / seen[v]);
    ck_assert_int_gt(seen[v], 500);
    ck_assert_double_lt(moved[v], grids[_i].most_share * seen[v]);
  }
  close_model(model);
  g_free(tmin);
  g_free(tmax);
  GDALClose(low);
  GDALClose(high);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("best days");
  TCase *days = tcase_create("best days");
  tcase_set_timeout(days, 120);
  tcase_add_loop_test(days, best_days_keep_off_the_ends, 0, (int)G_N_ELEMENTS(tables));
  tcase_add_loop_test(days, rounded_normals_move_no_best_day, 0, (int)G_N_ELEMENTS(grids));
  suite_add_tcase(suite, days);
  return suite;
}

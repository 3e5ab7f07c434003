/* Areas per class: a hand-made block on a degree grid and on a projected one. */
#include <cpl_conv.h>
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>

#include "suite_main.h"
#include "survey/tally.h"

enum { WIDTH = 2, HEIGHT = 2, CELLS = WIDTH * HEIGHT };

static char *wkt_of(int epsg) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRImportFromEPSG(crs, epsg), OGRERR_NONE);
  char *wkt = NULL;
  OSRExportToWkt(crs, &wkt);
  OSRDestroySpatialReference(crs);
  return wkt;
}

static struct isw_plan *one_result_plan(struct isw_sheet **sheet) {
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_crop_load_sheet("napa-cabbage", sheet, &error) == ISW_OK, "%s", error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  int first = 0;
  struct isw_plan *plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(*sheet, &conditions, 1, &first, 1, &first, plan);
  return plan;
}

/* Cells: a window best on 5 August, no window with a risky score, no data, a window on 31 December.
 */
static void fill_block(int16_t bands[CELLS][ISW_CELL_BANDS], uint8_t flags[CELLS],
                       uint8_t picks[CELLS], int16_t spans[CELLS][ISW_SPAN_BANDS]) {
  for (int c = 0; c < CELLS; c++) {
    for (int b = 0; b < ISW_CELL_BANDS; b++) bands[c][b] = ISW_BANDS_NODATA;
    for (int b = 0; b < ISW_SPAN_BANDS; b++) spans[c][b] = c == 2 ? ISW_BANDS_NODATA : 0;
    flags[c] = c == 2 ? 0 : ISW_CELL_VALID;
    picks[c] = ISW_PICK_NODATA;
  }
  bands[0][ISW_BAND_SCORE] = 85;
  bands[0][ISW_BAND_BEST_SOW] = 217;
  bands[0][ISW_BAND_WINDOW_DAYS] = 12;
  bands[0][ISW_BAND_YEARS] = 9;
  bands[0][ISW_BAND_EDGE] = 1 + 4;
  picks[0] = 1;
  spans[0][ISW_SPAN_SOW_FROM] = 217;
  spans[0][ISW_SPAN_SOW_TO] = 365;
  spans[0][ISW_SPAN_DAYS] = 149;
  bands[1][ISW_BAND_SCORE] = 69;
  bands[1][ISW_BAND_BEST_SOW] = 217;
  bands[1][ISW_BAND_WINDOW_DAYS] = 0;
  bands[1][ISW_BAND_YEARS] = 4;
  picks[1] = 101;
  bands[3][ISW_BAND_SCORE] = 70;
  bands[3][ISW_BAND_BEST_SOW] = 365;
  bands[3][ISW_BAND_WINDOW_DAYS] = 1;
  bands[3][ISW_BAND_YEARS] = -1; /* not counted */
  bands[3][ISW_BAND_EDGE] = 0;
  picks[3] = 0;
  flags[3] |= ISW_CELL_SOUTH;
}

static const struct {
  int epsg;
  double transform[6];
  double cell_m2; /* of the upper left cell */
  double tolerance;
  const char *source;
} grids[] = {
    /* One degree from 0 to 1 N: 12,308.46 km2, the zone's share on WGS 84 (authalic latitude:
     * Snyder 1987, USGS Prof. Paper 1395, eq. 3-12), computed apart from PROJ. The tolerance lets
     * the upper edge be the geodesic between its corners instead of the parallel. */
    {4326, {10, 1, 0, 1, 0, -1}, 12308.46e6, 0.5e6, "Snyder 1987, eq. 3-12"},
    /* UTM zone 31 on its central meridian: scale 0.9996, so 1 km cells stand for 1/0.9996^2 km2
     * (Snyder 1987, p. 57). */
    {32631, {500000, 1000, 0, 5000000, 0, -1000}, 1e6 / (0.9996 * 0.9996), 40.0, "Snyder 1987"},
};

START_TEST(areas_by_class) {
  GDALAllRegister();
  struct isw_sheet *sheet;
  struct isw_plan *plan = one_result_plan(&sheet);
  char *wkt = wkt_of(grids[_i].epsg);
  struct isw_grid grid = {
      .width = WIDTH, .height = HEIGHT, .wkt = wkt, .geographic = grids[_i].epsg == 4326};
  for (int i = 0; i < 6; i++) grid.transform[i] = grids[_i].transform[i];
  struct isw_error error = {.text = ""};
  struct isw_tally *tally;
  ck_assert_msg(isw_survey_new_tally(&grid, plan, &tally, &error) == ISW_OK, "%s", error.text);

  int16_t bands[CELLS][ISW_CELL_BANDS];
  int16_t spans[CELLS][ISW_SPAN_BANDS];
  uint8_t flags[CELLS], picks[CELLS];
  fill_block(bands, flags, picks, spans);
  const int16_t *plan_bands = bands[0], *plan_spans = spans[0];
  const uint8_t *plan_picks = picks;
  struct isw_block block = {.width = WIDTH,
                            .height = HEIGHT,
                            .flags = flags,
                            .bands = &plan_bands,
                            .picks = &plan_picks,
                            .spans = &plan_spans};
  isw_survey_add_block(tally, &block, 0);

  const struct isw_result_tally *result = isw_survey_result_tally(tally, 0);
  const struct isw_pick_tally *pick = isw_survey_pick_tally(tally, 0);
  double cell_m2 = result->score_m2[3];
  ck_assert_msg(fabs(cell_m2 - grids[_i].cell_m2) <= grids[_i].tolerance, "%.2f, %s says %.2f",
                cell_m2, grids[_i].source, grids[_i].cell_m2);
  enum { EARLY_AUGUST = 21, LATE_DECEMBER = 35 };
  ck_assert_double_eq(result->period_m2[EARLY_AUGUST], cell_m2);
  ck_assert_double_gt(result->period_m2[LATE_DECEMBER], 0.0);
  ck_assert_double_eq(result->no_window_m2, result->score_m2[1]);
  ck_assert_double_eq(result->score_m2[0], 0.0);
  ck_assert_double_eq(result->score_m2[2], result->period_m2[LATE_DECEMBER]);
  ck_assert_int_eq(result->cells_with_window, 2);
  ck_assert_double_eq(pick->variety_m2[0], cell_m2);
  ck_assert_double_eq(pick->risky_m2[0], result->no_window_m2);
  ck_assert_double_eq(pick->none_m2, result->score_m2[2]);
  ck_assert_double_eq(result->years_m2[9], cell_m2);
  ck_assert_double_eq(result->edge_m2[1 + 4], cell_m2);
  ck_assert_double_eq(result->edge_m2[0], result->period_m2[LATE_DECEMBER]);
  ck_assert_double_eq(result->years_m2[4], result->no_window_m2);
  ck_assert_double_eq(result->years_m2[0], 0.0);
  const struct isw_span_tally *span = isw_survey_span_tally(tally, 0);
  ck_assert_double_eq(span->first_period_m2[EARLY_AUGUST], cell_m2);
  ck_assert_double_eq(span->last_period_m2[LATE_DECEMBER], cell_m2);
  ck_assert_double_eq_tol(span->none_m2, result->no_window_m2 + result->score_m2[2], 1e-3);
  ck_assert_int_eq(isw_survey_valid_cells(tally), 3);
  ck_assert_int_eq(isw_survey_south_cells(tally), 1);
  ck_assert_double_eq_tol(isw_survey_valid_m2(tally),
                          cell_m2 + result->no_window_m2 + result->score_m2[2], 1.0);
  isw_survey_free_tally(tally);
  g_free(plan);
  isw_crop_free_sheet(sheet);
  CPLFree(wkt);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("tally");
  TCase *areas = tcase_create("areas");
  tcase_add_loop_test(areas, areas_by_class, 0, (int)G_N_ELEMENTS(grids));
  suite_add_tcase(suite, areas);
  return suite;
}

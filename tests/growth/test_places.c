/* The whole chain at real stations: published sowing windows, and the same places moved south. */
#include <stdlib.h>

#include "growth/pick.h"
#include "growth/windows.h"
#include "napa.h"
#include "suite_main.h"

static bool run_holds(struct isw_window window, int from_day, int to_day) {
  if (window.days == 0) return false;
  int offset = isw_base_days_forward(window.from_day, from_day);
  return offset + isw_base_days_forward(from_day, to_day) < window.days;
}

START_TEST(published_window) {
  struct science_row row;
  char station[32], season[32], variety[32], check[16], from_text[8], to_text[8];
  science_table_row("published_windows.txt", 0, _i, &row);
  ck_assert_int_eq(sscanf(row.text, "%31s %31s %31s %15s %7s %7s", station, season, variety, check,
                          from_text, to_text),
                   6);
  int from_day = isw_base_parse_month_day(from_text), to_day = isw_base_parse_month_day(to_text);
  struct napa *napa = napa_open();
  struct isw_normals normals = napa_station(station);
  isw_growth_cell(&napa->workspace, &normals, false, napa->results);
  const struct isw_result *result = napa_result(napa, variety, season);
  const struct isw_window asked = {from_day, to_day, isw_base_days_forward(from_day, to_day) + 1};
  if (strcmp(check, "contains") == 0) {
    ck_assert_msg(run_holds(result->window, from_day, to_day), "%s: window is %d..%d", row.text,
                  result->window.from_day + 1, result->window.to_day + 1);
  } else if (strcmp(check, "within") == 0) {
    ck_assert_msg(
        result->window.days > 0 && run_holds(asked, result->window.from_day, result->window.to_day),
        "%s: window is %d..%d", row.text, result->window.from_day + 1, result->window.to_day + 1);
  } else if (strcmp(check, "open") == 0) {
    const int end_day = napa->sheet->seasons[isw_crop_find_season(napa->sheet, season)].sow_to_day;
    ck_assert_msg(run_holds(result->window, from_day, end_day), "%s: window is %d..%d", row.text,
                  result->window.from_day + 1, result->window.to_day + 1);
    ck_assert_int_ne(result->edge & ISW_EDGE_GOES_ON_AFTER, 0);
  } else if (strcmp(check, "best") == 0) {
    ck_assert_msg(run_holds(asked, result->best_sow_day, result->best_sow_day), "%s: best is %d",
                  row.text, result->best_sow_day + 1);
  } else if (strcmp(check, "harvest") == 0) {
    ck_assert_msg(run_holds(asked, result->harvest_day, result->harvest_day), "%s: harvest is %d",
                  row.text, result->harvest_day + 1);
  } else if (strcmp(check, "cut") == 0) {
    ck_assert_msg(run_holds(asked, result->cut_from_day, result->cut_to_day), "%s: cut is %d..%d",
                  row.text, result->cut_from_day + 1, result->cut_to_day + 1);
  } else if (strcmp(check, "years") == 0) {
    ck_assert_msg(result->years >= atoi(from_text), "%s: %d years", row.text, result->years);
  } else if (strcmp(check, "nothing") == 0) {
    ck_assert_msg(result->window.days == 0, "%s: window of %d days", row.text, result->window.days);
  } else if (strcmp(check, "pick") == 0) {
    int s = isw_crop_find_season(napa->sheet, season);
    struct isw_pick pick = isw_growth_pick(&napa->plan, s, napa->results);
    ck_assert_int_eq(pick.variety, isw_crop_find_variety(napa->sheet, variety));
    ck_assert(!pick.risky);
  } else {
    ck_abort_msg("unknown check: %s", row.text);
  }
  napa_close(napa);
}
END_TEST

static int day_gap(int a, int b) {
  int forward = isw_base_days_forward(a, b);
  return forward <= ISW_YEAR_DAYS / 2 ? forward : ISW_YEAR_DAYS - forward;
}

/* A station's months moved by half a year and its latitude mirrored: every date moves by 182 days.
 * 3 days of tolerance, because months have different lengths. */
START_TEST(moved_south_by_half_a_year) {
  char name[SCIENCE_TEXT_SIZE];
  struct napa *napa = napa_open();
  struct isw_normals north = napa_station_row(_i, name), south = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    south.tmin_C[m] = north.tmin_C[(m + 6) % ISW_YEAR_MONTHS];
    south.tmax_C[m] = north.tmax_C[(m + 6) % ISW_YEAR_MONTHS];
  }
  struct isw_result north_results[NAPA_RESULTS_MAX];
  isw_growth_cell(&napa->workspace, &north, false, north_results);
  isw_growth_cell(&napa->workspace, &south, true, napa->results);
  int windows = 0;
  for (int i = 0; i < napa->plan.n_varieties * napa->plan.n_seasons; i++) {
    const struct isw_result *a = &north_results[i], *b = &napa->results[i];
    ck_assert_msg(abs(a->score_tenths - b->score_tenths) <= 15, "%s %d: score %d, %d", name, i,
                  a->score_tenths, b->score_tenths);
    ck_assert_msg((a->window.days > 0) == (b->window.days > 0), "%s %d", name, i);
    if (a->window.days == 0) continue;
    windows++;
    ck_assert_msg(day_gap(a->window.from_day + 182, b->window.from_day) <= 3, "%s %d: from %d, %d",
                  name, i, a->window.from_day, b->window.from_day);
    ck_assert_msg(day_gap(a->window.to_day + 182, b->window.to_day) <= 3, "%s %d: to %d, %d", name,
                  i, a->window.to_day, b->window.to_day);
    ck_assert_int_le(abs(a->growing_days - b->growing_days), 3);
  }
  ck_assert_int_gt(windows, 3);
  napa_close(napa);
}
END_TEST

/* What every result promises, whatever the climate. */
START_TEST(results_are_in_range_and_in_order) {
  char name[SCIENCE_TEXT_SIZE];
  struct napa *napa = napa_open();
  struct isw_normals normals = napa_station_row(_i % 4, name);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) { /* from arctic to scorched */
    normals.tmin_C[m] += (_i / 4 - 4) * 6.0;
    normals.tmax_C[m] += (_i / 4 - 4) * 6.0;
  }
  isw_growth_cell(&napa->workspace, &normals, _i % 2 == 1, napa->results);
  for (int s = 0; s < napa->plan.n_seasons; s++) {
    struct isw_window season = isw_growth_season_days(&napa->sheet->seasons[s], _i % 2 == 1);
    for (int v = 0; v < napa->plan.n_varieties; v++) {
      const struct isw_result *r = &napa->results[isw_growth_result_index(&napa->plan, v, s)];
      ck_assert(r->score_tenths >= 0 && r->score_tenths <= 1000);
      ck_assert(r->frost_risk >= 0.0 && r->frost_risk <= 1.0);
      ck_assert(r->bolt_risk >= 0.0 && r->bolt_risk <= 1.0);
      ck_assert((r->best_sow_day >= 0) == (r->score_tenths > 0));
      if (r->best_sow_day < 0) {
        ck_assert(r->window.days == 0 && r->growing_days == 0);
        ck_assert(r->harvest_day == -1 && r->transplant_day == -1);
        ck_assert(r->cut_from_day == -1 && r->cut_to_day == -1);
        ck_assert(r->years == 0 && r->edge == 0);
        continue;
      }
      ck_assert_int_lt(isw_base_days_forward(season.from_day, r->best_sow_day), season.days);
      ck_assert_int_eq(isw_base_days_forward(r->best_sow_day, r->harvest_day),
                       r->growing_days % ISW_YEAR_DAYS);
      ck_assert_int_lt(isw_base_days_forward(r->best_sow_day, r->transplant_day), r->growing_days);
      ck_assert_int_le(r->growing_days, ISW_YEAR_DAYS);
      ck_assert(r->years >= 0 && r->years <= 10);
      ck_assert((r->window.days > 0) == (r->cut_from_day >= 0 && r->cut_to_day >= 0));
      if (r->window.days == 0) {
        ck_assert_int_eq(r->edge, 0);
        continue;
      }
      ck_assert_int_ge(r->score_tenths, 700);
      ck_assert_int_ge(r->years, 7);
      ck_assert(run_holds(season, r->window.from_day, r->window.to_day));
      /* the best day is cut within the range of all */
      ck_assert(
          run_holds((struct isw_window){r->cut_from_day, r->cut_to_day,
                                        isw_base_days_forward(r->cut_from_day, r->cut_to_day) + 1},
                    r->harvest_day, r->harvest_day));
      if (r->edge & ISW_EDGE_GOES_ON_BEFORE) ck_assert_int_eq(r->window.from_day, season.from_day);
      if (r->edge & ISW_EDGE_GOES_ON_AFTER) ck_assert_int_eq(r->window.to_day, season.to_day);
      if (r->edge & ISW_EDGE_BETTER_BEFORE) ck_assert(r->edge & ISW_EDGE_GOES_ON_BEFORE);
      if (r->edge & ISW_EDGE_BETTER_AFTER) ck_assert(r->edge & ISW_EDGE_GOES_ON_AFTER);
      ck_assert(r->frost_risk <= 0.1 + 1e-12 && r->bolt_risk <= 0.1 + 1e-12);
      ck_assert_int_eq(isw_base_days_forward(r->window.from_day, r->window.to_day) + 1,
                       r->window.days);
      ck_assert(run_holds(r->window, r->best_sow_day, r->best_sow_day));
    }
  }
  napa_close(napa);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("places");
  TCase *places = tcase_create("places");
  tcase_set_timeout(places, 60);
  tcase_add_loop_test(places, published_window, 0, science_table_count("published_windows.txt"));
  tcase_add_loop_test(places, moved_south_by_half_a_year, 0,
                      science_table_count("station_normals.txt"));
  tcase_add_loop_test(places, results_are_in_range_and_in_order, 0, 36);
  suite_add_tcase(suite, places);
  return suite;
}

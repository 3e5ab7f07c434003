/* The growing model from raw numbers. The input: one byte of choices, eight bytes for a crop sheet
 * at random, then 24 doubles as the month means (minimum, maximum), brought into what the climate
 * room lets through.
 *
 * Properties, whatever the climate:
 *   - results are in range and agree with each other, and no number is without a value;
 *   - all kinds of processor give the same;
 *   - the plain path (tests/growth/reference_cell.h) explains what the kernel says;
 *   - the plain path turned by 182 days, for the other hemisphere, gives the answer turned by 182
 *     days;
 *   - a smooth climate with its months turned by six, for the other hemisphere, gives the answer of
 *     half a year later within what the months' lengths do (below). */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "climate/limits.h"
#include "fuzz_input.h"
#include "growth/cell.h"
#include "growth/kernel_room.h"
#include "kernel_cases.h"

enum { CHOOSE_SOUTH = 1, CHOOSE_SMOOTH = 2, CHOOSE_BUILT_IN = 4 };

struct bench {
  struct isw_plan plan;
  struct isw_growth_workspace workspace;
  struct reference_memory memory;
  struct isw_scores turned;
  struct isw_result results[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
  struct isw_result other[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
};

static double next_double(struct fuzz_lines *bytes) {
  double number = 0.0;
  size_t left = (size_t)(bytes->end - bytes->at);
  memcpy(&number, bytes->at, left < sizeof number ? left : sizeof number);
  bytes->at += left < sizeof number ? left : sizeof number;
  return number;
}

/* Any double to one that the climate room lets through: as it is where it can be, folded else. */
static double as_normal(double number) {
  if (!isfinite(number)) return 0.0;
  if (number >= ISW_COLDEST_C && number <= ISW_WARMEST_C) return number;
  return ISW_COLDEST_C + fmod(fabs(number), ISW_WARMEST_C - ISW_COLDEST_C);
}

static void expect_years(const struct isw_plan *plan, struct isw_window season,
                         const struct isw_result *r) {
  const int least = plan->conditions.least_years;
  const int before = ISW_EDGE_GOES_ON_BEFORE | ISW_EDGE_BETTER_BEFORE;
  const int after = ISW_EDGE_GOES_ON_AFTER | ISW_EDGE_BETTER_AFTER;
  FUZZ_EXPECT(least > 0 ? r->years >= 0 && r->years <= 10 : r->years == -1);
  FUZZ_EXPECT((r->window.days > 0) == (r->cut_from_day >= 0));
  FUZZ_EXPECT((r->window.days > 0) == (r->cut_to_day >= 0));
  FUZZ_EXPECT(r->edge >= 0 && (r->edge & before) != ISW_EDGE_BETTER_BEFORE &&
              (r->edge & after) != ISW_EDGE_BETTER_AFTER && (r->edge & ~(before | after)) == 0);
  if (r->window.days == 0) {
    FUZZ_EXPECT(r->edge == 0);
    return;
  }
  FUZZ_EXPECT(r->years >= least || least == 0);
  FUZZ_EXPECT(isw_base_days_forward(season.from_day, r->window.from_day) + r->window.days <=
              season.days);
  FUZZ_EXPECT((r->edge & before) == 0 || r->window.from_day == season.from_day);
  FUZZ_EXPECT((r->edge & after) == 0 || r->window.to_day == season.to_day);
}

static void expect_result(const struct isw_plan *plan, int s, bool south,
                          const struct isw_result *r) {
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
  const struct isw_window days = isw_growth_season_days(season, south);
  FUZZ_EXPECT(r->score_tenths >= 0 && r->score_tenths <= 1000);
  FUZZ_EXPECT(isfinite(r->frost_risk) && r->frost_risk >= 0.0 && r->frost_risk <= 1.0);
  FUZZ_EXPECT(isfinite(r->bolt_risk) && r->bolt_risk >= 0.0 && r->bolt_risk <= 1.0);
  FUZZ_EXPECT((r->limit >= 0 && r->limit <= 2 * plan->sheet->n_stages) ||
              (r->limit >= ISW_LIMIT_FROST && r->limit <= ISW_LIMIT_CUT_OUTSIDE));
  FUZZ_EXPECT(r->limit != ISW_LIMIT_CUT_OUTSIDE || plan->conditions.has_cut);
  expect_years(plan, days, r);
  FUZZ_EXPECT((r->best_sow_day < 0) == (r->score_tenths == 0));
  if (r->best_sow_day < 0) {
    FUZZ_EXPECT(r->best_sow_day == -1 && r->window.days == 0 && r->window.from_day == -1);
    FUZZ_EXPECT(r->window.to_day == -1 && r->harvest_day == -1 && r->transplant_day == -1);
    FUZZ_EXPECT(r->growing_days == 0);
    return;
  }
  FUZZ_EXPECT(isw_base_days_forward(days.from_day, r->best_sow_day) < days.days);
  FUZZ_EXPECT(r->growing_days >= 1 && r->growing_days <= ISW_YEAR_DAYS);
  FUZZ_EXPECT(r->harvest_day == isw_base_wrap_day(r->best_sow_day + r->growing_days));
  if (r->transplant_day >= 0)
    FUZZ_EXPECT(isw_base_days_forward(r->best_sow_day, r->transplant_day) <= r->growing_days);
  const struct isw_window *w = &r->window;
  if (w->days == 0) {
    FUZZ_EXPECT(w->from_day == -1 && w->to_day == -1);
    return;
  }
  FUZZ_EXPECT(w->days >= 1 && w->days <= ISW_YEAR_DAYS);
  FUZZ_EXPECT(w->from_day >= 0 && w->from_day < ISW_YEAR_DAYS && w->to_day >= 0);
  FUZZ_EXPECT(w->to_day < ISW_YEAR_DAYS);
  FUZZ_EXPECT(isw_base_days_forward(w->from_day, w->to_day) + 1 == w->days);
  FUZZ_EXPECT(isw_base_days_forward(w->from_day, r->best_sow_day) < w->days);
  FUZZ_EXPECT(r->score_tenths >= isw_growth_round_tenths(plan->conditions.good_score));
}

static void expect_kernel(struct bench *bench, const struct isw_normals *normals, bool south) {
  const struct isw_plan *plan = &bench->plan;
  isw_growth_cell(&bench->workspace, normals, south, bench->results);
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      expect_result(plan, s, south, &bench->results[isw_growth_result_index(plan, v, s)]);
  struct isw_kernel_room *room = isw_growth_room_of(&bench->workspace);
  const struct isw_kernel_routines *best = room->routines;
  room->routines = isw_growth_kernel_routines(0);
  isw_growth_cell(&bench->workspace, normals, south, bench->other);
  room->routines = best;
  for (int i = 0; i < plan->n_varieties * plan->n_seasons; i++) {
    const struct isw_result *a = &bench->results[i], *b = &bench->other[i];
    FUZZ_EXPECT(reference_same(a, b) && a->score_tenths == b->score_tenths &&
                a->frost_risk == b->frost_risk && a->bolt_risk == b->bolt_risk);
  }
  reference_cell(plan, normals, south, &bench->memory, bench->other);
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      const int i = isw_growth_result_index(plan, v, s);
      if (reference_same(&bench->results[i], &bench->other[i])) continue;
      const char *why =
          reference_accepts(plan, normals, south, v, s, &bench->memory, &bench->results[i]);
      if (why != NULL) fuzz_broken(why, __FILE__, __LINE__);
    }
  }
}

/* Turned by whole days the model knows no difference but the order in which it sums: a score may
 * fall to the other side of its rounding. */
static void expect_turned(struct bench *bench, const struct isw_normals *normals) {
  const struct isw_plan *plan = &bench->plan;
  const struct isw_programme *programme = &plan->programmes[0];
  struct isw_year year, turned;
  isw_growth_curve_year(normals, plan->conditions.warmer_K, &year);
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    const int to = isw_base_wrap_day(d + ISW_HALF_YEAR_DAYS);
    turned.tmin_C[to] = year.tmin_C[d];
    turned.tmax_C[to] = year.tmax_C[d];
  }
  plain_sum_programme(plan, programme, &year, &bench->memory.sums);
  plain_score_year(plan, programme, &bench->memory.sums, &bench->memory.scores);
  plain_sum_programme(plan, programme, &turned, &bench->memory.sums);
  plain_score_year(plan, programme, &bench->memory.sums, &bench->turned);
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    const int to = isw_base_wrap_day(d + ISW_HALF_YEAR_DAYS);
    FUZZ_EXPECT(abs(bench->memory.scores.score_tenths[d] - bench->turned.score_tenths[to]) <= 1);
    FUZZ_EXPECT(bench->memory.scores.growing_days[d] == bench->turned.growing_days[to]);
  }
  for (int s = 0; s < plan->sheet->n_seasons; s++) {
    const struct isw_window north = isw_growth_season_days(&plan->sheet->seasons[s], false);
    const struct isw_window south = isw_growth_season_days(&plan->sheet->seasons[s], true);
    FUZZ_EXPECT(north.days == south.days);
    FUZZ_EXPECT(isw_base_days_forward(north.from_day, south.from_day) == ISW_HALF_YEAR_DAYS);
  }
}

/* One wave of at most 12 K, so at most 0.21 K from day to day. Months turned by six begin 181 to
 * 184 days later, so the climates are at most 2 days and half a degree apart. The built-in sheet's
 * narrowest ramp is 7 K: means of fits are apart by at most 0.5/7, and a score, which multiplies
 * three such shares, by less than twice that.
 *
 * A stage that takes three times its days never ends; its mean rate is then a third, and the score
 * at most 33. Lower scores may therefore vanish altogether and are left out. A season's edge moves
 * by a day or two as well, so it is not the season's results that are held together but the days.
 */
static const double turn_tolerance_tenths = 150.0;
enum { TURN_DAYS = 3, TURN_LEAST_TENTHS = 500 };

static double best_score_near(const struct isw_scores *scores, int day) {
  int best = 0;
  for (int d = day - TURN_DAYS; d <= day + TURN_DAYS; d++) {
    const int tenths = scores->score_tenths[isw_base_wrap_day(d)];
    best = best > tenths ? best : tenths;
  }
  return best;
}

/* Every day that results name has nearly that score half a year away in the other climate. */
static void expect_days_elsewhere(struct bench *bench, const struct isw_result *results,
                                  const struct isw_normals *elsewhere) {
  const struct isw_plan *plan = &bench->plan;
  const double good = fmax(10.0 * plan->conditions.good_score, TURN_LEAST_TENTHS);
  isw_growth_curve_year(elsewhere, plan->conditions.warmer_K, &bench->memory.year);
  for (int p = 0; p < plan->n_programmes; p++) {
    plain_sum_programme(plan, &plan->programmes[p], &bench->memory.year, &bench->memory.sums);
    plain_score_year(plan, &plan->programmes[p], &bench->memory.sums, &bench->memory.scores);
    for (int v = 0; v < plan->n_varieties; v++) {
      for (int s = 0; s < plan->n_seasons; s++) {
        const struct isw_result *r = &results[isw_growth_result_index(plan, v, s)];
        if (plan->programme_of[v][s] != p || r->score_tenths < TURN_LEAST_TENTHS) continue;
        FUZZ_EXPECT(best_score_near(&bench->memory.scores, r->best_sow_day + ISW_HALF_YEAR_DAYS) >=
                    r->score_tenths - turn_tolerance_tenths);
        for (int i = 0; i < r->window.days; i++)
          FUZZ_EXPECT(
              best_score_near(&bench->memory.scores, r->window.from_day + i + ISW_HALF_YEAR_DAYS) >=
              good - turn_tolerance_tenths);
      }
    }
  }
}

static void expect_month_turn(struct bench *bench, const struct isw_normals *normals) {
  struct isw_normals turned = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    turned.tmin_C[(m + 6) % ISW_YEAR_MONTHS] = normals->tmin_C[m];
    turned.tmax_C[(m + 6) % ISW_YEAR_MONTHS] = normals->tmax_C[m];
  }
  isw_growth_cell(&bench->workspace, normals, false, bench->results);
  isw_growth_cell(&bench->workspace, &turned, true, bench->other);
  expect_days_elsewhere(bench, bench->results, &turned);
  expect_days_elsewhere(bench, bench->other, normals);
}

static struct isw_normals smooth_normals(struct dice *dice) {
  const double two_pi = 6.28318530717958647693;
  const double mean = dice_between(dice, -5.0, 30.0), wave = dice_between(dice, 0.0, 12.0);
  const double warmest = dice_between(dice, 0.0, 12.0), half = dice_between(dice, 1.0, 8.0);
  struct isw_normals normals = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    const double centre = mean + wave * cos(two_pi * (m - warmest) / 12.0);
    normals.tmin_C[m] = centre - half;
    normals.tmax_C[m] = centre + half;
  }
  return normals;
}

static const struct isw_sheet *built_in_sheet(void) {
  static struct isw_sheet *sheet; /* once per run; reachable to the end */
  if (sheet == NULL && isw_crop_load_sheet("napa-cabbage", &sheet, NULL) != ISW_OK) abort();
  return sheet;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static struct random_sheet made;
  static struct bench bench;
  if (size < 1 + sizeof(uint64_t)) return 0;
  const int choices = data[0];
  struct dice dice = {0};
  memcpy(&dice.state, data + 1, sizeof dice.state);
  struct fuzz_lines bytes = {data + 1 + sizeof dice.state, data + size};
  const struct isw_sheet *sheet = built_in_sheet();
  struct isw_conditions conditions = isw_growth_default_conditions();
  if (!(choices & CHOOSE_BUILT_IN)) {
    const int n_stages = dice_whole(&dice, 1, 6), n_varieties = dice_whole(&dice, 1, 3);
    random_sheet(&dice, n_stages, n_varieties, &made);
    sheet = &made.sheet;
    conditions = random_conditions(&dice, sheet);
  }
  isw_growth_make_plan(sheet, &conditions, 0, NULL, 0, NULL, &bench.plan);
  isw_growth_start_workspace(&bench.plan, &bench.workspace);
  struct isw_normals normals = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = as_normal(next_double(&bytes));
    normals.tmax_C[m] = as_normal(next_double(&bytes));
  }
  if (choices & CHOOSE_SMOOTH) normals = smooth_normals(&dice);
  expect_kernel(&bench, &normals, (choices & CHOOSE_SOUTH) != 0);
  expect_turned(&bench, &normals);
  if ((choices & CHOOSE_SMOOTH) && (choices & CHOOSE_BUILT_IN)) expect_month_turn(&bench, &normals);
  return 0;
}

/* From a programme's scored sowing days to what its seasons hold (method, equations 13-15). */
#include <assert.h>

#include "growth/kernel.h"
#include "growth/kernel_course.h"

/* Two years of good days, so that every run is one stretch. */
static void repeat_good(const uint64_t good[ISW_KERNEL_WORDS], uint64_t twice[ISW_KERNEL_WORDS]) {
  enum { WORD = 64, LAST = ISW_YEAR_DAYS / WORD, TAIL = ISW_YEAR_DAYS % WORD };
  for (int w = 0; w < ISW_KERNEL_WORDS; w++) twice[w] = w <= LAST ? good[w] : 0;
  twice[LAST] &= (UINT64_C(1) << TAIL) - 1;
  uint64_t first_year[LAST + 1];
  for (int w = 0; w <= LAST; w++) first_year[w] = twice[w];
  for (int w = 0; w <= LAST; w++) {
    twice[LAST + w] |= first_year[w] << TAIL;
    twice[LAST + w + 1] |= first_year[w] >> (WORD - TAIL);
  }
}

/* Good days in a row from `day` on, at most a year. */
static int good_after(const uint64_t twice[ISW_KERNEL_WORDS], int day) {
  int from = day;
  while (from < day + ISW_YEAR_DAYS) {
    uint64_t bad = ~twice[from / 64] >> (from % 64);
    if (bad != 0) return from + __builtin_ctzll(bad) - day;
    from += 64 - from % 64;
  }
  return ISW_YEAR_DAYS;
}

/* Good days in a row up to and with `day`, at most a year. */
static int good_before(const uint64_t twice[ISW_KERNEL_WORDS], int day) {
  int to = day;
  while (to > day - ISW_YEAR_DAYS) {
    uint64_t bad = ~twice[to / 64] << (63 - to % 64);
    if (bad != 0) return day - to + __builtin_clzll(bad);
    to -= to % 64 + 1;
  }
  return ISW_YEAR_DAYS;
}

/* Limit and odds of a sowing day that matures; returns its course. */
static struct isw_kernel_course describe_day(const struct isw_kernel_programme *programme,
                                             int n_stages, const struct isw_kernel_tables *tables,
                                             int sow_day, struct isw_result *result) {
  const struct isw_kernel_course course =
      isw_kernel_follow(programme, n_stages, tables, sow_day, NULL);
  assert(course.matures);
  result->limit = course.limit;
  result->frost_risk = 1.0 - course.survive;
  result->bolt_risk = 1.0 - course.stay;
  return course;
}

static int least_of(int a, int b) {
  return a < b ? a : b;
}

/* A programme's days as one season sees them: keys[0] is the season's first day. */
struct season_view {
  const struct isw_kernel_recipe *recipe;
  const struct isw_kernel_routines *routines;
  const struct isw_kernel_programme *programme;
  const struct isw_kernel_tables *tables;
  const uint64_t *twice; /* good days of two years */
  struct isw_window season;
  const int32_t *keys;
};

static int rounded_fit(float units) {
  return isw_kernel_millionths(isw_kernel_not_below_0((double)units) * isw_kernel_per_unit);
}

/* Of n days the first whose fit is not below `least` and rounds to so many millionths; n: none. */
static int first_rounded(const struct season_view *view, const float *fit, int n, float least,
                         int millionths) {
  int i = 0;
  while ((i += view->routines->first_fit(fit + i, n - i, least)) < n) {
    if (rounded_fit(fit[i]) == millionths) return i;
    i++;
  }
  return n;
}

/* Without any score: the ripening day with the largest least fit, or -1. */
static int fallback_day(const struct season_view *view) {
  static const float as_good_units = 3.0f; /* what rounds alike lies closer together */
  static const float any_ripe = 0.5f * ISW_KERNEL_NEVER_FIT;
  const struct isw_window season = view->season;
  const float *fit = view->tables->scores[view->programme->score].fit;
  const int this_year = least_of(season.days, ISW_YEAR_DAYS - season.from_day);
  const int next_year = season.days - this_year;
  float most = view->routines->most_fit(fit + season.from_day, this_year);
  if (next_year > 0) {
    const float later = view->routines->most_fit(fit, next_year);
    if (later > most) most = later;
  }
  if (most <= any_ripe) return -1;
  const float least = most > as_good_units ? most - as_good_units : any_ripe;
  const int rounded = rounded_fit(most);
  int day = first_rounded(view, fit + season.from_day, this_year, least, rounded);
  if (day < this_year) return season.from_day + day;
  return first_rounded(view, fit, next_year, least, rounded);
}

/* The window's good days go on for `days` beyond the season; keys: of those days. */
static int edge_of(const struct season_view *view, const int32_t *keys, int days, int32_t top,
                   int goes_on, int better) {
  if (days == 0) return 0;
  return view->routines->most(keys, days) > top + ISW_METHOD_TOP_TENTHS ? goes_on + better
                                                                        : goes_on;
}

static int harvest_of(const struct season_view *view, int sow_day) {
  return isw_kernel_in_year(sow_day + isw_kernel_harvest_after(view->programme,
                                                               view->recipe->n_stages, view->tables,
                                                               sow_day));
}

/* best: of the season, counted from its first day; top: the highest key in it. */
static void find_window(const struct season_view *view, int best, int32_t top,
                        struct isw_result *result) {
  const struct isw_window season = view->season;
  const int day = isw_kernel_in_year(season.from_day + best);
  const int before = good_before(view->twice, day + ISW_YEAR_DAYS) - 1;
  const int after = good_after(view->twice, day) - 1;
  const int first = best - least_of(before, best);
  const int last = best + least_of(after, season.days - 1 - best);
  result->window = (struct isw_window){.from_day = isw_kernel_in_year(season.from_day + first),
                                       .to_day = isw_kernel_in_year(season.from_day + last),
                                       .days = last - first + 1};
  result->cut_from_day = harvest_of(view, result->window.from_day);
  result->cut_to_day = harvest_of(view, result->window.to_day);
  const int outside = ISW_YEAR_DAYS - season.days;
  const int goes_on_before = least_of(before - (best - first), outside);
  const int goes_on_after = least_of(after - (last - best), outside);
  result->edge = edge_of(view, view->keys + ISW_YEAR_DAYS - goes_on_before, goes_on_before, top,
                         ISW_EDGE_GOES_ON_BEFORE, ISW_EDGE_BETTER_BEFORE) +
                 edge_of(view, view->keys + season.days, goes_on_after, top, ISW_EDGE_GOES_ON_AFTER,
                         ISW_EDGE_BETTER_AFTER);
}

static bool any_cut_outside(const struct season_view *view) {
  if (view->recipe->cut_days == ISW_YEAR_DAYS) return false;
  bool any = false;
  for (int i = 0; i < view->season.days; i++) any = any || view->keys[i] < 0;
  return any;
}

static struct isw_result season_result(const struct season_view *view) {
  const struct isw_kernel_recipe *recipe = view->recipe;
  const bool counted = recipe->least_years > 0;
  struct isw_result result = {.best_sow_day = -1,
                              .window = {-1, -1, 0},
                              .transplant_day = -1,
                              .harvest_day = -1,
                              .limit = ISW_LIMIT_NEVER_MATURES,
                              .years = counted ? 0 : -1,
                              .cut_from_day = -1,
                              .cut_to_day = -1};
  struct isw_kernel_top top;
  view->routines->top(view->keys, view->season.days, &top);
  if (top.key > 0) {
    const int best = top.first + (top.last - top.first) / 2; /* the earlier of two */
    const int day = isw_kernel_in_year(view->season.from_day + best);
    const struct isw_kernel_course course =
        describe_day(view->programme, recipe->n_stages, view->tables, day, &result);
    result.best_sow_day = day;
    if (view->programme->transplant_stage >= 0)
      result.transplant_day = isw_kernel_in_year(day + course.transplant_after);
    result.growing_days = course.growing_days;
    result.harvest_day = isw_kernel_in_year(day + course.growing_days);
    result.score_tenths = view->keys[best] % ISW_KERNEL_RANK;
    if (counted) result.years = view->keys[best] / ISW_KERNEL_RANK;
    if (top.key >= recipe->good_key) find_window(view, best, top.key, &result);
    return result;
  }
  if (any_cut_outside(view)) {
    result.limit = ISW_LIMIT_CUT_OUTSIDE;
    return result;
  }
  const int day = fallback_day(view);
  if (day >= 0) describe_day(view->programme, recipe->n_stages, view->tables, day, &result);
  return result;
}

void isw_growth_kernel_results(const struct isw_kernel_recipe *recipe,
                               const struct isw_kernel_routines *routines, int number, bool south,
                               const struct isw_kernel_tables *tables, struct isw_result *results) {
  const struct isw_kernel_programme *programme = &recipe->programmes[number];
  const struct isw_kernel_scores *scores = &tables->scores[programme->score];
  uint64_t twice[ISW_KERNEL_WORDS];
  repeat_good(scores->good, twice);
  for (int i = 0; i < programme->n_pairs; i++) {
    const struct isw_kernel_pair pair = recipe->pairs[programme->first_pair + i];
    const struct isw_window season = recipe->season_days[south][pair.season];
    const struct season_view view = {.recipe = recipe,
                                     .routines = routines,
                                     .programme = programme,
                                     .tables = tables,
                                     .twice = twice,
                                     .season = season,
                                     .keys = scores->key + season.from_day};
    results[pair.result] = season_result(&view);
  }
}

void isw_growth_kernel_drop_cut_outside(const struct isw_kernel_recipe *recipe,
                                        const struct isw_kernel_programme *programme,
                                        struct isw_kernel_tables *tables) {
  struct isw_kernel_scores *scores = &tables->scores[programme->score];
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    if (scores->key[day] == 0) continue;
    const int after = isw_kernel_harvest_after(programme, recipe->n_stages, tables, day);
    if (isw_base_days_forward(recipe->cut_from_day, day + after) < recipe->cut_days) continue;
    scores->key[day] = scores->key[day + ISW_YEAR_DAYS] = -scores->key[day];
    scores->good[day / 64] &= ~(UINT64_C(1) << (day % 64));
  }
}

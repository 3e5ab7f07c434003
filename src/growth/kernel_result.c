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

static struct isw_window window_around(const uint64_t twice[ISW_KERNEL_WORDS], int day) {
  int before = good_before(twice, day + ISW_YEAR_DAYS), after = good_after(twice, day);
  if (before >= ISW_YEAR_DAYS) return (struct isw_window){0, ISW_YEAR_DAYS - 1, ISW_YEAR_DAYS};
  return (struct isw_window){isw_kernel_in_year(day - before + 1 + ISW_YEAR_DAYS),
                             isw_kernel_in_year(day + after - 1), before + after - 1};
}

/* Without any score: the ripening day with the largest least fit, or -1. */
static int fallback_day(const float fit[ISW_KERNEL_ROW], struct isw_window season) {
  int best = -1, most = -1;
  float seen = 0.5f * ISW_KERNEL_NEVER_FIT; /* no lower fit can be better */
  for (int i = 0; i < season.days; i++) {
    int day = isw_kernel_in_year(season.from_day + i);
    if (fit[day] <= seen) continue;
    seen = fit[day];
    const int rounded =
        isw_kernel_millionths(isw_kernel_not_below_0((double)seen) * isw_kernel_per_unit);
    if (rounded <= most) continue;
    best = day;
    most = rounded;
  }
  return best;
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

static struct isw_result season_result(const struct isw_kernel_recipe *recipe,
                                       const struct isw_kernel_routines *routines,
                                       const struct isw_kernel_programme *programme,
                                       struct isw_window season, const uint64_t *twice,
                                       const struct isw_kernel_tables *tables) {
  const struct isw_kernel_scores *scores = &tables->scores;
  struct isw_result result = {.best_sow_day = -1,
                              .window = {-1, -1, 0},
                              .transplant_day = -1,
                              .harvest_day = -1,
                              .limit = ISW_LIMIT_NEVER_MATURES,
                              .years = -1,
                              .cut_from_day = -1,
                              .cut_to_day = -1};
  const int32_t *keys = scores->key + season.from_day;
  const int best = routines->largest(keys, season.days);
  if (keys[best] > 0) {
    const int day = isw_kernel_in_year(season.from_day + best);
    const struct isw_kernel_course course =
        describe_day(programme, recipe->n_stages, tables, day, &result);
    result.best_sow_day = day;
    if (programme->transplant_stage >= 0)
      result.transplant_day = isw_base_wrap_day(day + course.transplant_after);
    result.growing_days = course.growing_days;
    result.harvest_day = isw_base_wrap_day(day + course.growing_days);
    result.score_tenths = keys[best] % ISW_KERNEL_GOOD;
    if (keys[best] >= ISW_KERNEL_GOOD) result.window = window_around(twice, day);
    return result;
  }
  const int day = fallback_day(scores->fit, season);
  if (day < 0) return result;
  describe_day(programme, recipe->n_stages, tables, day, &result);
  return result;
}

void isw_growth_kernel_results(const struct isw_kernel_recipe *recipe,
                               const struct isw_kernel_routines *routines, int number, bool south,
                               const struct isw_kernel_tables *tables, struct isw_result *results) {
  const struct isw_kernel_programme *programme = &recipe->programmes[number];
  uint64_t twice[ISW_KERNEL_WORDS];
  repeat_good(tables->scores.good, twice);
  for (int i = 0; i < programme->n_pairs; i++) {
    const struct isw_kernel_pair pair = recipe->pairs[programme->first_pair + i];
    results[pair.result] = season_result(recipe, routines, programme,
                                         recipe->season_days[south][pair.season], twice, tables);
  }
}

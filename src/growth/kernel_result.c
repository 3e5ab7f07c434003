/* From a programme's scored sowing days to what its seasons hold (method, equations 13-15). */
#include <math.h>

#include "growth/kernel.h"

static const double limit_matters_below = 0.95;
static const double per_unit = 1.0 / ISW_KERNEL_UNITS;
/* fits, survive and stay are compared as whole millionths */
static const double shares_in_one = 1e6;

/* A day of the year or the year after it. */
static int in_year(int day) {
  return day >= ISW_YEAR_DAYS ? day - ISW_YEAR_DAYS : day;
}

/* Rise less fall is below 0 by rounding only. (fmax would be a call.) */
static double not_below_0(double share) {
  return share > 0.0 ? share : 0.0;
}

static int millionths(double share) {
  return (int)(share * shares_in_one + 0.5);
}

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
  return (struct isw_window){in_year(day - before + 1 + ISW_YEAR_DAYS), in_year(day + after - 1),
                             before + after - 1};
}

/* Without any score: the ripening day with the largest least fit, or -1. */
static int fallback_day(const float fit[ISW_KERNEL_ROW], struct isw_window season) {
  int best = -1, most = -1;
  float seen = 0.5f * ISW_KERNEL_NEVER_FIT; /* no lower fit can be better */
  for (int i = 0; i < season.days; i++) {
    int day = in_year(season.from_day + i);
    if (fit[day] <= seen) continue;
    seen = fit[day];
    const int rounded = millionths(not_below_0((double)seen) * per_unit);
    if (rounded <= most) continue;
    best = day;
    most = rounded;
  }
  return best;
}

/* Follow one sowing day that matures through its stages: dates, risks and the limit. */
static void describe_day(const struct isw_kernel_programme *programme, int n_stages,
                         const struct isw_kernel_tables *tables, int sow_day,
                         struct isw_result *result) {
  int from = sow_day, growing_days = 0, least = 2 * (int)shares_in_one;
  int32_t kill = 0, chill = 0;
  for (int k = 0; k < n_stages; k++) {
    const int to = tables->end[programme->end_slot[k]][from];
    const int32_t *rates = tables->ramp[programme->rise_slot[k]];
    const int32_t *fits = tables->fit[programme->fit_slot[k]];
    const double per_days = per_unit / (to - from);
    const double rate = (rates[to] - rates[from]) * per_days;
    const double fit = not_below_0((fits[to] - fits[from]) * per_days);
    if (millionths(fit) < least) {
      least = millionths(fit);
      result->limit = (1.0 - rate >= rate - fit ? 1 : 2) + 2 * k;
    }
    if (programme->kill_slot[k] != ISW_KERNEL_NONE) {
      const int32_t *sum = tables->kill[programme->kill_slot[k]];
      kill += sum[to] - sum[from];
    }
    if (programme->chilling[k] != ISW_KERNEL_NONE) {
      const int32_t *sum = tables->chilling[programme->chilling[k]];
      chill += sum[to] - sum[from];
    }
    if (k == programme->transplant_stage) result->transplant_day = in_year(from);
    growing_days += to - from;
    from = in_year(to);
  }
  const double survive = kill == 0 ? 1.0 : exp(-kill * per_unit);
  double stay = 1.0;
  if (programme->per_bolts > 0.0f)
    stay = not_below_0((programme->bolts_all - chill * per_unit) * programme->per_bolts);
  if (stay > 1.0) stay = 1.0;
  if (millionths(survive) < least) {
    least = millionths(survive);
    result->limit = ISW_LIMIT_FROST;
  }
  if (millionths(stay) < least) {
    least = millionths(stay);
    result->limit = ISW_LIMIT_BOLTING;
  }
  if (least >= (int)(limit_matters_below * shares_in_one)) result->limit = ISW_LIMIT_NOTHING;
  result->growing_days = growing_days;
  result->harvest_day = from;
  result->frost_risk = 1.0 - survive;
  result->bolt_risk = 1.0 - stay;
}

static struct isw_result season_result(const struct isw_kernel_program *program,
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
    const int day = in_year(season.from_day + best);
    describe_day(programme, program->n_stages, tables, day, &result);
    result.best_sow_day = day;
    result.score_tenths = keys[best] % ISW_KERNEL_GOOD;
    if (keys[best] >= ISW_KERNEL_GOOD) result.window = window_around(twice, day);
    return result;
  }
  const int day = fallback_day(scores->fit, season);
  if (day < 0) return result;
  describe_day(programme, program->n_stages, tables, day, &result);
  result.transplant_day = result.harvest_day = -1;
  result.growing_days = 0;
  return result;
}

void isw_growth_kernel_results(const struct isw_kernel_program *program,
                               const struct isw_kernel_routines *routines, int number, bool south,
                               const struct isw_kernel_tables *tables, struct isw_result *results) {
  const struct isw_kernel_programme *programme = &program->programmes[number];
  uint64_t twice[ISW_KERNEL_WORDS];
  repeat_good(tables->scores.good, twice);
  for (int i = 0; i < programme->n_pairs; i++) {
    const struct isw_kernel_pair pair = program->pairs[programme->first_pair + i];
    results[pair.result] = season_result(program, routines, programme,
                                         program->season_days[south][pair.season], twice, tables);
  }
}

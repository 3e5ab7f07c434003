/* In how many of ten years the good days of the normal year are good (method, equation 13).
 *
 * DESIGN. Five years stand on the warm side of the normal one and five on the cold side. Goodness
 * does not come back farther out, so a side is asked from outside: most days are good in its
 * outermost year and cost one question there; the others are few, and stand together. A question is
 * asked of all programmes of a batch at once, in the order of their sowing days, so that they share
 * the tables of the shifted year (growth/kernel_shift.h):
 *
 *   fifth year good ------------------------------> 5
 *     no: third year good --> fourth year good ---> 4
 *                               no ---------------> 3
 *           no: second year good -----------------> 2
 *                 no: first year good ------------> 1
 *                       no -----------------------> 0
 *
 * Every answer narrows down how many years a day has for sure and at most. A day is asked on while
 * it is open whether its years are enough; or while it may have as many as the best of a season
 * which it is of, or into which its run of good days goes on. Other days' keys then hold years that
 * may be too few, but not by enough to matter. Where the whole year is asked for, all days are
 * asked to the end.
 */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_walk.h"

void ISW_KERNEL_NAME(isw_growth_kernel_years)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_batch *batch,
                                              struct isw_kernel_tables *tables);

enum { SIDES = 2, YEARS = ISW_METHOD_YEARS_A_SIDE, ALL_YEARS = SIDES * YEARS };
static const double sides[SIDES] = {1.0, -1.0};

/* Years of a side that an answer adds for sure, and that it leaves out; by year, 1..5 outwards. */
static const int sure_if_good[YEARS + 1] = {0, 1, 2, 3, 1, 5};
static const int lost_if_not[YEARS + 1] = {0, 1, 1, 2, 1, 1};

/* A season, and those of its programme's good days that matter to it. */
struct zone {
  const uint64_t *season;
  struct day_set days;
  int best; /* years that a day of the season has for sure */
};

/* Of one programme of the batch. */
struct days_of {
  struct day_set good; /* in the normal year */
  int n_zones;
  struct zone zones[ISW_SEASONS_MAX];
};

struct years {
  struct shift shift;
  const struct isw_kernel_batch *batch;
  struct isw_kernel_tables *tables;
  struct walk_programme programmes[ISW_KERNEL_BATCH];
  struct days_of of[ISW_KERNEL_BATCH];
};

/* Of these days those that have to be asked on. */
static struct day_set open_days(const struct years *years, int i, const struct day_set *set) {
  const struct isw_kernel_shifted *days = &years->tables->shifted;
  const struct days_of *of = &years->of[i];
  const lanes_i least = i_all(years->shift.recipe->least_years);
  struct day_set open = {{0}};
  for (struct day_set_walk at = first_vector(set); at.bits != 0; at = next_vector(set, at)) {
    const lanes_i sure = i_load(days->sure[i] + at.vector * LANES);
    const lanes_i possible = i_load(days->possible[i] + at.vector * LANES);
    uint32_t bits = (uint32_t)m_bits(m_and(i_less(sure, least), m_not(i_less(possible, least))));
    for (int z = 0; z < of->n_zones; z++)
      bits |= vector_of(&of->zones[z].days, at.vector) &
              (uint32_t)m_bits(m_not(i_less(possible, i_all(of->zones[z].best))));
    add_vector(&open, at.vector, bits & at.bits);
  }
  return open;
}

/* What an answer says of the days' years. */
static void note_answer(struct years *years, int i, int year, const struct day_set *asked,
                        const struct day_set *yes) {
  struct isw_kernel_shifted *days = &years->tables->shifted;
  struct days_of *of = &years->of[i];
  lanes_i best[ISW_SEASONS_MAX];
  for (int z = 0; z < of->n_zones; z++) best[z] = i_all(0);
  for (struct day_set_walk at = first_vector(asked); at.bits != 0; at = next_vector(asked, at)) {
    const uint32_t good = vector_of(yes, at.vector);
    const lanes_i is_yes = lanes_of_bits(good), is_no = lanes_of_bits(at.bits & ~good);
    int32_t *sure = days->sure[i] + at.vector * LANES;
    int32_t *possible = days->possible[i] + at.vector * LANES;
    const lanes_i now_sure = i_load(sure) + (is_yes & sure_if_good[year]);
    i_store(sure, now_sure);
    i_store(possible, i_load(possible) - (is_no & lost_if_not[year]));
    for (int z = 0; z < of->n_zones; z++) {
      const uint32_t in_season = good & vector_bits(of->zones[z].season, at.vector);
      if (in_season != 0) best[z] = i_max(best[z], now_sure & lanes_of_bits(in_season));
    }
  }
  for (int z = 0; z < of->n_zones; z++) {
    const int sure = i_most(best[z]);
    if (sure > of->zones[z].best) of->zones[z].best = sure;
  }
}

/* Ask one year of a side, 1..5 outwards, about the open ones among these days of each programme.
 * Answers: into yes and no. */
static void ask_year(struct years *years, int side, int year,
                     const struct day_set about[ISW_KERNEL_BATCH],
                     struct day_set yes[ISW_KERNEL_BATCH], struct day_set no[ISW_KERNEL_BATCH]) {
  const double z = sides[side] * isw_method_year_z[year - 1];
  const int n = years->batch->n;
  bool any = false;
  for (int i = 0; i < n; i++) {
    no[i] = open_days(years, i, &about[i]);
    yes[i] = (struct day_set){{0}};
    any = any || !is_empty(&no[i]);
  }
  if (!any) return;
  shift_start(&years->shift, (float)(z * (double)years->tables->place.year_spread_K));
  ask(&years->shift, n, years->programmes, no, yes);
  for (int i = 0; i < n; i++) {
    if (is_empty(&no[i])) continue;
    note_answer(years, i, year, &no[i], &yes[i]);
    for (int w = 0; w < DAY_WORDS; w++) no[i].words[w] &= ~yes[i].words[w];
  }
}

static void ask_all(struct years *years) {
  struct day_set about[ISW_KERNEL_BATCH], yes[ISW_KERNEL_BATCH], no[SIDES][ISW_KERNEL_BATCH];
  struct day_set third[SIDES][ISW_KERNEL_BATCH];
  for (int i = 0; i < years->batch->n; i++) about[i] = years->of[i].good;
  for (int side = 0; side < SIDES; side++) ask_year(years, side, 5, about, yes, no[side]);
  for (int side = 0; side < SIDES; side++) {
    memcpy(about, no[side], sizeof about);
    ask_year(years, side, 3, about, third[side], no[side]);
  }
  for (int side = 0; side < SIDES; side++) {
    struct day_set ignored[ISW_KERNEL_BATCH];
    ask_year(years, side, 4, third[side], yes, ignored);
  }
  for (int year = 2; year >= 1; year--)
    for (int side = 0; side < SIDES; side++) {
      memcpy(about, no[side], sizeof about);
      ask_year(years, side, year, about, yes, no[side]);
    }
}

/* The run of good days from `day` on, outside the season. */
static void add_run(struct zone *zone, const struct day_set *good, int day, int step) {
  for (;;) {
    day = day < 0 ? ISW_YEAR_DAYS - 1 : day == ISW_YEAR_DAYS ? 0 : day;
    if (!bit_of(good->words, day) || bit_of(zone->days.words, day) || bit_of(zone->season, day))
      return;
    set_bit(zone->days.words, day);
    day += step;
  }
}

static void add_zone(struct days_of *of, struct isw_window season, const uint64_t *season_set) {
  struct zone *zone = &of->zones[of->n_zones];
  *zone = (struct zone){.season = season_set};
  for (int w = 0; w < DAY_WORDS; w++) zone->days.words[w] = of->good.words[w] & season_set[w];
  if (is_empty(&zone->days)) return;
  if (bit_of(of->good.words, season.from_day)) add_run(zone, &of->good, season.from_day - 1, -1);
  if (bit_of(of->good.words, season.to_day)) add_run(zone, &of->good, season.to_day + 1, 1);
  of->n_zones++;
}

static void add_zones(struct years *years, int i) {
  const struct isw_kernel_recipe *recipe = years->shift.recipe;
  const struct isw_kernel_programme *programme = &recipe->programmes[years->batch->first + i];
  const struct isw_kernel_place *place = &years->tables->place;
  struct days_of *of = &years->of[i];
  of->n_zones = 0;
  if (place->in_full) { /* one zone of all good days, whose best is never known */
    static const uint64_t no_season[DAY_WORDS] = {0};
    of->zones[of->n_zones++] = (struct zone){.season = no_season, .days = of->good};
    return;
  }
  for (int p = 0; p < programme->n_pairs; p++) {
    const int season = recipe->pairs[programme->first_pair + p].season;
    add_zone(of, recipe->season_days[place->south][season],
             recipe->season_set[place->south][season]);
  }
}

/* Whether there is anything to ask about this programme. */
static bool begin_days(struct years *years, int i) {
  struct isw_kernel_shifted *days = &years->tables->shifted;
  const struct isw_kernel_recipe *recipe = years->shift.recipe;
  struct day_set *good = &years->of[i].good;
  memcpy(good->words, years->tables->scores[i].good, sizeof good->words);
  good->words[DAY_WORDS - 1] &= (UINT64_C(1) << ISW_YEAR_DAYS % 64) - 1;
  if (is_empty(good)) return false;
  start_programme(&years->programmes[i], recipe, &recipe->programmes[years->batch->first + i],
                  days);
  for (struct day_set_walk at = first_vector(good); at.bits != 0; at = next_vector(good, at)) {
    i_store(days->sure[i] + at.vector * LANES, i_all(0));
    i_store(days->possible[i] + at.vector * LANES, i_all(ALL_YEARS));
  }
  add_zones(years, i);
  return true;
}

/* Years into the keys, and whether they are enough; then the second year's keys. */
static void finish_days(struct years *years, int i) {
  struct isw_kernel_scores *scores = &years->tables->scores[i];
  const struct day_set *good = &years->of[i].good;
  const lanes_i least = i_all(years->shift.recipe->least_years);
  struct day_set enough = {{0}};
  for (struct day_set_walk at = first_vector(good); at.bits != 0; at = next_vector(good, at)) {
    const lanes_i sure = i_load(years->tables->shifted.sure[i] + at.vector * LANES);
    int32_t *key = scores->key + at.vector * LANES;
    i_store(key, i_load(key) + (lanes_of_bits(at.bits) & (sure * ISW_KERNEL_RANK)));
    add_vector(&enough, at.vector, at.bits & (uint32_t)m_bits(m_not(i_less(sure, least))));
  }
  memcpy(scores->good, enough.words, sizeof enough.words);
  days_carry_on(scores->key, 2 * ISW_YEAR_DAYS);
}

void ISW_KERNEL_NAME(isw_growth_kernel_years)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_batch *batch,
                                              struct isw_kernel_tables *tables) {
  struct years years;
  years.shift = (struct shift){.recipe = recipe, .tables = tables, .shifted = &tables->shifted};
  years.batch = batch;
  years.tables = tables;
  bool any = false;
  for (int i = 0; i < batch->n; i++) any |= begin_days(&years, i);
  if (!any) return;
  ask_all(&years);
  for (int i = 0; i < batch->n; i++)
    if (!is_empty(&years.of[i].good)) finish_days(&years, i);
}

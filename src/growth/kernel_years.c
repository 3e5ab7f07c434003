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
 * A day's years are added to its key as the answers come. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_points.h"
#include "growth/kernel_shift.h"

void ISW_KERNEL_NAME(isw_growth_kernel_years)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_batch *batch,
                                              struct isw_kernel_tables *tables);

enum { VECTORS = ISW_KERNEL_ROW / LANES, DAY_WORDS = (ISW_YEAR_DAYS + 63) / 64 };
enum { JOINED_GAP = 2 }; /* vectors without a question that a stretch may hold in a row */

/* Sowing days of a year, a bit each. */
struct day_set {
  uint64_t words[DAY_WORDS];
};
static inline uint32_t vector_of(const struct day_set *set, int vector) {
  const int day = vector * LANES;
  return (uint32_t)(set->words[day / 64] >> (day % 64)) & ((UINT32_C(1) << LANES) - 1);
}
static inline void add_vector(struct day_set *set, int vector, uint32_t bits) {
  const int day = vector * LANES;
  set->words[day / 64] |= (uint64_t)bits << (day % 64);
}
static inline bool is_empty(const struct day_set *set) {
  uint64_t any = 0;
  for (int i = 0; i < DAY_WORDS; i++) any |= set->words[i];
  return any == 0;
}
/* Good in the normal year. */
static inline struct day_set good_days(const struct isw_kernel_scores *scores) {
  struct day_set out;
  memcpy(out.words, scores->good, sizeof out.words);
  out.words[DAY_WORDS - 1] &= (UINT64_C(1) << ISW_YEAR_DAYS % 64) - 1;
  return out;
}

/* The sowing days of one programme from one vector to another, on their way through the stages. */
struct walk {
  struct shift *shift;
  const struct isw_kernel_programme *programme;
  struct score_odds odds;
  float least_fit; /* below it no day is good, whatever else it suffers */
  int first, last; /* vectors that hold a day that may be good; last below first: none */
};

static void start_walk(struct walk *walk, const struct day_set *asked) {
  struct isw_kernel_shifted *days = walk->shift->shifted;
  for (int v = walk->first; v <= walk->last; v++) {
    days->alive[v] = vector_of(asked, v);
    i_store(days->from + v * LANES, i_lane_numbers() + v * LANES);
    i_store(days->kill_so_far + v * LANES, i_all(0));
    i_store(days->chill_so_far + v * LANES, i_all(0));
    f_store(days->fit_so_far + v * LANES, f_all(ISW_KERNEL_UNITS));
  }
}

/* Where a stage ends on the days at work. */
static void walk_clock(const struct walk *walk, int k) {
  struct isw_kernel_shifted *days = walk->shift->shifted;
  const struct isw_kernel_recipe *recipe = walk->shift->recipe;
  const struct isw_kernel_stage *stage = &recipe->stages[walk->programme->stage[k]];
  const struct isw_kernel_clock *clock = &recipe->clocks[stage->clock];
  const int first = days->from[walk->first * LANES];
  const int last = days->from[walk->last * LANES + LANES - 1];
  const int32_t *end = shift_ends(walk->shift, clock, walk->programme->end_slot[k],
                                  walk->programme->rise_slot[k], first, last);
  for (int v = walk->first; v <= walk->last; v++) {
    if (days->alive[v] == 0) continue;
    const int32_t *from = days->from + v * LANES;
    const struct lanes_place place = place_of(from);
    const lanes_i to = i_take(end, &place, spread_of(from));
    /* What never matures is cut off where no crop stands any more; the order of days stays. */
    const lanes_i latest = i_lane_numbers() + (v * LANES + ISW_KERNEL_LONGEST);
    const lanes_m matures =
        m_and(i_less(to - i_load(from), i_all(clock->at_most_days + 1)), i_less(to, latest));
    days->alive[v] &= (uint32_t)m_bits(matures);
    i_store(days->to + v * LANES, i_min(to, latest));
  }
}

/* Sums that a stage reads; NULL where nothing happens between its ends. */
struct stage_sums {
  const int32_t *rise, *fall, *kill, *chilling;
};
static inline const int32_t *where_it_grows(const int32_t *sums, int from, int to) {
  return sums[from] == sums[to] ? NULL : sums;
}

static struct stage_sums sums_of(const struct walk *walk, int k, int from, int to) {
  const struct isw_kernel_programme *programme = walk->programme;
  const struct isw_kernel_recipe *recipe = walk->shift->recipe;
  const struct isw_kernel_stage *stage = &recipe->stages[programme->stage[k]];
  const struct isw_kernel_fit *fit = &recipe->fits[stage->fit];
  struct stage_sums sums = {
      .rise = shift_ramp_sums(walk->shift, fit->rise, programme->rise_slot[k], from, to),
      .fall = where_it_grows(
          shift_ramp_sums(walk->shift, fit->fall, programme->fall_slot[k], from, to), from, to)};
  if (stage->kill != ISW_KERNEL_NONE)
    sums.kill = where_it_grows(
        shift_kill_sums(walk->shift, stage->kill, programme->kill_slot[k], from, to), from, to);
  if (stage->chilling != ISW_KERNEL_NONE)
    sums.chilling =
        where_it_grows(shift_chilling_sums(walk->shift, stage->chilling, from, to), from, to);
  return sums;
}

struct stage_places {
  struct lanes_place from, to;
  enum lanes_spread spread; /* of the wider one */
};
static inline lanes_i grown(const int32_t *sums, const struct stage_places *places) {
  return i_take(sums, &places->to, places->spread) - i_take(sums, &places->from, places->spread);
}

/* What one vector of days goes through in a stage. */
static inline void walk_vector(const struct walk *walk, const struct stage_sums *sums, int v) {
  struct isw_kernel_shifted *days = walk->shift->shifted;
  const int day = v * LANES;
  struct stage_places places = {.from = place_of(days->from + day), .to = place_of(days->to + day)};
  const enum lanes_spread spread_from = spread_of(days->from + day);
  places.spread = spread_of(days->to + day);
  if (spread_from > places.spread) places.spread = spread_from;
  lanes_i fit_sum = grown(sums->rise, &places);
  if (sums->fall != NULL) fit_sum -= grown(sums->fall, &places);
  const lanes_i length = i_load(days->to + day) - i_load(days->from + day);
  const lanes_f fit =
      f_min(f_load(days->fit_so_far + day), f_of_i(fit_sum) / f_of_i(i_max(length, i_all(1))));
  f_store(days->fit_so_far + day, fit);
  lanes_m alive = m_not(f_less(fit, f_all(walk->least_fit)));
  if (sums->kill != NULL) {
    const lanes_i kill = i_load(days->kill_so_far + day) + grown(sums->kill, &places);
    i_store(days->kill_so_far + day, kill);
    alive = m_and(alive, i_less(kill, i_all(walk->odds.doubtful_kill)));
  }
  if (sums->chilling != NULL) {
    const lanes_i chill = i_load(days->chill_so_far + day) + grown(sums->chilling, &places);
    i_store(days->chill_so_far + day, chill);
    alive = m_and(alive, i_less(chill, i_all(walk->odds.doubtful_chill)));
  }
  days->alive[v] &= (uint32_t)m_bits(alive);
  i_store(days->from + day, i_load(days->to + day));
}

/* Leave out what can no longer be good at both ends. */
static bool any_left(struct walk *walk) {
  const uint32_t *alive = walk->shift->shifted->alive;
  while (walk->first <= walk->last && alive[walk->first] == 0) walk->first++;
  while (walk->first <= walk->last && alive[walk->last] == 0) walk->last--;
  return walk->first <= walk->last;
}

static void walk_stage(struct walk *walk, int k) {
  const struct isw_kernel_shifted *days = walk->shift->shifted;
  const struct stage_sums sums =
      sums_of(walk, k, days->from[walk->first * LANES], days->to[walk->last * LANES + LANES - 1]);
  for (int v = walk->first; v <= walk->last; v++)
    if (days->alive[v] != 0) walk_vector(walk, &sums, v);
}

/* Of the asked days of the walk's vectors, those that are good in the shifted year: into yes. */
static void walk_through(struct walk *walk, const struct day_set *asked, struct day_set *yes) {
  const struct isw_kernel_shifted *days = walk->shift->shifted;
  start_walk(walk, asked);
  for (int k = 0; k < walk->shift->recipe->n_stages; k++) {
    walk_clock(walk, k);
    if (!any_left(walk)) return;
    walk_stage(walk, k);
    if (!any_left(walk)) return;
  }
  for (int v = walk->first; v <= walk->last; v++) {
    if (days->alive[v] == 0) continue;
    const int day = v * LANES;
    const lanes_i kill = i_load(days->kill_so_far + day), chill = i_load(days->chill_so_far + day);
    const lanes_i tenths = score_tenths(&walk->odds, f_load(days->fit_so_far + day), kill, chill);
    const lanes_m good = is_good(&walk->odds, tenths, kill, chill);
    add_vector(yes, v, days->alive[v] & (uint32_t)m_bits(good));
  }
}

static int next_vector(const struct day_set *set, int vector) {
  while (vector < VECTORS && vector_of(set, vector) == 0) vector++;
  return vector;
}

/* A stretch of asked vectors from `first` on; returns its last. */
static int last_of_stretch(const struct day_set *set, int first) {
  int last = first;
  for (int next = next_vector(set, first + 1); next < VECTORS && next - last <= JOINED_GAP + 1;
       next = next_vector(set, last + 1))
    last = next;
  return last;
}

/* The days asked about, per programme of a batch, and those of them that are good. */
struct question {
  struct day_set asked[ISW_KERNEL_BATCH], yes[ISW_KERNEL_BATCH];
};

static void leave_yes_out(const struct isw_kernel_batch *batch, struct question *question) {
  for (int i = 0; i < batch->n; i++)
    for (int w = 0; w < DAY_WORDS; w++) question->asked[i].words[w] &= ~question->yes[i].words[w];
}

/* Stretches in the order of their days, whichever programme they belong to. */
static void ask(struct shift *shift, const struct isw_kernel_batch *batch,
                struct question *question) {
  int next[ISW_KERNEL_BATCH];
  for (int i = 0; i < batch->n; i++) {
    next[i] = next_vector(&question->asked[i], 0);
    question->yes[i] = (struct day_set){{0}};
  }
  for (;;) {
    int chosen = 0;
    for (int i = 1; i < batch->n; i++)
      if (next[i] < next[chosen]) chosen = i;
    if (next[chosen] == VECTORS) return;
    const struct isw_kernel_programme *programme =
        &shift->recipe->programmes[batch->first + chosen];
    const struct day_set *asked = &question->asked[chosen];
    struct walk walk = {
        .shift = shift,
        .programme = programme,
        .odds = odds_of(shift->recipe, programme),
        /* A tenth less than needed, for what rounding may do. */
        .least_fit = (float)(shift->recipe->good_tenths - 1) * (ISW_KERNEL_UNITS / 1000.0f),
        .first = next[chosen],
        .last = last_of_stretch(asked, next[chosen])};
    next[chosen] = next_vector(asked, walk.last + 1);
    walk_through(&walk, asked, &question->yes[chosen]);
  }
}

/* Ask one year of a side, 1..5 outwards, and add what a yes is worth to the days' keys. */
static void ask_year(struct shift *shift, const struct isw_kernel_batch *batch, double side,
                     int year, int worth, struct isw_kernel_scores *scores,
                     struct question *question) {
  const double z = side * isw_method_year_z[year - 1];
  shift_start(shift, (float)(z * (double)shift->tables->year_spread_K));
  ask(shift, batch, question);
  for (int i = 0; i < batch->n; i++)
    for (int w = 0; w < DAY_WORDS; w++)
      for (uint64_t left = question->yes[i].words[w]; left != 0; left &= left - 1)
        scores[i].key[64 * w + __builtin_ctzll(left)] += ISW_KERNEL_RANK * worth;
}

static void ask_side(struct shift *shift, const struct isw_kernel_batch *batch, double side,
                     const struct day_set *good, struct isw_kernel_scores *scores) {
  struct question question, fourth;
  for (int i = 0; i < batch->n; i++) question.asked[i] = good[i];
  ask_year(shift, batch, side, 5, 5, scores, &question);
  leave_yes_out(batch, &question);
  ask_year(shift, batch, side, 3, 3, scores, &question);
  for (int i = 0; i < batch->n; i++) fourth.asked[i] = question.yes[i];
  ask_year(shift, batch, side, 4, 1, scores, &fourth);
  leave_yes_out(batch, &question);
  ask_year(shift, batch, side, 2, 2, scores, &question);
  leave_yes_out(batch, &question);
  ask_year(shift, batch, side, 1, 1, scores, &question);
}

/* Years are enough, or not; and the second year's keys. */
static void finish_scores(struct isw_kernel_scores *scores, int32_t good_key) {
  memset(scores->good, 0, sizeof scores->good);
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const lanes_m good = m_not(i_less(i_load(scores->key + day), i_all(good_key)));
    scores->good[day / 64] |= m_bits(good) << (day % 64);
  }
  days_carry_on(scores->key, 2 * ISW_YEAR_DAYS);
}

void ISW_KERNEL_NAME(isw_growth_kernel_years)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_batch *batch,
                                              struct isw_kernel_tables *tables) {
  struct shift shift = {.recipe = recipe, .tables = tables, .shifted = &tables->shifted};
  struct day_set good[ISW_KERNEL_BATCH];
  bool any = false;
  for (int i = 0; i < batch->n; i++) {
    good[i] = good_days(&tables->scores[i]);
    any = any || !is_empty(&good[i]);
  }
  if (!any) return;
  ask_side(&shift, batch, 1.0, good, tables->scores);
  ask_side(&shift, batch, -1.0, good, tables->scores);
  for (int i = 0; i < batch->n; i++)
    if (!is_empty(&good[i])) finish_scores(&tables->scores[i], recipe->good_key);
}

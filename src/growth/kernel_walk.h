/* Sowing days on their way through the stages of a shifted year: are they good in it? (method,
 * equations 6 to 13)
 *
 * DESIGN. A walk is one vector of sowing days of one programme. The stages of a walk wait for each
 * other, those of different walks do not: so walks are taken in groups, of whatever programmes, and
 * a group stage by stage. Walks whose days can no longer be good are left out as they go. What
 * kills or chills comes last, for those that are left. */
#ifndef ISW_GROWTH_KERNEL_WALK_H
#define ISW_GROWTH_KERNEL_WALK_H

#include "growth/kernel_day_set.h"
#include "growth/kernel_points.h"
#include "growth/kernel_shift.h"
#include "growth/kernel_window.h"

enum { WALKS = 32 }; /* in a group */

/* What a stage of a programme reads. */
struct walk_stage {
  struct shift_sums rise, fall, kill, chilling;
  bool kills, chills;
  int end_slot;
  int32_t need; /* units */
  int shortest, at_most_days;
  int base, vector; /* where the search of the vector after this one begins */
};
struct walk_programme {
  bool may_outlast_year;
  struct score_odds odds;
  float least_fit; /* below it no day is good, whatever else it suffers */
  struct walk_stage stages[ISW_STAGES_MAX];
};

static void start_programme(struct walk_programme *out, const struct isw_kernel_recipe *recipe,
                            const struct isw_kernel_programme *programme,
                            struct isw_kernel_shifted *shifted) {
  out->may_outlast_year = programme->counts;
  out->odds = odds_of(recipe, programme);
  /* A tenth less than needed, for what rounding may do. */
  out->least_fit = (float)(recipe->good_tenths - 1) * (ISW_KERNEL_UNITS / 1000.0f);
  for (int k = 0; k < recipe->n_stages; k++) {
    const struct isw_kernel_stage *from = &recipe->stages[programme->stage[k]];
    const struct isw_kernel_clock *clock = &recipe->clocks[from->clock];
    const struct isw_kernel_fit *fit = &recipe->fits[from->fit];
    struct walk_stage *stage = &out->stages[k];
    stage->rise = shift_ramp_of(shifted, fit->rise, programme->rise_slot[k]);
    stage->fall = shift_ramp_of(shifted, fit->fall, programme->fall_slot[k]);
    stage->kills = from->kill != ISW_KERNEL_NONE;
    stage->chills = from->chilling != ISW_KERNEL_NONE;
    if (stage->kills) stage->kill = shift_kill_of(shifted, from->kill, programme->kill_slot[k]);
    if (stage->chills) stage->chilling = shift_chilling_of(shifted, from->chilling);
    stage->end_slot = programme->end_slot[k];
    stage->need = clock->need;
    stage->shortest = shortest_length(clock->need);
    stage->at_most_days = clock->at_most_days;
  }
}

/* Begins and ends of stages: consecutive lanes, never falling. */
struct walk_days {
  int32_t day[LANES];
};
static inline int first_of(const struct walk_days *days) {
  return days->day[0];
}
static inline int last_of(const struct walk_days *days) {
  return days->day[LANES - 1];
}

struct walk {
  struct walk_programme *programme;
  int number; /* of the programme in its batch */
  int vector;
  uint32_t alive;                          /* days that may still be good */
  float fit[LANES];                        /* the least so far, units */
  struct walk_days at[ISW_STAGES_MAX + 1]; /* begins of its stages, and the last one's ends */
};
struct walks {
  int n;
  struct walk walk[WALKS];
};

/* Only days in `alive` count; the others are drawn to them, so that they ask for nothing of their
 * own and days stay in order. */
static inline void draw_to_alive(struct walk_days *days, uint32_t alive) {
  const int first = days->day[__builtin_ctz(alive)], last = days->day[31 - __builtin_clz(alive)];
  i_store(days->day, i_min(i_max(i_load(days->day), i_all(first)), i_all(last)));
}

/* How many of the window's lengths are too short; first: the sum at the first lane's first length.
 */
static inline __attribute__((always_inline)) lanes_i count_window(const int32_t *first,
                                                                  const struct lanes_place *from,
                                                                  enum lanes_spread spread,
                                                                  lanes_i target) {
  lanes_i even = {0}, odd = {0};
  for (int j = 0; j < ISW_KERNEL_WINDOW; j += 2) {
    even = i_count(even, i_less(i_take_from(first + j, from, spread), target));
    odd = i_count(odd, i_less(i_take_from(first + j + 1, from, spread), target));
  }
  return even + odd;
}
static inline lanes_i count_lengths(const int32_t *first, const struct lanes_place *from,
                                    enum lanes_spread spread, lanes_i target) {
  if (spread == LANES_IN_ONE) return count_window(first, from, LANES_IN_ONE, target);
  if (spread == LANES_IN_TWO) return count_window(first, from, LANES_IN_TWO, target);
  return count_window(first, from, LANES_FAR, target);
}

static inline bool none_short(lanes_i count, uint32_t alive) {
  return ((uint32_t)m_bits(i_less(count, i_all(1))) & alive) != 0;
}
static inline bool all_short(lanes_i count, uint32_t alive) {
  return ((uint32_t)m_bits(m_not(i_less(count, i_all(ISW_KERNEL_WINDOW)))) & alive) != 0;
}

/* Where to look first: by the vector before, or by the normal year. (No branch: it would be guessed
 * wrong as often as right.) */
static inline int first_base(const struct shift *shift, const struct walk_stage *stage, int vector,
                             int day) {
  const int row = day < ISW_YEAR_DAYS ? day : day - ISW_YEAR_DAYS;
  const int normal = shift->tables->end[stage->end_slot][row] - row - ISW_KERNEL_WINDOW / 2;
  const int known = -(stage->vector == vector - 1);
  return (stage->base & known) | (normal & ~known);
}

/* The stage's lengths on the walk's days that may still be good (others': between the shortest and
 * the longest of these); above at_most_days: it does not end. Its rise then stands as far. */
static inline lanes_i find_lengths(struct shift *shift, struct walk_stage *stage,
                                   const struct walk *walk, const struct walk_days *from) {
  const struct lanes_place place = place_of(from->day);
  const enum lanes_spread spread = spread_of(from->day);
  const int at_most = stage->at_most_days, first = first_of(from), last = last_of(from);
  if (stage->shortest > at_most) return i_all(at_most + 1);
  int base = between(first_base(shift, stage, walk->vector, first), stage->shortest, at_most);
  shift_ramp_to(shift, &stage->rise, first, last + base + ISW_KERNEL_WINDOW);
  const int32_t *sums = stage->rise.sums + first;
  const lanes_i target = i_take_from(sums, &place, spread) + stage->need;
  lanes_i count = count_lengths(sums + base, &place, spread, target);
  while (base > stage->shortest && none_short(count, walk->alive)) {
    base = between(base - ISW_KERNEL_WINDOW, stage->shortest, at_most);
    count = count_lengths(sums + base, &place, spread, target);
  }
  lanes_i length = count + base;
  while (base + ISW_KERNEL_WINDOW <= at_most && all_short(count, walk->alive)) {
    base += ISW_KERNEL_WINDOW;
    shift_ramp_to(shift, &stage->rise, first, last + base + ISW_KERNEL_WINDOW);
    count = count_lengths(sums + base, &place, spread, target);
    length += count;
  }
  const int of_first = length[0], of_last = length[LANES - 1];
  stage->base = of_last + (of_last - of_first) / 2 - ISW_KERNEL_WINDOW / 2;
  stage->vector = walk->vector;
  return length;
}

/* Begins and ends of a stage. */
struct stage_places {
  struct lanes_place from, to;
  enum lanes_spread spread; /* of the wider one */
};
static inline struct stage_places stage_places_of(const struct walk_days *from,
                                                  const struct walk_days *to) {
  const enum lanes_spread a = spread_of(from->day), b = spread_of(to->day);
  return (struct stage_places){place_of(from->day), place_of(to->day), a > b ? a : b};
}
/* What grew in between. */
static inline __attribute__((always_inline)) lanes_i grown_in(const int32_t *sums,
                                                              const struct stage_places *places,
                                                              enum lanes_spread spread) {
  return i_take_from(sums + places->to.first, &places->to, spread) -
         i_take_from(sums + places->from.first, &places->from, spread);
}
static inline lanes_i grown(const int32_t *sums, const struct stage_places *places) {
  if (places->spread == LANES_IN_ONE) return grown_in(sums, places, LANES_IN_ONE);
  if (places->spread == LANES_IN_TWO) return grown_in(sums, places, LANES_IN_TWO);
  return grown_in(sums, places, LANES_FAR);
}

/* Clock and fit of a walk's stage k, whatever happens in it. */
static __attribute__((noinline)) void walk_any_stage(struct shift *shift, struct walk *walk,
                                                     int k) {
  struct walk_stage *stage = &walk->programme->stages[k];
  const struct walk_days *from = &walk->at[k];
  struct walk_days *to = &walk->at[k + 1];
  const lanes_i length = find_lengths(shift, stage, walk, from);
  const lanes_i end = i_load(from->day) + length;
  lanes_m matures = i_less(length, i_all(stage->at_most_days + 1));
  if (walk->programme->may_outlast_year) {
    const lanes_i sowing = i_lane_numbers() + walk->vector * LANES;
    matures = m_and(matures, i_less(end - sowing, i_all(ISW_KERNEL_LONGEST)));
  }
  const uint32_t alive = walk->alive & (uint32_t)m_bits(matures);
  i_store(to->day, end);
  if (alive != walk->alive) { /* else days drawn to others end with them */
    walk->alive = alive;
    if (alive == 0) return;
    draw_to_alive(to, alive);
  }
  const int first = first_of(from), last = last_of(to);
  const struct stage_places places = stage_places_of(from, to);
  lanes_i sum = grown(stage->rise.sums, &places);
  shift_ramp_to(shift, &stage->fall, first, last);
  if (stage->fall.sums[first] != stage->fall.sums[last]) sum -= grown(stage->fall.sums, &places);
  const lanes_i days = i_max(i_load(to->day) - i_load(from->day), i_all(1));
  const lanes_f fit = f_min(f_load(walk->fit), f_of_i(sum) / f_of_i(days));
  f_store(walk->fit, fit);
  const uint32_t fits = (uint32_t)m_bits(m_not(f_less(fit, f_all(walk->programme->least_fit))));
  if ((alive & ~fits) != 0) {
    walk->alive &= fits;
    if (walk->alive != 0) draw_to_alive(to, walk->alive);
  }
}

static inline lanes_i take_near(const int32_t *first, const struct lanes_place *place) {
  return i_take_from(first, place, LANES_IN_ONE);
}

/* The same for the usual case: begins and ends lie within a vector, one window is enough, and all
 * days mature. Returns false, with nothing done, where it is not that. */
static inline bool walk_usual_stage(struct shift *shift, struct walk *walk, int k) {
  struct walk_stage *stage = &walk->programme->stages[k];
  const struct walk_days *from = &walk->at[k];
  struct walk_days *to = &walk->at[k + 1];
  const int first = first_of(from), last = last_of(from), at_most = stage->at_most_days;
  int base = first_base(shift, stage, walk->vector, first);
  if (base < stage->shortest) base = stage->shortest;
  if (last - first >= LANES || base + ISW_KERNEL_WINDOW > at_most) return false;
  shift_ramp_to(shift, &stage->rise, first, last + base + ISW_KERNEL_WINDOW);
  const int32_t *sums = stage->rise.sums + first;
  const struct lanes_place place = place_of(from->day);
  const lanes_i at_begin = take_near(sums, &place), target = at_begin + stage->need;
  const lanes_i count = count_window(sums + base, &place, LANES_IN_ONE, target);
  if ((base > stage->shortest && none_short(count, walk->alive)) || all_short(count, walk->alive))
    return false;
  const lanes_i length = count + base, end = i_load(from->day) + length;
  i_store(to->day, end);
  const int first_end = end[0], last_end = end[LANES - 1];
  if (last_end - first_end >= LANES) return false;
  stage->base = last_end - last + (last_end - last - first_end + first) / 2 - ISW_KERNEL_WINDOW / 2;
  stage->vector = walk->vector;
  const struct lanes_place ends = {to->day, first_end, end - first_end};
  lanes_i sum = take_near(stage->rise.sums + first_end, &ends) - at_begin;
  shift_ramp_to(shift, &stage->fall, first, last_end);
  const int32_t *fall = stage->fall.sums;
  if (fall[first] != fall[last_end])
    sum -= take_near(fall + first_end, &ends) - take_near(fall + first, &place);
  const lanes_f fit = f_min(f_load(walk->fit), f_of_i(sum) / f_of_i(length));
  f_store(walk->fit, fit);
  const uint32_t misfits = (uint32_t)m_bits(f_less(fit, f_all(walk->programme->least_fit)));
  if ((walk->alive & misfits) != 0) {
    walk->alive &= ~misfits;
    if (walk->alive != 0) draw_to_alive(to, walk->alive);
  }
  return true;
}

static inline void walk_stage(struct shift *shift, struct walk *walk, int k) {
  if (walk->programme->may_outlast_year || !walk_usual_stage(shift, walk, k))
    walk_any_stage(shift, walk, k);
}

/* What kills and chills, and the points: what is left of alive is good. */
static inline void finish_walk(struct shift *shift, struct walk *walk) {
  lanes_i kill = {0}, chill = {0};
  for (int k = 0; k < shift->recipe->n_stages; k++) {
    const struct walk_stage *stage = &walk->programme->stages[k];
    if (!stage->kills && !stage->chills) continue;
    const struct walk_days *from = &walk->at[k], *to = &walk->at[k + 1];
    const int first = first_of(from), last = last_of(to);
    const struct stage_places places = stage_places_of(from, to);
    if (stage->kills) {
      shift_kill_to(shift, &stage->kill, first, last);
      const int32_t *sums = stage->kill.sums;
      if (sums[first] != sums[last]) kill += grown(sums, &places);
    }
    if (stage->chills) {
      shift_chilling_to(shift, &stage->chilling, first, last);
      const int32_t *sums = stage->chilling.sums;
      if (sums[first] != sums[last]) chill += grown(sums, &places);
    }
  }
  const struct score_odds *odds = &walk->programme->odds;
  const lanes_i tenths = score_tenths(odds, f_load(walk->fit), kill, chill);
  walk->alive &= (uint32_t)m_bits(is_good(odds, tenths, kill, chill));
}

static inline void add_walk(struct walks *walks, struct walk_programme *programme, int number,
                            int vector, uint32_t asked) {
  struct walk *walk = &walks->walk[walks->n++];
  walk->programme = programme;
  walk->number = number;
  walk->vector = vector;
  walk->alive = asked;
  f_store(walk->fit, f_all(ISW_KERNEL_UNITS));
  i_store(walk->at[0].day, i_lane_numbers() + vector * LANES);
  draw_to_alive(&walk->at[0], asked);
}

/* All stages of all walks; good days into yes, one set per programme of the batch. No walk is left
 * after. */
static void walk_on(struct shift *shift, struct walks *walks,
                    struct day_set yes[ISW_KERNEL_BATCH]) {
  int left[WALKS], n = walks->n;
  for (int j = 0; j < n; j++) left[j] = j;
  for (int k = 0; k < shift->recipe->n_stages; k++) {
    int still = 0;
    for (int j = 0; j < n; j++) {
      struct walk *walk = &walks->walk[left[j]];
      walk_stage(shift, walk, k);
      left[still] = left[j];
      still += walk->alive != 0;
    }
    n = still;
  }
  for (int j = 0; j < n; j++) {
    struct walk *walk = &walks->walk[left[j]];
    finish_walk(shift, walk);
    add_vector(&yes[walk->number], walk->vector, walk->alive);
  }
  walks->n = 0;
}

/* Of the days asked about, per programme of a batch of n, those that are good in the shifted year:
 * into yes, empty before. In the order of days, so that tables grow one way. */
static void ask(struct shift *shift, int n, struct walk_programme programmes[ISW_KERNEL_BATCH],
                const struct day_set asked[ISW_KERNEL_BATCH],
                struct day_set yes[ISW_KERNEL_BATCH]) {
  struct walks walks;
  struct day_set any = {{0}};
  walks.n = 0;
  for (int i = 0; i < n; i++) {
    for (int w = 0; w < DAY_WORDS; w++) any.words[w] |= asked[i].words[w];
    for (int k = 0; k < shift->recipe->n_stages; k++) programmes[i].stages[k].vector = -2;
  }
  for (struct day_set_walk at = first_vector(&any); at.bits != 0; at = next_vector(&any, at))
    for (int i = 0; i < n; i++) {
      const uint32_t bits = vector_of(&asked[i], at.vector);
      if (bits == 0) continue;
      add_walk(&walks, &programmes[i], i, at.vector, bits);
      if (walks.n == WALKS) walk_on(shift, &walks, yes);
    }
  walk_on(shift, &walks, yes);
}

#endif

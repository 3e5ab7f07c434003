/* The tables of one shifted year, filled as far as they are asked for (method, equation 13).
 *
 * DESIGN. A place whose every day is warmer by delta is the same place to a crop whose every
 * temperature is lower by delta: bands, killing temperatures, shelters, chilling. So a shifted year
 * needs no days of its own in open ground, and under a shelter only those asked for.
 *
 * Only few sowing days are asked about, and their stages live through a part of the year. Running
 * sums are therefore kept for a stretch of days that grows at both ends, and begins anew where what
 * is asked lies far from it; differences are all that is read, so it does not matter where a
 * stretch began. Ends of stages are kept vector by vector. Days here are those of two years. */
#ifndef ISW_GROWTH_KERNEL_SHIFT_H
#define ISW_GROWTH_KERNEL_SHIFT_H

#include <assert.h>

#include "growth/kernel_share.h"
#include "growth/kernel_sums.h"
#include "growth/kernel_window.h"

/* A day from which on no crop sown in the first year may stand: one begun on day 364 is cut on day
 * 729 at the latest. */
enum { SHIFT_LAST_DAY = 2 * ISW_YEAR_DAYS };
/* Two stretches this far apart are not joined. */
enum { SHIFT_FAR_DAYS = 40 };

struct shift {
  const struct isw_kernel_recipe *recipe;
  const struct isw_kernel_tables *tables; /* of the normal year */
  struct isw_kernel_shifted *shifted;
  float delta_K;
};

static inline void shift_start(struct shift *shift, float delta_K) {
  shift->delta_K = delta_K;
  memset(&shift->shifted->filled, 0, sizeof shift->shifted->filled);
}

/* The same day in the rows of the normal year, which end a vector past the year. */
static inline int shift_row(int day) {
  if (day < ISW_KERNEL_ROW) return day;
  return day - ISW_YEAR_DAYS < ISW_KERNEL_ROW ? day - ISW_YEAR_DAYS : ISW_KERNEL_ROW;
}

static inline bool bit_of(const uint64_t *words, int i) {
  return (words[i / 64] >> (i % 64) & 1) != 0;
}
static inline void set_bit(uint64_t *words, int i) {
  words[i / 64] |= UINT64_C(1) << (i % 64);
}

static inline struct isw_kernel_ramp shift_ramp(struct isw_kernel_ramp ramp, float delta_K) {
  ramp.foot_C -= delta_K;
  ramp.top_C -= delta_K;
  return ramp;
}

static inline struct isw_kernel_shelter shift_shelter(struct isw_kernel_shelter shelter,
                                                      float delta_K) {
  shelter.warm_to_C -= delta_K;
  shelter.cool_to_C -= delta_K;
  return shelter;
}

/* Days under a shelter. */
static inline void shift_fill_days(struct shift *shift, int number, int day) {
  struct isw_kernel_shifted_days *days = &shift->shifted->days[number];
  const struct isw_kernel_shelter shelter =
      shift_shelter(shift->recipe->shelter[number], shift->delta_K);
  const int row = shift_row(day);
  struct sine_days sine;
  const lanes_f lo =
      shelter_vector(&shelter, shift->recipe->swing, f_load(shift->tables->lo_C + row),
                     f_load(shift->tables->hi_C + row), &sine);
  f_store(days->lo_C + day, lo);
  f_store(days->mean_C + day, sine.mean);
  f_store(days->half_K + day, sine.half);
  f_store(days->per_half + day, sine.per_half);
  days->edge_lo_C[day / LANES] = sine.edge_lo_C;
  days->edge_hi_C[day / LANES] = sine.edge_hi_C;
  set_bit(shift->shifted->filled.days[number], day / LANES);
}

static inline void shift_need_days(struct shift *shift, int number, int day) {
  if (!bit_of(shift->shifted->filled.days[number], day / LANES))
    shift_fill_days(shift, number, day);
}

/* The days of a vector as the bands see them. */
static inline struct sine_days shift_sine(struct shift *shift, int number, int day) {
  if (number != ISW_KERNEL_OPEN_GROUND) {
    shift_need_days(shift, number, day);
    const struct isw_kernel_shifted_days *days = &shift->shifted->days[number];
    return (struct sine_days){f_load(days->mean_C + day), f_load(days->half_K + day),
                              f_load(days->per_half + day), days->edge_lo_C[day / LANES],
                              days->edge_hi_C[day / LANES]};
  }
  const struct isw_kernel_days *days = &shift->tables->days[number];
  const int row = shift_row(day), vector = row / LANES;
  struct sine_days sine = {f_load(days->mean_C + row), f_load(days->half_K + row),
                           f_load(days->per_half + row), days->edge_lo_C[vector],
                           days->edge_hi_C[vector]};
  if (row % LANES != 0) { /* in the second year a vector lies across two of the rows' */
    sine.edge_lo_C = fminf(sine.edge_lo_C, days->edge_lo_C[vector + 1]);
    sine.edge_hi_C = fmaxf(sine.edge_hi_C, days->edge_hi_C[vector + 1]);
  }
  return sine;
}

/* Each of these three carries a table of sums on over the days from..to, whole vectors. */

static inline void fill_ramp(struct shift *shift, int number, int32_t *sums, int from, int to) {
  const struct isw_kernel_sheltered_ramp *sheltered = &shift->recipe->ramps[number];
  const struct isw_kernel_ramp ramp = shift_ramp(sheltered->ramp, shift->delta_K);
  const lanes_i whole_days = (i_lane_numbers() + 1) * ISW_KERNEL_UNITS;
  lanes_i sum = i_all(sums[from]);
  for (int day = from; day < to; day += LANES) {
    const struct sine_days sine = shift_sine(shift, sheltered->shelter, day);
    if (all_below(&ramp, sine.edge_hi_C)) {
      i_store(sums + day + 1, sum);
    } else if (all_above(&ramp, sine.edge_lo_C)) {
      i_store(sums + day + 1, sum + whole_days);
      sum += LANES * ISW_KERNEL_UNITS;
    } else {
      sum = sums_store(sums, day, sum, i_nearest(ramp_share(&ramp, &sine)));
    }
  }
}

static inline void fill_kill(struct shift *shift, int number, int32_t *sums, int from, int to) {
  const struct isw_kernel_kill *kill = &shift->recipe->kills[number];
  const float dies_below_C = kill->dies_below_C - shift->delta_K;
  const float per_spread = shift->recipe->per_spread * (float)ISW_KERNEL_ROOT_HALF;
  lanes_i sum = i_all(sums[from]);
  for (int day = from; day < to; day += LANES) {
    const float *lo_C = shift->tables->days[kill->shelter].lo_C + shift_row(day);
    if (kill->shelter != ISW_KERNEL_OPEN_GROUND) {
      shift_need_days(shift, kill->shelter, day);
      lo_C = shift->shifted->days[kill->shelter].lo_C + day;
    }
    const lanes_f x = (dies_below_C - f_load(lo_C)) * per_spread;
    if (m_all(f_less(x, f_all(ISW_KERNEL_SURELY_ALIVE * (float)ISW_KERNEL_ROOT_HALF))))
      i_store(sums + day + 1, sum);
    else
      sum = sums_store(sums, day, sum, i_nearest(normal_below(x)));
  }
}

static inline void fill_chilling(struct shift *shift, int number, int32_t *sums, int from, int to) {
  const struct isw_kernel_band band = shift->recipe->chilling_band;
  const struct chilling_days chilling = {
      .band = {shift_ramp(band.rise, shift->delta_K), shift_ramp(band.fall, shift->delta_K)},
      .shelter = shift_shelter(shift->recipe->shelter[number], shift->delta_K),
      .open = number == ISW_KERNEL_OPEN_GROUND,
      .far_K = (float)ISW_METHOD_ROOT_THREE * shift->recipe->spread_K};
  lanes_i sum = i_all(sums[from]);
  for (int day = from; day < to; day += LANES) {
    const int row = shift_row(day);
    sum = sums_store(sums, day, sum,
                     chilling_share(&chilling, f_load(shift->tables->lo_C + row),
                                    f_load(shift->tables->hi_C + row)));
  }
}

typedef void shift_fill(struct shift *shift, int number, int32_t *sums, int from, int to);

/* Sums that stand from..to at least. fill is a constant where this is called, so that each call is
 * code of its own. */
static inline __attribute__((always_inline)) void shift_grow(struct shift *shift, shift_fill *fill,
                                                             int number,
                                                             struct isw_kernel_range *range,
                                                             int32_t *sums, int from, int to) {
  from -= from % LANES;
  to += LANES - 1 - (to + LANES - 1) % LANES;
  assert(from >= 0 && from < to && to < ISW_KERNEL_SPAN);
  if (range->to == 0 || from > range->to + SHIFT_FAR_DAYS || to < range->from - SHIFT_FAR_DAYS) {
    range->from = range->to = (int16_t)from;
    sums[from] = 0;
  }
  if (from < range->from) {
    const int32_t before = sums[range->from];
    sums[from] = 0;
    fill(shift, number, sums, from, range->from);
    const lanes_i less = i_all(before - sums[range->from]);
    for (int day = from; day < range->from; day += LANES)
      i_store(sums + day, i_sum(i_load(sums + day), less));
    sums[range->from] = before;
    range->from = (int16_t)from;
  }
  if (to > range->to) {
    fill(shift, number, sums, range->to, to);
    range->to = (int16_t)to;
  }
}

static void shift_grow_ramp(struct shift *shift, int number, int slot, int from, int to) {
  shift_grow(shift, fill_ramp, number, &shift->shifted->filled.ramp[slot],
             shift->shifted->ramp[slot], from, to);
}
static void shift_grow_kill(struct shift *shift, int number, int slot, int from, int to) {
  shift_grow(shift, fill_kill, number, &shift->shifted->filled.kill[slot],
             shift->shifted->kill[slot], from, to);
}
static void shift_grow_chilling(struct shift *shift, int shelter, int from, int to) {
  shift_grow(shift, fill_chilling, shelter, &shift->shifted->filled.chilling[shelter],
             shift->shifted->chilling[shelter], from, to);
}

static inline bool shift_stands(const struct isw_kernel_range *range, int from, int to) {
  return range->to > 0 && from >= range->from && to <= range->to;
}

/* The sums of a rise or a fall, of a kill, of chilling: ready from..to. */
static inline const int32_t *shift_ramp_sums(struct shift *shift, int number, int slot, int from,
                                             int to) {
  if (!shift_stands(&shift->shifted->filled.ramp[slot], from, to))
    shift_grow_ramp(shift, number, slot, from, to);
  return shift->shifted->ramp[slot];
}
static inline const int32_t *shift_kill_sums(struct shift *shift, int number, int slot, int from,
                                             int to) {
  if (!shift_stands(&shift->shifted->filled.kill[slot], from, to))
    shift_grow_kill(shift, number, slot, from, to);
  return shift->shifted->kill[slot];
}
static inline const int32_t *shift_chilling_sums(struct shift *shift, int shelter, int from,
                                                 int to) {
  if (!shift_stands(&shift->shifted->filled.chilling[shelter], from, to))
    shift_grow_chilling(shift, shelter, from, to);
  return shift->shifted->chilling[shelter];
}

/* Where a stage begun on each day of a vector ends. slot: of its ends; rise_slot: of its rise. */
static void shift_fill_end(struct shift *shift, const struct isw_kernel_clock *clock, int slot,
                           int rise_slot, int day) {
  int32_t *end = shift->shifted->end[slot];
  uint64_t *done = shift->shifted->filled.end[slot];
  const lanes_i here = i_lane_numbers() + day;
  const int shortest = shortest_length(clock->need);
  const int at_most = between(SHIFT_LAST_DAY - day, 0, clock->at_most_days);
  set_bit(done, day / LANES);
  if (at_most < shortest) {
    i_store(end + day, here + (at_most + 1));
    return;
  }
  int base;
  if (day >= LANES && bit_of(done, day / LANES - 1)) {
    const int first = end[day - LANES] - (day - LANES), last = end[day - 1] - (day - 1);
    base = last + (last - first) / 2 - ISW_KERNEL_WINDOW / 2;
  } else {
    const int row = day < ISW_YEAR_DAYS ? day : day - ISW_YEAR_DAYS;
    base = shift->tables->end[slot][row] - row - ISW_KERNEL_WINDOW / 2;
  }
  base = between(base, shortest, at_most);
  const int past = LANES + ISW_KERNEL_WINDOW;
  const int32_t *rate = shift_ramp_sums(shift, clock->rise, rise_slot, day, day + base + past);
  const lanes_i target = i_load(rate + day) + clock->need;
  while (base > shortest && !m_all(i_less(i_load(rate + day + base - 1), target)))
    base = between(base - ISW_KERNEL_WINDOW, shortest, at_most);
  lanes_i length = i_all(base);
  lanes_m last;
  do {
    shift_ramp_sums(shift, clock->rise, rise_slot, day, day + base + past);
    length += count_short(rate + day + base, target, &last);
    base += ISW_KERNEL_WINDOW;
  } while (base <= at_most && m_any(last));
  i_store(end + day, i_min(length, i_all(at_most + 1)) + here);
}

/* The ends of a stage, ready for the start days from..to. */
static inline const int32_t *shift_ends(struct shift *shift, const struct isw_kernel_clock *clock,
                                        int slot, int rise_slot, int from, int to) {
  const uint64_t *done = shift->shifted->filled.end[slot];
  for (int day = from - from % LANES; day <= to; day += LANES)
    if (!bit_of(done, day / LANES)) shift_fill_end(shift, clock, slot, rise_slot, day);
  return shift->shifted->end[slot];
}

#endif

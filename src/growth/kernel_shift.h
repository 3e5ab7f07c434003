/* The tables of one shifted year, filled as far as they are asked for (method, equation 13).
 *
 * DESIGN. A place whose every day is warmer by delta is the same place to a crop whose every
 * temperature is lower by delta: bands, killing temperatures, shelters, chilling. So a shifted year
 * needs no days of its own in open ground, and under a shelter only those asked for.
 *
 * Only few sowing days are asked about, and their stages live through a part of the year. Running
 * sums are therefore kept for a stretch of days that grows at both ends, and begins anew where what
 * is asked lies far from it; differences are all that is read, so it does not matter where a
 * stretch began. Days here are those of two years and more. */
#ifndef ISW_GROWTH_KERNEL_SHIFT_H
#define ISW_GROWTH_KERNEL_SHIFT_H

#include <assert.h>

#include "growth/kernel_day_set.h"
#include "growth/kernel_share.h"
#include "growth/kernel_sums.h"

/* Two stretches this far apart are not joined. */
enum { SHIFT_FAR_DAYS = 40 };
/* Stretches grow upwards by whole chunks: one call for several that would follow. */
enum { SHIFT_CHUNK_DAYS = 48 };

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

static inline void shift_need_days(struct shift *shift, int number, int from, int to) {
  for (int day = from; day < to; day += LANES)
    if (!bit_of(shift->shifted->filled.days[number], day / LANES))
      shift_fill_days(shift, number, day);
}

/* Days as the bands see them, by day from `day` on. */
struct shift_days {
  const float *mean_C, *half_K, *per_half, *edge_lo_C, *edge_hi_C;
  bool apart; /* a vector's edges are those of two */
};

/* Of a shelter, in one stretch; *to: until where, at most to what it was. */
static inline struct shift_days shift_days_of(struct shift *shift, int number, int from, int *to) {
  if (number != ISW_KERNEL_OPEN_GROUND) {
    shift_need_days(shift, number, from, *to);
    const struct isw_kernel_shifted_days *days = &shift->shifted->days[number];
    return (struct shift_days){days->mean_C + from,
                               days->half_K + from,
                               days->per_half + from,
                               days->edge_lo_C + from / LANES,
                               days->edge_hi_C + from / LANES,
                               0};
  }
  /* The rows of the normal year: in the second year a vector lies across two of theirs. */
  const struct isw_kernel_days *days = &shift->tables->days[number];
  const int row = shift_row(from), last = from < ISW_KERNEL_ROW  ? ISW_KERNEL_ROW
                                          : row < ISW_KERNEL_ROW ? ISW_YEAR_DAYS + ISW_KERNEL_ROW
                                                                 : from + LANES;
  if (*to > last) *to = last + LANES - 1 - (last + LANES - 1) % LANES;
  return (struct shift_days){days->mean_C + row,
                             days->half_K + row,
                             days->per_half + row,
                             days->edge_lo_C + row / LANES,
                             days->edge_hi_C + row / LANES,
                             row % LANES != 0};
}

/* A ramp over a stretch of days, from sums[0] on. apart is a constant where this is called. */
static inline __attribute__((always_inline)) void fill_ramp_days(const struct isw_kernel_ramp *ramp,
                                                                 const struct shift_days *days,
                                                                 bool apart, int n, int32_t *sums) {
  const lanes_i whole_days = (i_lane_numbers() + 1) * ISW_KERNEL_UNITS;
  const float *edge_lo_C = days->edge_lo_C, *edge_hi_C = days->edge_hi_C;
  lanes_i sum = i_all(sums[0]);
  for (int i = 0; i < n; i += LANES, edge_lo_C++, edge_hi_C++) {
    const float lo_C = apart ? fminf(edge_lo_C[0], edge_lo_C[1]) : edge_lo_C[0];
    const float hi_C = apart ? fmaxf(edge_hi_C[0], edge_hi_C[1]) : edge_hi_C[0];
    if (all_below(ramp, hi_C)) {
      i_store(sums + i + 1, sum);
    } else if (all_above(ramp, lo_C)) {
      i_store(sums + i + 1, sum + whole_days);
      sum += LANES * ISW_KERNEL_UNITS;
    } else {
      const struct sine_days sine = {f_load(days->mean_C + i), f_load(days->half_K + i),
                                     f_load(days->per_half + i), lo_C, hi_C};
      sum = sums_store(sums, i, sum, i_nearest(ramp_share(ramp, &sine)));
    }
  }
}

/* Each of these three carries a table of sums on over the days from..to, whole vectors. */

static inline void fill_ramp(struct shift *shift, int number, int32_t *sums, int from, int to) {
  const struct isw_kernel_sheltered_ramp *sheltered = &shift->recipe->ramps[number];
  const struct isw_kernel_ramp ramp = shift_ramp(sheltered->ramp, shift->delta_K);
  while (from < to) {
    int until = to;
    const struct shift_days days = shift_days_of(shift, sheltered->shelter, from, &until);
    if (days.apart)
      fill_ramp_days(&ramp, &days, true, until - from, sums + from);
    else
      fill_ramp_days(&ramp, &days, false, until - from, sums + from);
    from = until;
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
      shift_need_days(shift, kill->shelter, day, day + LANES);
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
  to += SHIFT_CHUNK_DAYS - 1 - (to + SHIFT_CHUNK_DAYS - 1) % SHIFT_CHUNK_DAYS;
  assert(from >= 0 && from < to && to < ISW_KERNEL_SHIFTED_SPAN);
  if (range->to == 0 || from > range->to + SHIFT_FAR_DAYS || to < range->from - SHIFT_FAR_DAYS) {
    range->from = range->to = from;
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
    range->from = from;
  }
  if (to > range->to) {
    fill(shift, number, sums, range->to, to);
    range->to = to;
  }
}

/* A table of sums: which, and how far it stands. */
struct shift_sums {
  int number; /* of the ramp, kill or shelter */
  struct isw_kernel_range *range;
  int32_t *sums;
};
static inline struct shift_sums shift_ramp_of(struct isw_kernel_shifted *shifted, int number,
                                              int slot) {
  return (struct shift_sums){number, &shifted->filled.ramp[slot], shifted->ramp[slot]};
}
static inline struct shift_sums shift_kill_of(struct isw_kernel_shifted *shifted, int number,
                                              int slot) {
  return (struct shift_sums){number, &shifted->filled.kill[slot], shifted->kill[slot]};
}
static inline struct shift_sums shift_chilling_of(struct isw_kernel_shifted *shifted, int shelter) {
  return (struct shift_sums){shelter, &shifted->filled.chilling[shelter],
                             shifted->chilling[shelter]};
}

static __attribute__((noinline)) void shift_grow_ramp(struct shift *shift,
                                                      const struct shift_sums *table, int from,
                                                      int to) {
  shift_grow(shift, fill_ramp, table->number, table->range, table->sums, from, to);
}
static __attribute__((noinline)) void shift_grow_kill(struct shift *shift,
                                                      const struct shift_sums *table, int from,
                                                      int to) {
  shift_grow(shift, fill_kill, table->number, table->range, table->sums, from, to);
}
static __attribute__((noinline)) void shift_grow_chilling(struct shift *shift,
                                                          const struct shift_sums *table, int from,
                                                          int to) {
  shift_grow(shift, fill_chilling, table->number, table->range, table->sums, from, to);
}

/* from < to */
static inline bool shift_stands(const struct shift_sums *table, int from, int to) {
  return from >= table->range->from && to <= table->range->to;
}

/* Make sums of a rise or a fall, of a kill, of chilling stand from..to, from < to. */
static inline void shift_ramp_to(struct shift *shift, const struct shift_sums *table, int from,
                                 int to) {
  if (!shift_stands(table, from, to)) shift_grow_ramp(shift, table, from, to);
}
static inline void shift_kill_to(struct shift *shift, const struct shift_sums *table, int from,
                                 int to) {
  if (!shift_stands(table, from, to)) shift_grow_kill(shift, table, from, to);
}
static inline void shift_chilling_to(struct shift *shift, const struct shift_sums *table, int from,
                                     int to) {
  if (!shift_stands(table, from, to)) shift_grow_chilling(shift, table, from, to);
}

#endif

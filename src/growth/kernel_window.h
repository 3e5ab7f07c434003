/* A window of lengths that a clock tries at once; the drawing is in growth/kernel_clock.c. */
#ifndef ISW_GROWTH_KERNEL_WINDOW_H
#define ISW_GROWTH_KERNEL_WINDOW_H

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"

enum { WINDOW = ISW_KERNEL_WINDOW };

/* Of the window's lengths from `rate` on, how many are too short; *last: those of its last one. */
static inline lanes_i count_short(const int32_t *rate, lanes_i target, lanes_m *last) {
  lanes_i even = {0}, odd = {0};
  for (int j = 0; j < WINDOW; j += 2) {
    even = i_count(even, i_less(i_load(rate + j), target));
    lanes_m is_short = i_less(i_load(rate + j + 1), target);
    odd = i_count(odd, is_short);
    *last = is_short;
  }
  return even + odd;
}

static inline int between(int value, int least, int most) {
  return value < least ? least : value > most ? most : value;
}

/* No day counts for more than one. need: units. */
static inline int shortest_length(int32_t need) {
  const int fewest = (int)((need + (ISW_KERNEL_UNITS - 1)) / ISW_KERNEL_UNITS);
  return fewest > 1 ? fewest : 1;
}

#endif

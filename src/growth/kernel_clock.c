/* Where a stage begun on each day ends (method, equation 6).
 *
 * DESIGN. A stage begun on day s is through after the shortest length n with
 * rate[s + n] - rate[s] >= need. rate never falls, so n is one more than the number of lengths that
 * are too short, and counting a window of lengths around the answer is enough when the window's
 * first length is too short (or the shortest possible) and its last one is not (or is at_most):
 *
 *   length tried:   base  base+1  ...  base+7
 *   day s           short short   long  long
 *   day s+1         short short   short long        each column: one load, one comparison
 *   ...
 *
 * Lengths of neighbouring days differ little, so the window moves on by a steady drift; when it
 * misses, it is laid anew and the drift is taken from the lengths found. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_window.h"

void ISW_KERNEL_NAME(isw_growth_kernel_clock)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables);

/* Of the lengths from `base` on, in windows, how many more are too short. */
static lanes_i count_on(const int32_t *rate, lanes_i target, lanes_i length, int at_most,
                        int base) {
  lanes_m last;
  do {
    length += count_short(rate + base, target, &last);
    base += WINDOW;
  } while (base <= at_most && m_any(last));
  return length;
}

/* A window anywhere: walk down until it starts too short, then up until nothing is. */
static lanes_i search(const int32_t *rate, lanes_i target, int shortest, int at_most, int base) {
  if (m_all(i_less(i_load(rate + at_most), target))) return i_all(at_most + 1);
  while (base > shortest && !m_all(i_less(i_load(rate + base - 1), target)))
    base = base - WINDOW > shortest ? base - WINDOW : shortest;
  return count_on(rate, target, i_all(base), at_most, base);
}

static void find_ends(struct isw_kernel_clock clock, const int32_t *rate, int32_t *end) {
  const int at_most = clock.at_most_days;
  const int shortest = shortest_length(clock.need);
  const lanes_i numbers = i_lane_numbers();
  if (shortest > at_most) {
    for (int day = 0; day < ISW_KERNEL_ROW; day += LANES)
      i_store(end + day, numbers + (day + at_most + 1));
    return;
  }
  /* Most years begin too cold for anything to be through in time, or with the best of shelters. */
  const bool begins_cold = m_all(i_less(i_load(rate + at_most), i_load(rate) + clock.need));
  int base = begins_cold ? at_most : shortest, drift = 0;
  lanes_i here = numbers; /* the start days themselves */
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES) {
    const lanes_i target = i_load(rate + day) + clock.need;
    if (base + WINDOW > at_most &&
        m_all(i_less(i_load(rate + day + at_most), target))) { /* runs out */
      i_store(end + day, here + (at_most + 1));
      continue;
    }
    lanes_m last;
    lanes_i length = count_short(rate + day + base, target, &last) + base;
    const bool starts_short =
        base == shortest || m_all(i_less(i_load(rate + day + base - 1), target));
    const bool ends_long = base + WINDOW > at_most || !m_any(last);
    if (!starts_short || !ends_long) {
      length = starts_short ? count_on(rate + day, target, length, at_most, base + WINDOW)
                            : search(rate + day, target, shortest, at_most, base);
      int32_t first = length[0], final = length[LANES - 1];
      drift = final - first;
      base = final + drift / 2 - WINDOW / 2 - drift;
    }
    base = between(base + drift, shortest, at_most);
    i_store(end + day, i_min(length, i_all(at_most + 1)) + here);
  }
}

void ISW_KERNEL_NAME(isw_growth_kernel_clock)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables) {
  find_ends(recipe->clocks[step->what], tables->ramp[step->rise_slot], tables->end[step->slot]);
}

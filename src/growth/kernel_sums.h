/* Running sums over days, for the kernel's tables. */
#ifndef ISW_GROWTH_KERNEL_SUMS_H
#define ISW_GROWTH_KERNEL_SUMS_H

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"

/* Store the sums of all days before each lane's; sum: of the days before these lanes. */
static inline lanes_i sums_store(int32_t *to, lanes_i sum, lanes_i days) {
  lanes_i running = i_running(days);
  i_store(to, running - days + sum);
  return sum + i_last(running);
}

/* Carry a table of sums on from its first year as far as the plan reaches. */
static inline void sums_carry_on(int32_t *table, int reach) {
  const lanes_i year = i_all(table[ISW_YEAR_DAYS]);
  for (int i = ISW_YEAR_DAYS; i < reach; i += LANES)
    i_store(table + i, i_load(table + i - ISW_YEAR_DAYS) + year);
}

/* The same for a table of values that repeat. */
static inline void days_carry_on(int32_t *table, int reach) {
  for (int i = ISW_YEAR_DAYS; i < reach; i += LANES)
    i_store(table + i, i_load(table + i - ISW_YEAR_DAYS));
}

#endif

/* Running sums over days, for the kernel's tables. */
#ifndef ISW_GROWTH_KERNEL_SUMS_H
#define ISW_GROWTH_KERNEL_SUMS_H

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"

/* Store the sums up to and with each lane's day, which stand at the day after. A table's first sum,
 * of no day, is 0 and stays so.
 * sum: of the days before these lanes; returns that of the days before the next ones. */
static inline lanes_i sums_store(int32_t *sums, int day, lanes_i sum, lanes_i days) {
  sum += i_running(days);
  i_store(sums + day + 1, sum);
  return i_last(sum);
}

/* Carry a table of sums, `year` of them a year, on from its first year as far as the plan reaches.
 */
static inline void sums_carry_on(int32_t *table, int32_t year, int reach) {
  for (int i = ISW_YEAR_DAYS; i < reach; i += LANES)
    i_store(table + i, i_sum(i_load(table + i - ISW_YEAR_DAYS), i_all(year)));
}

/* The same for a table of values that repeat. */
static inline void days_carry_on(int32_t *table, int reach) {
  for (int i = ISW_YEAR_DAYS; i < reach; i += LANES)
    i_store(table + i, i_load(table + i - ISW_YEAR_DAYS));
}

#endif

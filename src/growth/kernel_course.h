/* One sowing day followed through its stages over the tables of its programme: dates, odds and the
 * limit (method, equations 6-12). */
#ifndef ISW_GROWTH_KERNEL_COURSE_H
#define ISW_GROWTH_KERNEL_COURSE_H

#include <math.h>

#include "growth/kernel.h"
#include "growth/method_numbers.h"

static const double isw_kernel_per_unit = 1.0 / ISW_KERNEL_UNITS;

/* A day of the year or the year after it. */
static inline int isw_kernel_in_year(int day) {
  return day >= ISW_YEAR_DAYS ? day - ISW_YEAR_DAYS : day;
}

/* Rise less fall is below 0 by rounding only. (fmax would be a call.) */
static inline double isw_kernel_not_below_0(double share) {
  return share > 0.0 ? share : 0.0;
}

static inline int isw_kernel_millionths(double share) {
  return (int)(share * ISW_METHOD_SHARES_IN_ONE + 0.5);
}

struct isw_kernel_course {
  bool matures; /* else only n_stages counts */
  int n_stages; /* that end */
  int growing_days, transplant_after;
  int least_fit; /* millionths */
  int limit;
  double survive, stay, chilling_days;
};

/* Days from a sowing that matures to its harvest. */
static inline int isw_kernel_harvest_after(const struct isw_kernel_programme *programme,
                                           int n_stages, const struct isw_kernel_tables *tables,
                                           int sow_day) {
  int from = sow_day, after = 0;
  for (int k = 0; k < n_stages; k++) {
    const int to = tables->end[programme->end_slot[k]][from];
    after += to - from;
    from = isw_kernel_in_year(to);
  }
  return after;
}

static inline double isw_kernel_mean_C(const float mean_C[ISW_KERNEL_ROW], int from, int to) {
  double sum = 0.0;
  for (int day = from; day < to; day++) sum += (double)mean_C[isw_kernel_in_year(day)];
  return sum / (to - from);
}

/* runs: filled where not NULL. Inlined, so that who asks for no runs does not pay for them. */
static inline __attribute__((always_inline)) struct isw_kernel_course isw_kernel_follow(
    const struct isw_kernel_programme *programme, int n_stages,
    const struct isw_kernel_tables *tables, int sow_day, struct isw_stage_run *runs) {
  struct isw_kernel_course course = {.limit = ISW_LIMIT_NEVER_MATURES, .survive = 1.0, .stay = 1.0};
  int from = sow_day, growing_days = 0, least = 2 * ISW_METHOD_SHARES_IN_ONE, limit = 0;
  int32_t kill = 0, chill = 0;
  for (int k = 0; k < n_stages; k++) {
    const int to = tables->end[programme->end_slot[k]][from], days = to - from;
    if (days > programme->at_most_days[k] || growing_days + days > ISW_YEAR_DAYS) return course;
    const int32_t *rates = tables->ramp[programme->rise_slot[k]];
    const int32_t *fits = tables->fit[programme->fit_slot[k]];
    const double per_days = isw_kernel_per_unit / days;
    const double rate = (rates[to] - rates[from]) * per_days;
    const double fit = isw_kernel_not_below_0((fits[to] - fits[from]) * per_days);
    /* Without branches, which would be guessed wrong as often as right. */
    const int millionths = isw_kernel_millionths(fit), less = -(millionths < least);
    const int stage_limit = 2 - (1.0 - rate >= rate - fit) + 2 * k;
    least ^= (least ^ millionths) & less;
    limit ^= (limit ^ stage_limit) & less;
    if (programme->kill_slot[k] != ISW_KERNEL_NONE) {
      const int32_t *sum = tables->kill[programme->kill_slot[k]];
      kill += sum[to] - sum[from];
    }
    if (programme->chilling[k] != ISW_KERNEL_NONE) {
      const int32_t *sum = tables->chilling[programme->chilling[k]];
      chill += sum[to] - sum[from];
    }
    if (k == programme->transplant_stage) course.transplant_after = growing_days;
    if (runs != NULL)
      runs[k] = (struct isw_stage_run){
          .from_after = growing_days,
          .to_after = growing_days + days,
          .mean_C = isw_kernel_mean_C(tables->days[programme->shelter[k]].mean_C, from, to),
          .rate = rate,
          .fit = fit};
    course.n_stages = k + 1;
    growing_days += days;
    from = isw_kernel_in_year(to);
  }
  course.matures = true;
  course.growing_days = growing_days;
  course.least_fit = least;
  course.chilling_days = chill * isw_kernel_per_unit;
  if (kill != 0) course.survive = exp(-kill * isw_kernel_per_unit);
  if (programme->per_bolts > 0.0f)
    course.stay = isw_kernel_not_below_0((programme->bolts_all - course.chilling_days) *
                                         programme->per_bolts);
  if (course.stay > 1.0) course.stay = 1.0;
  if (isw_kernel_millionths(course.survive) < least) {
    least = isw_kernel_millionths(course.survive);
    limit = ISW_LIMIT_FROST;
  }
  if (isw_kernel_millionths(course.stay) < least) {
    least = isw_kernel_millionths(course.stay);
    limit = ISW_LIMIT_BOLTING;
  }
  course.limit =
      least >= (int)(ISW_METHOD_LIMIT_BELOW * ISW_METHOD_SHARES_IN_ONE) ? ISW_LIMIT_NOTHING : limit;
  return course;
}

#endif

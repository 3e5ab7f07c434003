#include "growth/day_response.h"

#include <math.h>

#include "growth/method_numbers.h"

static const double half_pi = 1.57079632679489661923;
static const double pi = 3.14159265358979323846;

struct isw_day isw_growth_shelter_day(const struct isw_shelter *shelter, struct isw_day day) {
  if (shelter == NULL) return day;
  double lo = day.lo_C, hi = day.hi_C;
  if (lo < shelter->warm_to_C) lo = fmin(shelter->warm_to_C, lo + shelter->warm_most_K);
  if (hi > shelter->cool_to_C) hi = fmax(shelter->cool_to_C, hi - shelter->cool_most_K);
  return (struct isw_day){lo, fmax(hi, lo)};
}

double isw_growth_degree_days(double mean_C, double half_swing_K, double base_C) {
  double above = mean_C - base_C;
  if (half_swing_K < ISW_METHOD_FLAT_DAY_K) return fmax(above, 0.0);
  if (above >= half_swing_K) return above;
  if (above <= -half_swing_K) return 0.0;
  double u = above / half_swing_K;
  return half_swing_K / pi * (u * (half_pi + asin(u)) + sqrt(1.0 - u * u));
}

struct isw_response isw_growth_respond(const struct isw_band *band, double swing,
                                       struct isw_day day) {
  double mean = 0.5 * (day.lo_C + day.hi_C);
  double half_swing = 0.5 * swing * (day.hi_C - day.lo_C);
  double rise = band->best_from_C - band->stops_below_C;
  double fall = band->stops_above_C - band->best_to_C;
  double rate = (isw_growth_degree_days(mean, half_swing, band->stops_below_C) -
                 isw_growth_degree_days(mean, half_swing, band->best_from_C)) /
                rise;
  double lost = (isw_growth_degree_days(mean, half_swing, band->best_to_C) -
                 isw_growth_degree_days(mean, half_swing, band->stops_above_C)) /
                fall;
  /* Differences of nearly equal degree-days leave the unit range by rounding only. */
  rate = fmin(fmax(rate, 0.0), 1.0);
  return (struct isw_response){rate, fmin(fmax(rate - lost, 0.0), rate)};
}

double isw_growth_kill(double dies_below_C, double spread_K, double lo_C) {
  static const double root_half = 0.70710678118654752440;
  if (isinf(dies_below_C)) return 0.0;
  return 0.5 * erfc((lo_C - dies_below_C) / spread_K * root_half);
}

double isw_growth_chilling(const struct isw_band *chilling, const struct isw_shelter *shelter,
                           double spread_K, struct isw_day day) {
  static const double step[3] = {-1.0, 0.0, 1.0};
  static const double weight[3] = {ISW_METHOD_OUTER_WEIGHT, ISW_METHOD_MIDDLE_WEIGHT,
                                   ISW_METHOD_OUTER_WEIGHT};
  double sum = 0.0;
  for (int j = 0; j < 3; j++) {
    double shift = step[j] * ISW_METHOD_ROOT_THREE * spread_K;
    struct isw_day shifted = {day.lo_C + shift, day.hi_C + shift};
    sum +=
        weight[j] * isw_growth_respond(chilling, 1.0, isw_growth_shelter_day(shelter, shifted)).fit;
  }
  return sum;
}

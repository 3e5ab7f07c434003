/* Monthly normals to daily ones (method, equation 1). */
#ifndef ISW_GROWTH_DAILY_CURVE_H
#define ISW_GROWTH_DAILY_CURVE_H

#include "base/dates.h"

/* A place's climate: means of its months, and how far whole years differ from them. */
struct isw_normals {
  double tmin_C[ISW_YEAR_MONTHS], tmax_C[ISW_YEAR_MONTHS];
  bool has_year_spread; /* the place's own; false: the conditions' */
  double year_spread_K; /* standard deviation, between years, of a month's mean, >= 0 */
};

struct isw_year {
  double tmin_C[ISW_YEAR_DAYS], tmax_C[ISW_YEAR_DAYS];
};

/* The periodic quadratic mean-preserving spline.
 * month_mean: any finite values. Source: the closed form of Rymes & Myers 2001, Solar Energy
 * 71:225. Accuracy: the days of each month average to its mean within 1e-11 (tested for means of
 * -60 to 50). How far it lies from real daily normals is in docs/method.md. */
void isw_growth_curve_days(const double month_mean[ISW_YEAR_MONTHS], double day[ISW_YEAR_DAYS]);

/* The spline's values at the starts of the months; linear in the means. The same accuracy. */
void isw_growth_curve_starts(const double month_mean[ISW_YEAR_MONTHS],
                             double start[ISW_YEAR_MONTHS]);

/* Both curves; a day with tmin > tmax gets their mean for both. warmer_K (K, any finite) is added
 * throughout. normals: finite. */
void isw_growth_curve_year(const struct isw_normals *normals, double warmer_K,
                           struct isw_year *out);

#endif

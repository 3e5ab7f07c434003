/* From single years to normals: the means of one month over years, and how far the years differ
 * (method, equations 19 and 20). Sums, so that a series of any length takes the same memory. */
#ifndef ISW_GROWTH_MONTH_SUMS_H
#define ISW_GROWTH_MONTH_SUMS_H

#include <stdbool.h>

/* Equation 20: with fewer years a standard deviation between them says next to nothing (at ten
 * years its own standard error is already 24 % of it). */
enum { ISW_SPREAD_YEARS_LEAST = 10 };

/* One calendar month's years; all zeros to begin with. */
struct isw_month_sums {
  int n_tmin, n_tmax, n_both;
  double tmin_C, tmax_C;       /* sums */
  double middle_C, squares_K2; /* of years with both: mean of (tmin+tmax)/2, squares about it */
};

/* Add a year's month; NAN is a month that is missing. The mean and the squares by Welford's
 * recurrence (Welford 1962, Technometrics 4:419), which loses nothing to cancellation. The same
 * years in the same order give the same bytes. */
void isw_growth_add_month(struct isw_month_sums *sums, double tmin_C, double tmax_C);

/* Years that a normal needs: least_percent (1..100) of n_years, rounded up. WMO-No. 1203 (2017)
 * asks for 80 % of the years of the period. */
int isw_growth_years_needed(int n_years, int least_percent);

/* The month's normals; NAN where fewer than `needed` years have it. */
double isw_growth_month_tmin_C(const struct isw_month_sums *sums, int needed);
double isw_growth_month_tmax_C(const struct isw_month_sums *sums, int needed);

/* Standard deviation (K, n - 1) between years of the month's mean temperature, that is of
 * (tmin + tmax)/2; NAN with fewer than ISW_SPREAD_YEARS_LEAST years that have both. */
double isw_growth_month_spread_K(const struct isw_month_sums *sums);

/* Month 0..11 (northern) in this hemisphere: half a year on in
 * the south. */
int isw_growth_season_month(int month, bool south);

#endif

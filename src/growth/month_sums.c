#include "growth/month_sums.h"

#include <math.h>

#include "base/dates.h"

void isw_growth_add_month(struct isw_month_sums *sums, double tmin_C, double tmax_C) {
  if (!isnan(tmin_C)) {
    sums->n_tmin++;
    sums->tmin_C += tmin_C;
  }
  if (!isnan(tmax_C)) {
    sums->n_tmax++;
    sums->tmax_C += tmax_C;
  }
  if (isnan(tmin_C) || isnan(tmax_C)) return;
  const double middle_C = 0.5 * (tmin_C + tmax_C), off_K = middle_C - sums->middle_C;
  sums->n_both++;
  sums->middle_C += off_K / sums->n_both;
  sums->squares_K2 += off_K * (middle_C - sums->middle_C);
}

int isw_growth_years_needed(int n_years, int least_percent) {
  return (n_years * least_percent + 99) / 100;
}

double isw_growth_month_tmin_C(const struct isw_month_sums *sums, int needed) {
  return sums->n_tmin > 0 && sums->n_tmin >= needed ? sums->tmin_C / sums->n_tmin : NAN;
}

double isw_growth_month_tmax_C(const struct isw_month_sums *sums, int needed) {
  return sums->n_tmax > 0 && sums->n_tmax >= needed ? sums->tmax_C / sums->n_tmax : NAN;
}

double isw_growth_month_spread_K(const struct isw_month_sums *sums) {
  if (sums->n_both < ISW_SPREAD_YEARS_LEAST) return NAN;
  return sqrt(sums->squares_K2 / (sums->n_both - 1));
}

int isw_growth_season_month(int month, bool south) {
  return (month + (south ? ISW_YEAR_MONTHS / 2 : 0)) % ISW_YEAR_MONTHS;
}

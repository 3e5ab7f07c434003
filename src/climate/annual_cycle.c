#include "climate/annual_cycle.h"

#include <math.h>

static const double clear_contrast_K = 2.0, clear_span_K = 5.0;
/* Up and down once is a way of two spans. */
static const double most_way_in_spans = 2.8;
/* At a coast minima lag behind maxima by half a month at most, which costs less. */
static const double clearly_better = 0.03;

double isw_climate_summer_contrast_K(const double cycle_C[ISW_YEAR_MONTHS], bool south) {
  double contrast_K =
      (cycle_C[5] + cycle_C[6] + cycle_C[7] - cycle_C[11] - cycle_C[0] - cycle_C[1]) / 3;
  return south ? -contrast_K : contrast_K;
}

bool isw_climate_is_against_hemisphere(double summer_contrast_K) {
  return summer_contrast_K < -clear_contrast_K;
}

static double span_of(const double cycle_C[ISW_YEAR_MONTHS]) {
  double low = INFINITY, high = -INFINITY;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    low = fmin(low, cycle_C[m]);
    high = fmax(high, cycle_C[m]);
  }
  return high - low;
}

bool isw_climate_is_rough(const double cycle_C[ISW_YEAR_MONTHS]) {
  double way = 0.0, span = span_of(cycle_C);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++)
    way += fabs(cycle_C[(m + 1) % ISW_YEAR_MONTHS] - cycle_C[m]);
  return span >= clear_span_K && way >= most_way_in_spans * span;
}

/* Of cycle[m] with other[m + shift]. */
static double correlation(const double cycle[ISW_YEAR_MONTHS], const double other[ISW_YEAR_MONTHS],
                          int shift) {
  double mean_a = 0.0, mean_b = 0.0, ab = 0.0, aa = 0.0, bb = 0.0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    mean_a += cycle[m] / ISW_YEAR_MONTHS;
    mean_b += other[m] / ISW_YEAR_MONTHS;
  }
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    double a = cycle[m] - mean_a;
    double b = other[(m + shift + ISW_YEAR_MONTHS) % ISW_YEAR_MONTHS] - mean_b;
    ab += a * b;
    aa += a * a;
    bb += b * b;
  }
  return aa > 0.0 && bb > 0.0 ? ab / sqrt(aa * bb) : 0.0;
}

int isw_climate_months_behind(const double cycle_C[ISW_YEAR_MONTHS],
                              const double other_C[ISW_YEAR_MONTHS]) {
  if (span_of(cycle_C) < clear_span_K || span_of(other_C) < clear_span_K) return 0;
  int best = 0;
  double most = correlation(cycle_C, other_C, 0) + clearly_better;
  for (int shift = -5; shift <= 6; shift++) {
    double here = correlation(cycle_C, other_C, shift);
    if (shift == 0 || here <= most) continue;
    most = here;
    best = shift;
  }
  return best;
}

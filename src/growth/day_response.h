/* One day against a temperature band, a shelter, a killing temperature, a chilling band
 * (method, equations 2-5 and 8-9). */
#ifndef ISW_GROWTH_DAY_RESPONSE_H
#define ISW_GROWTH_DAY_RESPONSE_H

#include "crop/sheet.h"

struct isw_day {
  double lo_C, hi_C;
};

/* How fast a stage advances and how good the day is for it; both 0..1, fit <= rate. */
struct isw_response {
  double rate, fit;
};

/* Days are in degC, finite, lo <= hi. The stated errors were tested for days between -25 and 65
 * degC with swings of 0 to 25 K, and bands with ramps of 3 K and more. */

/* The day as it is under a shelter (NULL: open ground); lo <= hi. Exact to rounding. */
struct isw_day isw_growth_shelter_day(const struct isw_shelter *shelter, struct isw_day day);

/* Degree-days above base_C of a day whose temperature runs as a sine between lo and hi (single
 * sine, Baskerville & Emin 1969; Allen 1976). mean_C, base_C (degC), half_swing_K (K, >= 0); K day,
 * >= 0. Published daily values are met to all their digits (tests/tables/degree_days.txt). */
double isw_growth_degree_days(double mean_C, double half_swing_K, double base_C);

/* Rate and fit of a day (already under its shelter); swing 0..1 is the share of the day's swing
 * that the band is meant to see. Both 0..1, fit <= rate; within 2e-6 of the sine day integrated
 * over 2048 steps. */
struct isw_response isw_growth_respond(const struct isw_band *band, double swing,
                                       struct isw_day day);

/* Chance that a night with normal minimum lo_C falls below dies_below_C, single nights spreading
 * normally with spread_K (> 0) about their normal: Phi((dies_below - lo)/spread), 0..1. Within
 * 6e-8 of the standard normal table, spreads 0.5 to 5.5 K (tests/tables/normal_odds.txt). 0 for
 * dies_below_C = -INFINITY. */
double isw_growth_kill(double dies_below_C, double spread_K, double lo_C);

/* Share of a chilling day, 0..1: the band's fit at full swing, averaged over days shifted by
 * -sqrt(3), 0 and +sqrt(3) spreads with weights 1/6, 2/3, 1/6 (three-point Gauss-Hermite), each
 * under the shelter (NULL: open ground). day: open-ground normals; spread_K > 0. Within 0.0325 of
 * the average over the whole normal distribution (tested for the band -1, 3, 12, 15 in open ground,
 * a spread of 3 K, days of 10 K with minima of -10 to 20 degC). */
double isw_growth_chilling(const struct isw_band *chilling, const struct isw_shelter *shelter,
                           double spread_K, struct isw_day day);

#endif

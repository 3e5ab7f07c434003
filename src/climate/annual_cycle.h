/* What twelve monthly means in a row can be told by: pure, no I/O. */
#ifndef ISW_CLIMATE_ANNUAL_CYCLE_H
#define ISW_CLIMATE_ANNUAL_CYCLE_H

#include <stdbool.h>

#include "base/dates.h"

/* Outside the tropics summers are warmer than winters. */
#define ISW_OUTSIDE_TROPICS_DEG 25.0

/* Mean of the summer's three months less that of the winter's (K), as the hemisphere has them;
 * south: summer is December to February. */
double isw_climate_summer_contrast_K(const double cycle_C[ISW_YEAR_MONTHS], bool south);

/* The contrast is against the hemisphere clearly, not by a degree or two of a maritime climate. */
bool isw_climate_is_against_hemisphere(double summer_contrast_K);

/* Goes up and down more than once a year; false where there is little to go by (below 5 K). */
bool isw_climate_is_rough(const double cycle_C[ISW_YEAR_MONTHS]);

/* By how many months (-5..6) `other` runs after `cycle`: 0 unless another shift than none makes
 * them run together clearly better (correlation) and both span 5 K or more. */
int isw_climate_months_behind(const double cycle_C[ISW_YEAR_MONTHS],
                              const double other_C[ISW_YEAR_MONTHS]);

#endif

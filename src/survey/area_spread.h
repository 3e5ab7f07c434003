/* How whole numbers (days, scores) are spread over area: quantiles by ground area. Kept as a sorted
 * list of the values that occur, so that memory does not grow with the number of cells. */
#ifndef ISW_SURVEY_AREA_SPREAD_H
#define ISW_SURVEY_AREA_SPREAD_H

#include <glib.h>
#include <stdbool.h>

struct isw_area_spread {
  GArray *parts; /* NULL: nothing added yet */
};

/* Add ground of one value. A spread starts as all zeros; area_m2 <= 0 adds nothing. */
void isw_survey_add_to_spread(struct isw_area_spread *spread, int value, double area_m2);
/* Release the parts; the spread is as at its start. */
void isw_survey_clear_spread(struct isw_area_spread *spread);

/* All the area added, m2; 0: nothing was. */
double isw_survey_spread_m2(const struct isw_area_spread *spread);

/* The smallest value at or below which lie `share` (0..1) of the area: 0.5 is the median, 0.25 and
 * 0.75 the quartiles. false: nothing was added. */
bool isw_survey_spread_quantile(const struct isw_area_spread *spread, double share, int *out);

/* Median of values on a circle of 365 days: the added value to which the area's circular distances
 * sum up least; of several the one nearest to 0, negative before positive. *out as it was added.
 * false: nothing was added. */
bool isw_survey_spread_circular_median(const struct isw_area_spread *spread, int *out);

#endif

/* What a climate normal can be. The bounds are the design's; the extremes ever measured at a place
 * (-89.2 and 56.7 degC, World Meteorological Organization, from memory) lie inside. */
#ifndef ISW_CLIMATE_LIMITS_H
#define ISW_CLIMATE_LIMITS_H

#define ISW_COLDEST_C (-90.0)
#define ISW_WARMEST_C 60.0
#define ISW_MOST_INVERTED_K 0.5 /* minimum above maximum up to here is rounding, not an error */
/* Standard deviation, between years, of a month's mean: 1.0-2.5 K in Colorado, 0.9-1.6 K at
 * Nottingham (R data set nottem). Far above that it is another quantity. */
#define ISW_WIDEST_YEAR_SPREAD_K 20.0

#endif

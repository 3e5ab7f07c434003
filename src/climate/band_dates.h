/* The year and month of every band of a series: by its time axis, the bounds of whose times come
 * first, or by dates in the bands' descriptions. Private to this room. */
#ifndef ISW_CLIMATE_BAND_DATES_H
#define ISW_CLIMATE_BAND_DATES_H

#include <gdal.h>
#include <stdbool.h>

struct isw_band_date {
  bool dated;
  int year, month; /* month 0..11 */
};

/* dates[0..n-1] of bands 1..n of a dataset (all of them). A time with bounds (CF Conventions 1.10,
 * section 7.1) is that of their middle: what is stamped with the end of a month is that month. */
void isw_climate_date_bands(GDALDatasetH dataset, int n, struct isw_band_date *dates);

#endif

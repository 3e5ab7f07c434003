/* Which of a source's bands is which month. Works on labels alone, no I/O. */
#ifndef ISW_CLIMATE_MONTHS_H
#define ISW_CLIMATE_MONTHS_H

#include <stdbool.h>

#include "base/dates.h"
#include "base/status.h"

enum { ISW_MONTH_UNKNOWN = -1, ISW_MONTH_ANNUAL = 12, ISW_MONTHS_BANDS_MAX = 13 };

/* What is known of one band, in the order given. */
struct isw_month_label {
  int by_time;             /* 0..11 or ISW_MONTH_UNKNOWN */
  int by_number;           /* of the file name, 0..11 or ISW_MONTH_UNKNOWN */
  const char *description; /* may be NULL or empty */
};

/* band_of_month[12]: index into labels. */
struct isw_month_order {
  int band_of_month[ISW_YEAR_MONTHS];
  const char *reason; /* "time axis", "band descriptions", "file names", "order given" */
  int annual;         /* index of a band described as annual, left out; -1: none */
};

/* Order by time axis, then month names, dates or numbers in descriptions, then file numbers, then
 * as given. Dates that cannot be read as months are refused (ISW_INPUT_DOUBT). With 13 bands the
 * annual one is that described so; otherwise maybe_annual (an index, -1: none) is taken, which the
 * caller has checked to be the mean of the others. ISW_INPUT_DOUBT when months are double, missing
 * or contradict each other; `name` is the source's. */
enum isw_status isw_climate_order_months(const char *name, int n,
                                         const struct isw_month_label *labels, int maybe_annual,
                                         struct isw_month_order *out, struct isw_error *error);

/* Month 0..11 named by a word of the text ("tmin January", "tminJan"), ISW_MONTH_ANNUAL for
 * "annual", "year", "yearly", "ann"; else, or with two different months, ISW_MONTH_UNKNOWN. */
int isw_climate_month_in_text(const char *text);

/* Month 0..11 of the one date in the text: 2019-10-15, 2019-10, 201910, 20191015, 10/2019,
 * 15.10.2019, tmin_10_1991-2020, years from 1500 to 2199; none, or dates of different months:
 * ISW_MONTH_UNKNOWN. *dated: something in it looks like a date, read or not; may be NULL. */
int isw_climate_date_in_text(const char *text, bool *dated);

/* The year and month (0..11) of the one date in the text, written as above with the year first or
 * last; false: none, or several that differ. */
bool isw_climate_year_month_in_text(const char *text, int *year, int *month);

/* The last number of the text when it is 1..13 (01..13): 0..12; else ISW_MONTH_UNKNOWN. */
int isw_climate_number_in_text(const char *text);

#endif

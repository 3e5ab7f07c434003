/* Months from CF time coordinates ("days since 1961-1-1", value 15.5). Pure, no I/O. */
#ifndef ISW_CLIMATE_TIME_AXIS_H
#define ISW_CLIMATE_TIME_AXIS_H

#include <stdbool.h>

struct isw_time_point {
  int year;
  int month;           /* 0..11 */
  double day_of_month; /* 1.0 is the first moment of the month */
};

/* units: "<seconds|minutes|hours|days|weeks|months> since <date>[ time][ zone]"; years from -5000
 * to 10000. "months since" counts calendar months. calendar: a CF name or NULL (standard: Julian
 * until 4 October 1582, Gregorian from 15 October). false: not understood, or out of that range.
 * Source: CF Conventions 1.10, section 4.4. */
bool isw_climate_parse_time(const char *units, const char *calendar, double value,
                            struct isw_time_point *out);

/* Whether units has the form above. */
bool isw_climate_is_time_units(const char *units);

#endif

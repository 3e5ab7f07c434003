/* Normals and year spread of a station from its record, by the completeness that WMO-No. 1203
 * (2017) asks for. */
#ifndef ISW_SURVEY_RECORD_NORMALS_H
#define ISW_SURVEY_RECORD_NORMALS_H

#include "climate/station_record.h"
#include "growth/daily_curve.h"

/* What normals are of. */
struct isw_record_request {
  int from_year, to_year;   /* both included */
  int least_percent;        /* of the years, that a month's normal needs; 1..100 */
  int from_month, to_month; /* 0..11, across New Year where from > to: the growing season over which
                               the year spread is averaged, as the northern hemisphere has it */
};

struct isw_record_normals {
  bool valid; /* all 24 values are there */
  struct isw_normals normals;
  int years;              /* of the period, that have a row */
  int needed;             /* years that a month needs */
  int short_months;       /* of 24, with fewer */
  int worst, worst_years; /* the one with fewest: 0..23, minima before maxima */
};

/* Years of the period; standard normals are 30 of them that end with a year ending in 0. */
int isw_survey_period_years(const struct isw_record_request *request);
bool isw_survey_is_standard_period(const struct isw_record_request *request);

/* south: the growing season half a year on. normals.has_year_spread is false where a month of the
 * growing season has fewer than ISW_SPREAD_YEARS_LEAST years. */
void isw_survey_record_normals(const struct isw_record_request *request,
                               const struct isw_station_record *station, bool south,
                               struct isw_record_normals *out);

#endif

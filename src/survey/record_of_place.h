/* Which station of a record speaks for a place. */
#ifndef ISW_SURVEY_RECORD_OF_PLACE_H
#define ISW_SURVEY_RECORD_OF_PLACE_H

#include "growth/daily_curve.h"
#include "survey/backtest.h"

/* A record is of its own surroundings: farther away it is another place's (common practice, no
 * source). */
enum { ISW_RECORD_WITHIN_KM = 10 };

/* The station within ISW_RECORD_WITHIN_KM whose name or id is the place's, whatever the case; else
 * the nearest within that; else station is NULL. *namesake_km: how far the nearest station of that
 * name is where it is too far, else 0. The years are those from from_year to to_year; 0: the
 * station's own first, own last. */
struct isw_site_record isw_survey_find_place_record(const struct isw_record *record,
                                                    const char *name, double lat_deg,
                                                    double lon_deg, int from_year, int to_year,
                                                    double *namesake_km);

/* How much warmer the record is than normals: the mean over the 24 monthly values of the mean of
 * its years. NAN: a month has no year. */
double isw_survey_record_warmer_K(const struct isw_site_record *record,
                                  const struct isw_normals *normals);

#endif

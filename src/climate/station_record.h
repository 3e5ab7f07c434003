/* Records of stations, a row a year: name,lat,lon[,elev][,id],year,tmin_1..12,tmax_1..12 (CSV,
 * header by name, any column order, further columns ignored). An empty value is a month that is
 * missing. */
#ifndef ISW_CLIMATE_STATION_RECORD_H
#define ISW_CLIMATE_STATION_RECORD_H

#include "base/log.h"
#include "base/units.h"
#include "climate/climate.h"

enum { ISW_RECORD_FIRST_YEAR = 1500, ISW_RECORD_LAST_YEAR = 2199 };

struct isw_record_year {
  int year;
  int line;                                                /* in the file */
  double tmin_C[ISW_YEAR_MONTHS], tmax_C[ISW_YEAR_MONTHS]; /* NAN: missing */
};

struct isw_station_record {
  char *id;   /* NULL: the name is what tells stations apart */
  char *name; /* no two the same: where the file has a name twice, the id stands behind it */
  char *lat_text, *lon_text; /* as the file has them */
  double lat_deg, lon_deg;
  double elevation_m; /* NAN where not given */
  int n_years;
  struct isw_record_year *years; /* ascending, none twice */
};

struct isw_record {
  char *file; /* its name, for messages */
  int count;
  struct isw_station_record *stations; /* in the order of their first rows */
  int first_year, last_year;           /* of all rows */
};

/* unit ISW_UNIT_UNKNOWN is degC. Refuses with "file:line: ..." (ISW_INPUT_CONTENT) what station
 * tables refuse (climate/stations.h) except empty months; a year that is no whole number from
 * ISW_RECORD_FIRST_YEAR to ISW_RECORD_LAST_YEAR; a year twice; a station in two places or under two
 * names. ISW_INPUT_FILE: cannot be read. Warns log of years out of order. *out is new, to be freed.
 */
enum isw_status isw_climate_read_record(const char *path, enum isw_unit unit, struct isw_log *log,
                                        struct isw_record **out, struct isw_error *error);

/* The same from memory; name is what messages call it. */
enum isw_status isw_climate_parse_record(const char *name, const char *text, size_t length,
                                         enum isw_unit unit, struct isw_log *log,
                                         struct isw_record **out, struct isw_error *error);
void isw_climate_free_record(struct isw_record *record); /* takes NULL */

/* The station of that name, or of that id; NULL: none. */
const struct isw_station_record *isw_climate_find_record(const struct isw_record *record,
                                                         const char *name);

/* Leave only that station, one of the record's; pointers to its stations are void after it. */
void isw_climate_keep_record(struct isw_record *record, const struct isw_station_record *station);

/* A month `ahead` (any integer) of January of a year: false where the record does not have both
 * values. */
bool isw_climate_record_month(const struct isw_station_record *station, int year, int ahead,
                              double *tmin_C, double *tmax_C);

#endif

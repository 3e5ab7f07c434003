/* Station tables: name,lat,lon[,elev][,year_spread][,period],tmin_1..12,tmax_1..12 (CSV, header by
 * name, any column order, further columns ignored). */
#ifndef ISW_CLIMATE_STATIONS_H
#define ISW_CLIMATE_STATIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/log.h"
#include "base/units.h"
#include "climate/climate.h"

struct isw_station {
  char *name;
  char *lat_text, *lon_text; /* as the file has them */
  double lat_deg, lon_deg;
  double elevation_m;   /* NAN where not given */
  char *period;         /* years of its normals, "1961-1990"; NULL: not stated */
  double year_spread_K; /* NAN where not given; a difference of the table's unit in the file */
  double tmin_C[ISW_YEAR_MONTHS], tmax_C[ISW_YEAR_MONTHS];
  bool valid; /* false: tmin > tmax by up to 0.5 K; counted and named */
  int line;   /* in the file, 1-based, where the row starts */
};

struct isw_stations {
  int count;
  struct isw_station *items;
  int refused; /* rows that were; 0 where the reading was strict */
};

/* unit ISW_UNIT_UNKNOWN is degC. Refuses a row with "file:line: ..." (ISW_INPUT_CONTENT): not
 * strict, it is warned of and left out, as are all rows of a name that comes twice, and only where
 * no row is left the first of these is the table's failure; strict, it is so at once. What refuses
 * a row, and without regard to strict the table where its header is so: a missing column or value,
 * a non-number, lat outside -90..90, lon outside -180..360, a duplicate name, a value (in degC)
 * above 60 or below -90, a mean of the 24 above 35, tmin above tmax by more than 0.5 K. Warns log
 * of stations outside the tropics whose year is against their hemisphere, goes up and down more
 * than once, or has minimum and maximum in different orders. ISW_INPUT_FILE: cannot be read. *out
 * is new, to be freed. */
enum isw_status isw_climate_read_stations(const char *path, enum isw_unit unit, bool strict,
                                          struct isw_log *log, struct isw_stations **out,
                                          struct isw_error *error);

/* The same from memory; name is what messages call it. */
enum isw_status isw_climate_parse_stations(const char *name, const char *text, size_t length,
                                           enum isw_unit unit, bool strict, struct isw_log *log,
                                           struct isw_stations **out, struct isw_error *error);
void isw_climate_free_stations(struct isw_stations *stations); /* takes NULL */

#endif

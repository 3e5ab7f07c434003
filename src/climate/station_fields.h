/* Fields of the tables of stations, read by one rule whether a row holds normals
 * (climate/stations.h) or a single year (climate/station_record.h). */
#ifndef ISW_CLIMATE_STATION_FIELDS_H
#define ISW_CLIMATE_STATION_FIELDS_H

#include <glib.h>
#include <stdbool.h>

#include "base/status.h"
#include "base/units.h"
#include "climate/climate.h"

/* Index of the column, or -1: none. */
struct isw_station_columns {
  int id, name, lat, lon, elevation, year, year_spread, period;
  int months[ISW_CELL_NORMALS]; /* minima before maxima */
};

/* A table and a row of it. */
struct isw_station_row {
  const char *file; /* its name, for messages */
  enum isw_unit unit;
  const struct isw_station_columns *columns;
  const GPtrArray *fields; /* char * */
  int line;
};

/* Where a row says that its station lies. */
struct isw_station_place {
  char *name, *lat_text, *lon_text; /* new; without the blanks around them */
  double lat_deg, lon_deg;
  double elevation_m; /* NAN where not given */
};

/* The columns of a header; column `year` is asked for only in a record. ISW_INPUT_CONTENT: one is
 * missing or there twice. */
enum isw_status isw_climate_find_station_columns(const char *file, const GPtrArray *fields,
                                                 int line, bool record,
                                                 struct isw_station_columns *out,
                                                 struct isw_error *error);

/* The field of a column without the blanks around it, new; NULL: no such column, or empty. */
char *isw_climate_station_field(const struct isw_station_row *row, int column);

/* *out is to be cleared, also after failure. ISW_INPUT_CONTENT: no name, a position that is none.
 */
enum isw_status isw_climate_read_station_place(const struct isw_station_row *row,
                                               struct isw_station_place *out,
                                               struct isw_error *error);
void isw_climate_clear_station_place(struct isw_station_place *place);

/* The 24 values of a row in degC, minima before maxima. may_be_empty: an empty one is NAN.
 * ISW_INPUT_CONTENT: empty, no number, outside what a climate can be, or a mean of the 24 no place
 * on Earth has, as degF in place of degC make it. */
enum isw_status isw_climate_read_station_months(const struct isw_station_row *row,
                                                bool may_be_empty, double out_C[ISW_CELL_NORMALS],
                                                struct isw_error *error);

/* Largest minimum above its maximum (K; 0: none). ISW_INPUT_CONTENT: more than rounding makes.
 * NAN are passed over. what: "station" or "station, year", for the message. */
enum isw_status isw_climate_check_station_months(const struct isw_station_row *row,
                                                 const char *what,
                                                 const double months_C[ISW_CELL_NORMALS],
                                                 double *above_K, struct isw_error *error);

#endif

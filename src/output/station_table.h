/* Normals of stations as the table that climate/stations.h reads. */
#ifndef ISW_OUTPUT_STATION_TABLE_H
#define ISW_OUTPUT_STATION_TABLE_H

#include <glib.h>

#include "climate/station_record.h"
#include "growth/daily_curve.h"

/* ids: the stations have ids. */
void isw_output_append_station_header(GString *out, bool ids);

/* One row: degC and K with two decimals, rounded half up; no year spread is empty. period:
 * "1961-1990". */
void isw_output_append_station_row(GString *out, bool ids, const struct isw_station_record *station,
                                   const char *period, const struct isw_normals *normals);

#endif

/* A place's coordinates as people write them, in degrees. */
#ifndef ISW_REGIONS_COORDINATES_H
#define ISW_REGIONS_COORDINATES_H

#include "base/status.h"

struct isw_coordinates {
  double lat_deg, lon_deg;   /* [-90, 90], [-180, 360] */
  char *lat_text, *lon_text; /* the same as plain numbers, digits as written; new, g_free */
};

/* "44.12,-149.30", "44,12; -149,30", "44.12 -149.30", "44.12N, 149.30W", "(44.12, -149.30)",
 * "44.12° N, 149.30° W", "149.30 W 44.12 N"; any minus sign. The guide's page reads the same
 * (readCoordinates in page.js); tests/tables/coordinates.txt holds both to it. ISW_USAGE: the
 * message says how to write it, for the reader to put the option's name before it; *out is then
 * untouched. */
enum isw_status isw_regions_read_coordinates(const char *text, struct isw_coordinates *out,
                                             struct isw_error *error);

#endif

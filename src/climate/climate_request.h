/* What is asked of the climate reader. */
#ifndef ISW_CLIMATE_CLIMATE_REQUEST_H
#define ISW_CLIMATE_CLIMATE_REQUEST_H

#include "base/units.h"

enum isw_hemisphere { ISW_HEMISPHERE_AUTO = 0, ISW_HEMISPHERE_NORTH, ISW_HEMISPHERE_SOUTH };

/* What the command line says about the climate; NULL or 0 where it says nothing. */
struct isw_climate_request {
  const char *tmin, *tmax;  /* SRC: a 12-band raster, a netCDF variable, or a name with {month} */
  const char *mean, *range; /* instead: a mean SRC and a daily range, SRC or a number in K */
  const char *variable;     /* netCDF variable where a file has several */
  const char *crs;          /* overrides the CRS */
  enum isw_unit unit;       /* overrides metadata; ISW_UNIT_UNKNOWN: metadata decides */
  const char *period;       /* "1991-2020" */
  const char *elevation;    /* fine elevation SRC, with: */
  const char *normals_elevation; /* the elevation the normals stand for */
  const char *lapse;             /* "6.5" K/km, or NULL */
  const char *lapse_monthly;     /* "v,..." 12 or 24 values, or NULL */
  const char *year_spread;       /* SRC of one band on the grid: year spread, K; or NULL */
  enum isw_hemisphere hemisphere;
};

#endif

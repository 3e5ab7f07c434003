/* Everything that can be told about one source, for people to look at before a run. */
#ifndef ISW_CLIMATE_INSPECTION_H
#define ISW_CLIMATE_INSPECTION_H

#include <stdbool.h>

#include "base/dates.h"
#include "base/units.h"
#include "climate/grid.h"

struct isw_inspection_options {
  enum isw_unit unit;         /* overrides metadata */
  const char *variable, *crs; /* may be NULL */
  bool every_cell;            /* read all cells however many; otherwise a sample above 25 million */
};

/* One month, or the elevation. */
struct isw_inspection_band {
  char *file;
  int number;                    /* GDAL's, 1-based */
  char *formula;                 /* from what is stored, "0.1*v - 273.15" */
  char *nodata;                  /* "-9999", "none", "mask" */
  double low, high, mean;        /* degC or m; NAN where no cell has a value */
  long long with_value, missing; /* cells read */
};

struct isw_inspection {
  char *name;
  bool elevation;    /* one band, m; else twelve, degC */
  bool unit_guessed; /* an elevation only because it has one band and no unit */
  char *format;      /* GDAL's driver */
  char *type;        /* of what is stored: "Int16" */
  char *unit, *unit_reason;
  char *month_reason; /* NULL: elevation */
  char *period;       /* NULL: not stated */
  struct isw_grid grid;
  char *crs_name;
  bool crs_assumed;
  double cell_width, cell_height;                  /* units of the CRS */
  double cell_area_km2;                            /* of the middle cell */
  double south_deg, north_deg, west_deg, east_deg; /* of corners and edge middles; NAN: unknown */
  int band_count;
  struct isw_inspection_band bands[ISW_YEAR_MONTHS];
  bool every_cell;                        /* were all read? */
  long long cells, whole, partial, empty; /* of those read: all months, some, none */
  double mean;                            /* over cells and months; NAN */
  char *understood;                       /* the one line of other commands */
  char **notices, **doubts;               /* NULL-terminated */
};

/* *out is new, to be freed. Refusals as isw_climate_open
 * (ISW_INPUT_FILE, ISW_INPUT_CONTENT, ISW_INPUT_DOUBT, ISW_USAGE, ISW_RESOURCES), ISW_INTERRUPTED;
 * a raster of one band is an elevation. */
enum isw_status isw_climate_inspect(const char *src, const struct isw_inspection_options *options,
                                    struct isw_inspection **out, struct isw_error *error);
void isw_climate_free_inspection(struct isw_inspection *inspection); /* takes NULL */

#endif

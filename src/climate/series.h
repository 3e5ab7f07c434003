/* A monthly series over years: a netCDF variable with a time axis over years, a raster whose bands
 * carry dates, or files by year, or by year and month, as a name holding {year} and perhaps
 * {month}. Opened once to be understood, then read by several readers, a thread each. GDAL must be
 * registered. */
#ifndef ISW_CLIMATE_SERIES_H
#define ISW_CLIMATE_SERIES_H

#include "base/log.h"
#include "base/units.h"
#include "climate/grid.h"

struct isw_series; /* may be read by several readers at a time */

struct isw_series_request {
  const char *source;     /* SRC */
  const char *variable;   /* netCDF variable where a file has several, or NULL */
  const char *crs;        /* overrides the CRS, or NULL */
  enum isw_unit unit;     /* overrides metadata */
  int from_year, to_year; /* 0: from the first, to the last that there is */
};

/* Every year is opened once: its twelve months, their unit, their grid, a sample of their values.
 * ISW_INPUT_CONTENT naming file, year and month: a year with fewer or more than its twelve months,
 * units or grids that change between years; the rest as isw_climate_open. ISW_INPUT_FILE: no file
 * of a name holding {year}. Warns log of years that are missing in between. *out is new. */
enum isw_status isw_climate_open_series(const struct isw_series_request *request,
                                        struct isw_log *log, struct isw_series **out,
                                        struct isw_error *error);
void isw_climate_free_series(struct isw_series *series); /* takes NULL */

/* Borrowed, as all that follows. */
const struct isw_grid *isw_climate_series_grid(const struct isw_series *series);
const char *isw_climate_series_name(const struct isw_series *series);
const char *isw_climate_series_understood(const struct isw_series *series);

/* Years that are there, ascending. */
int isw_climate_series_years(const struct isw_series *series, const int **years);

/* Whether files hold the months of a year pixel by pixel, so that reading one unpacks all twelve:
 * then a year is best read at once, in windows of whole *block_width x *block_height cells. */
bool isw_climate_series_by_pixel(const struct isw_series *series, int *block_width,
                                 int *block_height);

/* Files, each once; index past the last: NULL. */
const char *isw_climate_series_file(const struct isw_series *series, int index);

/* Of one thread. A few files stay open from one call to the next. New. */
struct isw_series_reader;
struct isw_series_reader *isw_climate_new_series_reader(const struct isw_series *series);
void isw_climate_free_series_reader(struct isw_series_reader *reader); /* takes NULL */

/* A window of cells. */
struct isw_series_window {
  int col, row, width, height;
};

/* n_months months (0..11) from first_month on of the year of that index, in that window:
 * values[month][height * width] in degC, NAN where there is none. ISW_INPUT_FILE: cannot be read;
 * ISW_INPUT_CONTENT, naming file, year, month and cell: outside -90..60 degC. */
enum isw_status isw_climate_read_series(struct isw_series_reader *reader, int year_index,
                                        int first_month, int n_months,
                                        const struct isw_series_window *window, float *values,
                                        struct isw_error *error);

#endif

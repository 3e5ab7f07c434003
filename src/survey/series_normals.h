/* Normals and year spread of every cell of a grid from series over years (method, equations 19 and
 * 20): regions of the grid, each read through all years, so that memory does not
 * grow with the years. Knows no format. */
#ifndef ISW_SURVEY_SERIES_NORMALS_H
#define ISW_SURVEY_SERIES_NORMALS_H

#include <stdint.h>

#include "climate/climate_request.h"
#include "climate/series.h"
#include "survey/record_normals.h"

enum { ISW_SERIES_NODATA = -32768 };
/* What one step of a packed value is. */
#define ISW_SERIES_TEMPERATURE_STEP_C 0.01
#define ISW_SERIES_SPREAD_STEP_K 0.001

struct isw_series_normals_request {
  const struct isw_series *tmin, *tmax; /* of the same years and grid: isw_survey_check_series */
  const struct isw_record_request *rules;
  enum isw_hemisphere hemisphere;
  int threads, memory_MB; /* 1.. */
  struct isw_log *log;    /* progress; may be NULL */
};

/* A finished block of up to ISW_BLOCK_SIZE cells a side. Values are packed, rounded half up,
 * ISW_SERIES_NODATA where there is none. */
struct isw_series_block {
  int col, row, width, height;
  const int16_t *tmin, *tmax; /* [cell][12] */
  const int16_t *year_spread; /* [cell] */
};

/* Takes finished blocks, one at a time, in the order of the regions. */
typedef enum isw_status isw_take_series_block(void *self, const struct isw_series_block *block,
                                              struct isw_error *error);

struct isw_series_counts {
  long long cells, whole, partial, empty; /* all 24 normals; some; none */
  long long with_spread;                  /* of the whole ones */
  int n_years;                            /* of the series, within the period */
  int needed;                             /* years that a month needs */
  int first_col, first_row;               /* of the partial ones; -1: none */
};

/* ISW_INPUT_CONTENT: another grid, or a year that only one of them has (named). */
enum isw_status isw_survey_check_series(const struct isw_series *tmin,
                                        const struct isw_series *tmax, struct isw_error *error);

/* ISW_RESOURCES, ISW_INTERRUPTED, failures of reading and of the taker. The same bytes for any
 * number of threads. */
enum isw_status isw_survey_run_series(const struct isw_series_normals_request *request,
                                      isw_take_series_block *take, void *taker,
                                      struct isw_series_counts *counts, struct isw_error *error);

#endif

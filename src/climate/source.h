/* One climate source as GDAL opens it: its twelve bands in month order, how a packed value becomes
 * degC, where it is. Private to this room, except for what `inspect` reads of it. */
#ifndef ISW_CLIMATE_SOURCE_H
#define ISW_CLIMATE_SOURCE_H

#include <gdal.h>
#include <glib.h>
#include <stdbool.h>

#include "base/dates.h"
#include "base/status.h"
#include "base/units.h"
#include "climate/grid.h"

enum isw_source_kind {
  ISW_SOURCE_TEMPERATURE, /* twelve months, to degC */
  ISW_SOURCE_DIFFERENCE,  /* twelve months of a difference, to K */
  ISW_SOURCE_ELEVATION,   /* one band, to m */
  ISW_SOURCE_YEAR_SPREAD  /* one band, a difference, to K */
};

/* A packed value in [low, high] is nodata. */
struct isw_nodata_range {
  double low, high;
};

enum { ISW_NODATA_RANGES_MAX = 2 };

struct isw_source_band {
  GDALDatasetH dataset; /* one of files' */
  int number;           /* GDAL's, 1-based */
  const char *file;     /* of the dataset, as messages show it */
  double scale, offset; /* of the metadata: stated value = scale * packed + offset */
  double factor, shift; /* value in degC, K or m = factor * packed + shift */
  int nodata_count;
  struct isw_nodata_range nodata[ISW_NODATA_RANGES_MAX];
  bool read_mask; /* the mask says more than nodata does */
  bool integer;   /* cannot hold NaN */
};

struct isw_band_range {
  double low, high; /* low > high: no value seen */
  size_t cells, missing;
};

struct isw_sample_plan;

struct isw_source_options {
  enum isw_source_kind kind;
  enum isw_unit unit;
  const char *variable, *crs;
  bool crs_if_missing; /* crs does not override one that is there */
  int year;            /* of a series: only this year's months; 0: all there are */
  bool year_in_name;   /* the file's name says it; else its bands must */
};

struct isw_source {
  char *name; /* as given */
  enum isw_source_kind kind;
  GPtrArray *datasets;
  GPtrArray *files; /* char *: datasets[i] as opened */
  int band_count;   /* 12 or 1 */
  struct isw_source_band bands[ISW_YEAR_MONTHS];
  bool wide; /* packed values need double */
  struct isw_grid grid;
  bool crs_assumed;
  enum isw_unit unit;
  const char *unit_reason;      /* "metadata", "--unit" */
  const char *month_reason;     /* of isw_month_order; NULL for one band */
  char *period;                 /* found in metadata, or NULL */
  struct isw_sample_plan *plan; /* of sample */
  float *sample;                /* sample[band * plan->cells + cell], in degC, K or m */
  struct isw_band_range ranges[ISW_YEAR_MONTHS]; /* of the sample */
  GPtrArray *notices;                            /* char *: what was taken for granted */
  GPtrArray *doubts;                             /* char *: what a user should look at */
};

/* NULL: twelve months; else what the one band holds, as messages say it: "an elevation". */
const char *isw_climate_one_band_words(enum isw_source_kind kind);

/* Open SRC and decide all about it. *out is new, to be freed with isw_climate_free_source. What its
 * parts, below, return; ISW_USAGE: one file where {month} is asked for, a CRS that is not
 * understood. */
enum isw_status isw_climate_open_source(const char *src, const struct isw_source_options *options,
                                        struct isw_source **out, struct isw_error *error);
void isw_climate_free_source(struct isw_source *source); /* takes NULL */

/* The unit_reason of an elevation that says no unit. */
extern const char isw_climate_unit_granted[];

/* Parts of opening, each in its own file, in this order; each fills what the struct says of it.
 * Files: ISW_INPUT_FILE: no file of that name or GDAL cannot read it; ISW_INPUT_CONTENT: no
 * variable of twelve times; ISW_INPUT_DOUBT: several, or two files for one month; ISW_USAGE: one
 * file where twelve are asked for. Bands: ISW_INPUT_CONTENT: another number of bands, a type, scale
 * or piece size that cannot be read; ISW_INPUT_DOUBT: which is which month (climate/months.h).
 * Grid: ISW_INPUT_CONTENT: none that is regular, or an extent that no Earth has; ISW_INPUT_DOUBT:
 * no CRS; ISW_USAGE: options->crs is not understood. Sample: as isw_climate_read_source. Unit:
 * ISW_INPUT_DOUBT: not said, or values that do not look like it; ISW_INPUT_CONTENT: bands differ in
 * it. */
enum isw_status isw_climate_open_files(struct isw_source *source,
                                       const struct isw_source_options *options,
                                       struct isw_error *error);
enum isw_status isw_climate_find_bands(struct isw_source *source,
                                       const struct isw_source_options *options,
                                       struct isw_error *error);
enum isw_status isw_climate_find_grid(struct isw_source *source,
                                      const struct isw_source_options *options,
                                      struct isw_error *error);
enum isw_status isw_climate_take_sample(struct isw_source *source, struct isw_error *error);
enum isw_status isw_climate_find_unit(struct isw_source *source, enum isw_unit unit,
                                      struct isw_error *error);

/* Where a band lies on its dataset's time dimension. */
struct isw_time_value {
  double value;
  const char *units, *calendar; /* the dataset's; may be NULL */
  char dimension[128];          /* its name */
};

/* false: it has no place on such a dimension. */
bool isw_climate_find_time(GDALDatasetH dataset, GDALRasterBandH band, struct isw_time_value *out);

/* Whether a dataset's unit or names say that it holds temperatures. */
bool isw_climate_looks_like_temperature(GDALDatasetH dataset);

/* A GDAL metadata value of the dataset whose key is `key` or ends in "#key", any case; or NULL. */
const char *isw_climate_find_metadata(GDALMajorObjectH object, const char *key);

/* Read a window of every band, decimated to out_width x out_height by nearest neighbour:
 * planes[band * stride + cell] in degC, K or m, NAN where there is none; window within the grid.
 * ISW_INPUT_FILE: damaged or cut short; ISW_RESOURCES. One thread at a time. */
enum isw_status isw_climate_read_source(struct isw_source *source, int col, int row, int width,
                                        int height, int out_width, int out_height, float *planes,
                                        size_t stride, struct isw_error *error);

/* "0.1*v - 273.15", from packed to degC, K or m; new text. */
char *isw_climate_describe_formula(const struct isw_source_band *band);

/* One line: "tmin.tif: 12 bands by time axis, band 1 ...". New text. */
char *isw_climate_describe_source(const struct isw_source *source);

#endif

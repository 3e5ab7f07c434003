/* GeoTIFFs with everything inside, statistics of their bands too: written block by block, checked
 * after closing. */
#ifndef ISW_OUTPUT_RASTER_H
#define ISW_OUTPUT_RASTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "climate/grid.h"

enum isw_raster_type { ISW_RASTER_INT16, ISW_RASTER_BYTE };

struct isw_raster_metadata {
  int band; /* 0-based, or -1: of the dataset */
  const char *key, *value;
};

struct isw_raster_spec {
  const struct isw_grid *grid;
  enum isw_raster_type type;
  int n_bands;
  const char *const *descriptions; /* [n_bands] */
  const char *const *units;        /* [n_bands]; NULL: none */
  double nodata;
  const bool *zero_is_nodata; /* [n_bands], of Int16: a 0 is written as nodata; NULL: nowhere */
  double scale; /* what a step of a stored value is, in the unit; 0: the value itself */
  int n_metadata;
  const struct isw_raster_metadata *metadata;
  int n_colours;               /* of a Byte raster's colour table, 0: none */
  const uint8_t (*colours)[4]; /* RGBA of value 0.. */
};

/* Metadata item that holds the WKT of a CRS for which GeoTIFF has no word (a rotated pole); a
 * side-car file would be left behind. */
extern const char isw_output_crs_item[];

struct isw_raster;

/* Start a file: tiled 256, pixel-interleaved, DEFLATE level 4; predictor 2. *out is new, to be
 * closed or dropped. ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_create_raster(const char *path, const struct isw_raster_spec *spec,
                                         struct isw_raster **out, struct isw_error *error);

/* A whole tile, cut off at the raster's right and lower edge only: col and row are multiples of
 * 256. data: [height][width][n_bands], int16_t or uint8_t. Each tile once.
 * ISW_OUTPUT, ISW_RESOURCES. */
enum isw_status isw_output_write_block(struct isw_raster *raster, int col, int row, int width,
                                       int height, const void *data, struct isw_error *error);

/* Instead of a block that is nodata throughout: GDAL fills such tiles when the raster is closed,
 * deflating one of them and copying it, which is many times faster. */
void isw_output_skip_block(struct isw_raster *raster);

/* Flush, close, reopen and check that what was written is there (a full disk shows only now).
 * ISW_OUTPUT: it is not; ISW_RESOURCES: memory or files ran short; ISW_INTERNAL: tiles were
 * never given. The raster is gone afterwards. */
enum isw_status isw_output_close_raster(struct isw_raster *raster, struct isw_error *error);

/* Close without checking, for failed runs; takes NULL. */
void isw_output_drop_raster(struct isw_raster *raster);

#endif

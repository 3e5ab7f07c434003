/* A raster as a map needs it: the part that holds data, no finer than the page's pixels. */
#ifndef ISW_CHART_MAP_IMAGE_H
#define ISW_CHART_MAP_IMAGE_H

#include <gdal.h>
#include <stdint.h>

#include "climate/grid.h"

/* Cells [col, col + cols) x [row, row + rows) */
struct isw_cell_window {
  int col, row, cols, rows;
};

enum { ISW_KEPT_BANDS_MAX = 2 };

struct isw_map_source {
  GDALDatasetH dataset;
  struct isw_grid grid;
  struct isw_locator *locator;
  struct isw_cell_window data; /* the part that holds data; all where none does */
  bool has_holes;              /* some cells of the grid are without data */
  /* Bands that were read whole when the data were looked for, so that a map unpacks its raster
   * once; n_kept 0: none, the raster is too large for that. */
  int n_kept, kept_bands[ISW_KEPT_BANDS_MAX];
  int16_t *kept[ISW_KEPT_BANDS_MAX];
};

/* Opens a raster of ours; bands (0-based) are those that the map needs, and the first and nodata
 * tell where data are. ISW_INPUT_FILE. */
enum isw_status isw_chart_open_source_bands(const char *raster, int n_bands, const int *bands,
                                            int nodata, struct isw_map_source *out,
                                            struct isw_error *error);

/* The same for a map of one band. */
enum isw_status isw_chart_open_source(const char *raster, int band, int nodata,
                                      struct isw_map_source *out, struct isw_error *error);
void isw_chart_close_source(struct isw_map_source *source);

/* Bands (0-based) of a window as width x height values each, nearest cell, never a mean: dates do
 * not mix. values[i]: width * height. ISW_INPUT_FILE. */
enum isw_status isw_chart_read_window(const struct isw_map_source *source, int n_bands,
                                      const int *bands, struct isw_cell_window window, int width,
                                      int height, int16_t *const *values, struct isw_error *error);

#endif

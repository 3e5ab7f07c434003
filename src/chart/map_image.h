/* A raster as a map needs it: the part that holds data, no finer than the page's pixels, in the CRS
 * in which the map is drawn. */
#ifndef ISW_CHART_MAP_IMAGE_H
#define ISW_CHART_MAP_IMAGE_H

#include <gdal.h>
#include <stdint.h>

#include "chart/cell_window.h"
#include "chart/map_warp.h"

enum { ISW_KEPT_BANDS_MAX = 3 };

struct isw_map_source {
  GDALDatasetH dataset;
  struct isw_grid grid; /* that the map is drawn on: the raster's, or a lattice in another CRS */
  struct isw_locator *locator; /* of grid */
  struct isw_cell_window data; /* the part of grid that holds data; all where none does */
  bool has_holes;              /* some of grid is without data */
  double cell_side;            /* of a raster's cell, in cells of grid */
  struct isw_map_warp *warp;   /* from grid to the raster's cells; NULL: they are the same */
  int raster_width, raster_height;
  struct isw_cell_window raster_data; /* the part of the raster that holds data */
  int nodata;
  /* Bands that were read whole when the data were looked for, so that a map unpacks its raster
   * once; n_kept 0: none, the raster is too large for that. */
  int n_kept, kept_bands[ISW_KEPT_BANDS_MAX];
  int16_t *kept[ISW_KEPT_BANDS_MAX];
};

/* Opens a raster of ours, to be drawn in map_crs (chart/map_crs.h; NULL: auto); bands (0-based) are
 * those that the map needs, and the first and nodata tell where data are. ISW_RESOURCES (it is this
 * run's own); ISW_USAGE for a map_crs that is none or has no place for the data; ISW_INPUT_CONTENT
 * for a CRS that gives no latitude. */
enum isw_status isw_chart_open_source_bands(const char *raster, const char *map_crs, int n_bands,
                                            const int *bands, int nodata,
                                            struct isw_map_source *out, struct isw_error *error);

/* The same for a map of one band. ISW_RESOURCES, ISW_USAGE, ISW_INPUT_CONTENT. */
enum isw_status isw_chart_open_source(const char *raster, const char *map_crs, int band, int nodata,
                                      struct isw_map_source *out, struct isw_error *error);
void isw_chart_close_source(struct isw_map_source *source);

/* Bands (0-based) of a window of source->grid as width x height values each, nearest cell, never a
 * mean: dates do not mix; nodata where the raster has no cell. values[i]: width * height.
 * ISW_RESOURCES. */
enum isw_status isw_chart_read_window(const struct isw_map_source *source, int n_bands,
                                      const int *bands, struct isw_cell_window window, int width,
                                      int height, int16_t *const *values, struct isw_error *error);

#endif

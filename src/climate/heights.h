/* The elevation of a grid's cells, from any model of it. One thread at a time. */
#ifndef ISW_CLIMATE_HEIGHTS_H
#define ISW_CLIMATE_HEIGHTS_H

#include "climate/grid.h"

struct isw_heights;

/* The first band of any raster that GDAL opens, in metres; on another grid by area-weighted mean.
 * ISW_INPUT_FILE: cannot be read; ISW_INPUT_CONTENT: no CRS. *out is new. */
enum isw_status isw_climate_open_heights(const char *path, const struct isw_grid *grid,
                                         struct isw_heights **out, struct isw_error *error);
void isw_climate_free_heights(struct isw_heights *heights); /* takes NULL */

/* height_m[height*width], NAN where the model has none. ISW_INPUT_FILE. */
enum isw_status isw_climate_read_heights(struct isw_heights *heights, int col, int row, int width,
                                         int height, float *height_m, struct isw_error *error);

#endif

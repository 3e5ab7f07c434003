/* Elevation as hill shades need it: the part of a model that lies under a grid, averaged to a size
 * that no page exceeds. */
#ifndef ISW_CLIMATE_RELIEF_H
#define ISW_CLIMATE_RELIEF_H

#include "climate/grid.h"

struct isw_relief {
  struct isw_grid grid; /* of the heights; its own CRS */
  float *height_m;      /* [height][width]; NAN: not known */
};

/* The first band of any raster that GDAL opens, in metres, averaged to 3000 cells a side at most.
 * ISW_INPUT_FILE: cannot be read; ISW_INPUT_CONTENT: no CRS, or nothing under the grid. *out is
 * new. */
enum isw_status isw_climate_read_relief(const char *path, const struct isw_grid *under,
                                        struct isw_relief **out, struct isw_error *error);
void isw_climate_free_relief(struct isw_relief *relief); /* takes NULL */

#endif

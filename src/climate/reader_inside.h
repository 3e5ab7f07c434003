/* The reader's inside, shared by this room's files. */
#ifndef ISW_CLIMATE_READER_INSIDE_H
#define ISW_CLIMATE_READER_INSIDE_H

#include <glib.h>
#include <stdint.h>

#include "climate/cells.h"
#include "climate/climate_request.h"
#include "climate/elevation.h"
#include "climate/grid.h"
#include "climate/normals.h"

struct isw_climate {
  struct isw_grid grid; /* of what is handed out */
  struct isw_normal_sources normals;
  struct isw_source *fine_elevation, *normals_elevation; /* or NULL */
  struct isw_elevation *elevation;                       /* NULL: the normals' own grid */
  struct isw_source *year_spread;                        /* NULL: not by place */
  struct isw_locator *locator;
  enum isw_hemisphere hemisphere;
  char *period;
  GPtrArray *understood, *input_files;
  struct isw_climate_counts counts;
  float *planes; /* scratch of planes_size floats */
  size_t planes_size;
};

/* Sets ISW_CELL_SOUTH of cells south of the equator. ISW_INPUT_DOUBT: the CRS gives a cell with
 * data no latitude. */
enum isw_status isw_climate_mark_south(struct isw_climate *climate, int col, int row, int width,
                                       int height, uint8_t *flags, struct isw_error *error);

#endif

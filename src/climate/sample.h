/* A few windows of a grid, spread evenly and along the stored blocks, so that a look at the values
 * costs a bounded number of blocks however large the raster is. */
#ifndef ISW_CLIMATE_SAMPLE_H
#define ISW_CLIMATE_SAMPLE_H

#include <stddef.h>

#include "climate/source.h"

enum { ISW_SAMPLE_WINDOWS_MAX = 256 };

struct isw_sample_window {
  int col, row, width, height; /* cells of the grid */
  int out_width, out_height;   /* read by nearest neighbour */
  size_t first;                /* index of its first cell in the sample */
};

struct isw_sample_plan {
  int count;
  size_t cells; /* of all windows */
  struct isw_sample_window windows[ISW_SAMPLE_WINDOWS_MAX];
};

/* wanted: number of blocks at most, 1..ISW_SAMPLE_WINDOWS_MAX. */
void isw_climate_plan_sample(const struct isw_grid *grid, int block_width, int block_height,
                             int wanted, struct isw_sample_plan *plan);

/* planes[band * plan->cells + cell], NAN where there is none. As isw_climate_read_source:
 * ISW_INPUT_FILE, ISW_RESOURCES. */
enum isw_status isw_climate_read_sample(struct isw_source *source,
                                        const struct isw_sample_plan *plan, float *planes,
                                        struct isw_error *error);

#endif

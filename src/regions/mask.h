/* Which cells of the grid count: a raster of 0 and 1, or polygons. One thread at a time. */
#ifndef ISW_REGIONS_MASK_H
#define ISW_REGIONS_MASK_H

#include <stdint.h>

#include "base/log.h"
#include "climate/grid.h"

struct isw_mask;

/* A raster of one band: 1 counts; 0, nodata and what it does not cover do not. On another grid than
 * the normals' it is brought onto it by majority, which is said to log. Else the polygons of a
 * vector file's first layer, by cell centres. ISW_INPUT_FILE: cannot be read, or not to its end.
 * ISW_INPUT_CONTENT: no CRS, several bands, no polygon, an invalid one. *out is new. */
enum isw_status isw_regions_open_mask(const char *path, const struct isw_grid *grid,
                                      struct isw_log *log, struct isw_mask **out,
                                      struct isw_error *error);
void isw_regions_free_mask(struct isw_mask *mask); /* takes NULL */

/* kept[cell] = 1 where a cell of the block has climate data (flags: the block's ISW_CELL_*) and
 * counts, else 0. ISW_INPUT_CONTENT: the raster holds a value that is neither 0 nor 1.
 * ISW_INPUT_FILE: it cannot be read. ISW_RESOURCES, ISW_INTERNAL. One thread at a time. */
enum isw_status isw_regions_keep_cells(struct isw_mask *mask, int col, int row, int width,
                                       int height, const uint8_t *flags, uint8_t *kept,
                                       struct isw_error *error);

/* Of the blocks seen so far: cells with climate data, and those of them that count. */
void isw_regions_count_kept(const struct isw_mask *mask, long long *with_data, long long *kept);

#endif

/* The only readers of climate rasters: whatever the files hold, what leaves here is 24 values in
 * degC per cell, its validity and its hemisphere. GDAL must be registered (GDALAllRegister). */
#ifndef ISW_CLIMATE_CLIMATE_H
#define ISW_CLIMATE_CLIMATE_H

#include <stdint.h>

#include "base/dates.h"
#include "base/log.h"
#include "climate/cells.h"
#include "climate/climate_request.h"
#include "climate/grid.h"

struct isw_climate; /* one reader; one thread at a time */

/* Open and check all sources. Prints a notice per source of what was understood to log. Anything
 * doubtful is refused: ISW_INPUT_FILE, ISW_INPUT_CONTENT, ISW_INPUT_DOUBT; ISW_USAGE for options
 * that contradict each other; ISW_RESOURCES. *out is new, to be freed. */
enum isw_status isw_climate_open(const struct isw_climate_request *request, struct isw_log *log,
                                 struct isw_climate **out, struct isw_error *error);
void isw_climate_free(struct isw_climate *climate); /* takes NULL */

/* The grid of what is read; borrowed from climate. */
const struct isw_grid *isw_climate_grid(const struct isw_climate *climate);

/* As given or as found in metadata; NULL: not stated. Borrowed, as the next two. */
const char *isw_climate_period(const struct isw_climate *climate);

/* Files that were read, for the run record; index past the last: NULL. */
const char *isw_climate_input_file(const struct isw_climate *climate, int index);

/* What was understood, one line per source ("tmin.tif: 12 bands by name, degC"); past the last:
 * NULL. */
const char *isw_climate_understood(const struct isw_climate *climate, int index);

/* Read cells [col, col+width) x [row, row+height): normals[height*width][24] in degC (anything
 * where not valid), flags[height*width] of ISW_CELL_*. A cell is valid with all 24 values, none NaN
 * or nodata. tmin > tmax by up to 0.5 K: not valid, counted. Further, or outside -90..60 degC:
 * ISW_INPUT_CONTENT, naming the cell, its place and month, and saying so when the two sources look
 * exchanged. ISW_INPUT_DOUBT: a cell with data to which its CRS gives no latitude. ISW_INPUT_FILE:
 * a source is damaged or cut short. ISW_RESOURCES. ISW_INTERNAL: cells outside the grid. */
enum isw_status isw_climate_read_block(struct isw_climate *climate, int col, int row, int width,
                                       int height, float *normals, uint8_t *flags,
                                       struct isw_error *error);

/* The same, and year_spread_K[height*width] of each cell where the request has a raster of it, NAN
 * where it has none. A cell without a year spread in that raster is not valid; one outside 0..20 K
 * is ISW_INPUT_CONTENT. Else as above. */
enum isw_status isw_climate_read_cells(struct isw_climate *climate, int col, int row, int width,
                                       int height, float *normals, float *year_spread_K,
                                       uint8_t *flags, struct isw_error *error);

/* Of all blocks read so far. */
struct isw_climate_counts isw_climate_get_counts(const struct isw_climate *climate);

/* To be called when the whole grid has been read: warns of what was counted; ISW_INPUT_CONTENT when
 * inverted cells are more than 0.1 % of those with data. */
enum isw_status isw_climate_check_counts(const struct isw_climate_counts *counts,
                                         struct isw_log *log, struct isw_error *error);

#endif

/* Whether a grid's coordinates can be what its CRS says they are. */
#ifndef ISW_CLIMATE_GRID_EXTENT_H
#define ISW_CLIMATE_GRID_EXTENT_H

#include "climate/grid.h"

/* name: of the file. ISW_INPUT_CONTENT: a CRS that is neither of degrees nor of a map; degrees
 * beyond the poles, or wider than the Earth. ISW_INPUT_DOUBT: a map's coordinates that look like
 * degrees. */
enum isw_status isw_climate_check_extent(const struct isw_grid *grid, const char *name,
                                         struct isw_error *error);

/* What to do about a CRS that is missing, by the coordinates alone. ISW_INPUT_DOUBT. */
enum isw_status isw_climate_refuse_missing_crs(const struct isw_grid *grid, const char *name,
                                               struct isw_error *error);

#endif

/* What the rooms' own files need of a grid beyond grid.h. */
#ifndef ISW_CLIMATE_GRID_GEOMETRY_H
#define ISW_CLIMATE_GRID_GEOMETRY_H

#include <stdbool.h>

#include "climate/grid.h"

/* Cell coordinates (0, 0 is the outer corner of the first cell) to coordinates in the CRS. */
void isw_climate_grid_point(const struct isw_grid *grid, double col, double row, double *x,
                            double *y);

/* The way back; false where cells have no size. */
bool isw_climate_grid_position(const struct isw_grid *grid, double x, double y, double *col,
                               double *row);

/* The same for points on the grid, longitudes tried a turn to either side, the far edges belonging
 * to the last cells; false: outside. */
bool isw_climate_find_point(const struct isw_grid *grid, double x, double y, double *col,
                            double *row);

/* Equivalent CRS, whatever their axis order. */
bool isw_climate_same_crs(const char *wkt_a, const char *wkt_b);

/* Latitude and longitude of n points (col, row) of the grid; NAN where the projection has no
 * answer. */
struct isw_locator;
void isw_climate_locate_cells(struct isw_locator *locator, int n, const double *cols,
                              const double *rows, double *lat_deg, double *lon_deg);

#endif

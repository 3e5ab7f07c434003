/* From a map in one CRS back to the cells of a raster in another: which cell lies under each point
 * of the map. */
#ifndef ISW_CHART_MAP_WARP_H
#define ISW_CHART_MAP_WARP_H

#include "chart/cell_window.h"
#include "climate/grid.h"

struct isw_map_warp;

/* A lattice in the CRS `wkt` that covers the raster's window `data`, and as much of the rest of the
 * raster as is of use around it. *lattice: the grid to draw on, north up, square cells finer than
 * any page's pixels (isw_climate_free_grid); *data_on_lattice: where data came to lie on it.
 * ISW_USAGE: the CRS has no place for these data. */
enum isw_status isw_chart_new_warp(const struct isw_grid *raster, struct isw_cell_window data,
                                   const char *wkt, struct isw_map_warp **out,
                                   struct isw_grid *lattice,
                                   struct isw_cell_window *data_on_lattice,
                                   struct isw_error *error);
void isw_chart_free_warp(struct isw_map_warp *warp); /* takes NULL */

/* The raster's cells under n points of a lattice row, evenly spaced: point i at column
 * first_col + i * step. cols, rows: [n], whole cells of the raster; -1 where there is none. Exact
 * to a twentieth of a cell. */
void isw_chart_find_raster_cells(struct isw_map_warp *warp, double row, double first_col,
                                 double step, int n, int *cols, int *rows);

/* n points in lattice cells to the raster's CRS, in place; NAN where there is no answer. */
void isw_chart_find_raster_places(const struct isw_map_warp *warp, int n, double *x, double *y);

/* The way forth: n points in the raster's CRS to lattice cells, in place; NAN where there is no
 * answer. */
void isw_chart_find_lattice_cells(struct isw_map_warp *warp, int n, double *x, double *y);

/* The longer side of the data, in the raster CRS's unit. */
double isw_chart_warp_reach(const struct isw_map_warp *warp);

/* Side of a raster cell in lattice cells, at the middle of the data. */
double isw_chart_raster_cell_side(const struct isw_map_warp *warp);

#endif

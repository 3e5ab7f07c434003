/* A raster's grid: size, place, CRS, and what PROJ makes of it. */
#ifndef ISW_CLIMATE_GRID_H
#define ISW_CLIMATE_GRID_H

#include <stdbool.h>

#include "base/status.h"

struct isw_grid {
  int width, height;   /* cells */
  double transform[6]; /* GDAL's: x = t0 + col*t1 + row*t2, y = t3 + col*t4 + row*t5 */
  char *wkt;           /* the CRS, never empty */
  bool geographic;     /* plain degrees; false for a rotated pole, whose degrees are its own */
};

/* Whether a CRS is one of plain longitudes and latitudes: geographic, and not derived from one by a
 * rotation or the like. */
bool isw_climate_is_geographic(const char *wkt);

/* Whether a CRS is a rotation of one (a rotated pole). GeoTIFF has no word for it. */
bool isw_climate_is_rotated(const char *wkt);

/* Deep copy and release; free takes NULL contents. */
void isw_climate_copy_grid(const struct isw_grid *from, struct isw_grid *to);
void isw_climate_free_grid(struct isw_grid *grid);

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

/* Whether two CRS (WKT) are equivalent, whatever their axis order. */
bool isw_climate_same_crs(const char *wkt_a, const char *wkt_b);

/* Same size, CRS, and origin and cell size within 1e-3 cell; else ISW_INPUT_CONTENT with a message
 * that names both sources and sizes and the shift in cells. */
enum isw_status isw_climate_compare_grids(const struct isw_grid *a, const char *a_name,
                                          const struct isw_grid *b, const char *b_name,
                                          struct isw_error *error);

/* Transforms between the grid's CRS and lat/lon (WGS 84, degrees, traditional axis order). One per
 * thread. *out is new, to be freed. ISW_INPUT_CONTENT: the CRS gives no latitude and longitude. */
struct isw_locator;
enum isw_status isw_climate_new_locator(const struct isw_grid *grid, struct isw_locator **out,
                                        struct isw_error *error);
void isw_climate_free_locator(struct isw_locator *locator);

/* Centre of a cell (fractional columns and rows allowed: 0.5, 0.5 is the first cell's centre).
 * false where the projection has no answer. */
bool isw_climate_locate_cell(struct isw_locator *locator, double col, double row, double *lat_deg,
                             double *lon_deg);

/* Latitude and longitude of n points (col, row) of the grid; NAN where the projection has no
 * answer. */
void isw_climate_locate_cells(struct isw_locator *locator, int n, const double *cols,
                              const double *rows, double *lat_deg, double *lon_deg);

/* Cell coordinates of a place, fractional; longitudes are tried at +-360 so that 0..360 and 20..380
 * grids find theirs. false: outside the grid. */
bool isw_climate_find_cell(struct isw_locator *locator, double lat_deg, double lon_deg, double *col,
                           double *row);

/* Ground area of every cell of a row (m2), on the ellipsoid, from the row's middle column for
 * geographic grids, from the cell itself elsewhere. 0 where the projection has no answer. */
double isw_climate_cell_area_m2(struct isw_locator *locator, int col, int row);

/* Of the cell in the grid's middle; 0 where the projection has no answer. */
double isw_climate_middle_area_m2(const struct isw_grid *grid);

#endif

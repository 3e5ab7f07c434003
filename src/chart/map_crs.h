/* The CRS a map is drawn in. By default one made for its area, so that lengths on it are true and
 * shapes keep their look. */
#ifndef ISW_CHART_MAP_CRS_H
#define ISW_CHART_MAP_CRS_H

#include "climate/grid.h"

/* Is it a way to ask for a CRS: NULL or "auto", "grid", or a projected CRS as GDAL understands it
 * ("EPSG:3035")? ISW_USAGE, saying what it may be. */
enum isw_status isw_chart_check_map_crs(const char *asked, struct isw_error *error);

/* WKT of the CRS to draw in, to be freed; NULL in *wkt: the grid's own. asked: one that the check
 * above passed. Auto keeps projected grids as they are, and for degrees takes
 *   transverse Mercator       where the area is narrow (reaches at most 8 degrees of a great circle
 *                             to either side of its middle), or much higher than wide
 *   Lambert conformal conic   in middle latitudes, standard parallels a sixth of the height inside
 *                             the edges (the rule of Deetz & Adams 1934, Elements of Map
 *                             Projection)
 *   Lambert azimuthal equal-area  otherwise
 * each centred on the area, on the grid's own datum; and keeps the grid's where the area is
 * world-wide (180 degrees of longitude or 90 of latitude).
 * Bounds are the area's, in degrees, west < east at any turn. ISW_USAGE: asked is no such CRS. */
struct isw_degree_bounds {
  double west_deg, east_deg, south_deg, north_deg;
};
enum isw_status isw_chart_choose_map_crs(const char *asked, const struct isw_grid *grid,
                                         struct isw_degree_bounds bounds, char **wkt,
                                         struct isw_error *error);

#endif

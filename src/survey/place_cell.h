/* The cell of a grid that answers for a place. */
#ifndef ISW_SURVEY_PLACE_CELL_H
#define ISW_SURVEY_PLACE_CELL_H

#include "climate/climate.h"
#include "growth/daily_curve.h"

struct isw_place_cell {
  int col, row;
  bool moved;              /* the place's own cell has no data; this is the nearest that has */
  double away_km;          /* from the place to the cell's centre */
  double lat_deg, lon_deg; /* of the cell's centre */
  bool south;
  struct isw_normals normals; /* the very numbers rasters are made from */
};

/* On the ground: the great circle, within 0.5 % of the ellipsoid. */
double isw_survey_distance_km(double lat_a_deg, double lon_a_deg, double lat_b_deg,
                              double lon_b_deg);

/* Find it. A place whose cell has no data gets the nearest valid cell when that is next to it, or
 * with `nearest` however far it is. lat_deg [-90, 90], lon_deg [-180, 360]; climate: not in use by
 * another thread meanwhile. ISW_USAGE: outside the grid (out->away_km 0), or no valid cell near
 * enough (out->away_km its distance); ISW_INPUT_CONTENT: no valid cell at all, a CRS that gives no
 * latitude and longitude; else as isw_climate_read_block. */
enum isw_status isw_survey_find_place_cell(struct isw_climate *climate, double lat_deg,
                                           double lon_deg, bool nearest, struct isw_place_cell *out,
                                           struct isw_error *error);

#endif

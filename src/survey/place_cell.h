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

/* Find it. A place whose cell has no data gets the nearest valid cell when that is next to it, or
 * with `nearest` however far it is. ISW_USAGE: outside the grid, or no valid cell near enough, with
 * the distance; the reader's own failures. */
enum isw_status isw_survey_find_place_cell(struct isw_climate *climate, double lat_deg,
                                           double lon_deg, bool nearest, struct isw_place_cell *out,
                                           struct isw_error *error);

#endif

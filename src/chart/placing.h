/* From the raster's CRS to the page: where the points of districts, layers and places come to lie.
 */
#ifndef ISW_CHART_PLACING_H
#define ISW_CHART_PLACING_H

#include "chart/map_frame.h"

struct isw_placing {
  const struct isw_map_source *source;
  const struct isw_map_frame *frame;
  double to_cell[6]; /* inverse of the grid's transform; without a warp */
  double longest;    /* longer edges are bent by a change of CRS, in the raster CRS's unit */
};

/* ISW_INPUT_CONTENT: cells without area. */
enum isw_status isw_chart_start_placing(const struct isw_map_source *source,
                                        const struct isw_map_frame *frame, struct isw_placing *out,
                                        struct isw_error *error);

/* What a path comes to: its points on the page; NAN where the map's CRS has no answer. */
struct isw_placed_path {
  int n;
  double *x_mm, *y_mm;
};

/* n points in the raster's CRS; middle_x: of what they belong to, by which the turn of longitude is
 * found. Long edges get points between. To be freed by isw_chart_free_path. */
struct isw_placed_path isw_chart_place_path(const struct isw_placing *placing, int n,
                                            const double *x, const double *y, double middle_x);
void isw_chart_free_path(struct isw_placed_path *path);

/* One point; false where the map's CRS has no answer. */
bool isw_chart_place_point(const struct isw_placing *placing, double x, double y, double middle_x,
                           double *x_mm, double *y_mm);

#endif

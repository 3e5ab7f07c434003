/* Outlines and names of districts on a map. */
#ifndef ISW_CHART_DISTRICTS_H
#define ISW_CHART_DISTRICTS_H

#include "chart/class_grid.h"
#include "chart/label_space.h"

/* vector: any OGR source, its first layer, brought into the grid's CRS; a layer without a CRS is
 * taken to be in it already. name_column may be NULL: no labels. Labels keep clear of what space
 * holds and are added to it. Outlines along the data's edge are left to the coast that is there
 * already, and none are drawn where there are no data. ISW_INPUT_FILE: cannot be opened; ISW_USAGE:
 * no such column; ISW_INPUT_CONTENT: CRS that do not go together. */
enum isw_status isw_chart_draw_district_outlines(struct isw_pen *pen,
                                                 const struct isw_map_source *source,
                                                 const struct isw_map_frame *frame,
                                                 const struct isw_class_grid *grid,
                                                 const char *vector, struct isw_error *error);
/* names: array of struct isw_district_name, freed with g_ptr_array_unref. */
struct isw_district_name {
  char *name;
  double x_mm, y_mm;
};
enum isw_status isw_chart_place_district_names(struct isw_pen *pen,
                                               const struct isw_map_source *source,
                                               const struct isw_map_frame *frame,
                                               const char *vector, const char *name_column,
                                               struct isw_label_space *space, GPtrArray **names,
                                               struct isw_error *error);
void isw_chart_draw_district_names(struct isw_pen *pen, const GPtrArray *names);

#endif

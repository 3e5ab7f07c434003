/* Outlines and names of districts on a map. */
#ifndef ISW_CHART_DISTRICTS_H
#define ISW_CHART_DISTRICTS_H

#include "chart/class_grid.h"
#include "chart/label_space.h"
#include "regions/district_shapes.h"

/* districts: opened for the grid of source. Outlines along the data's edge are left to the coast
 * that is there already, and none are drawn where there are no data. ISW_INPUT_CONTENT: cells
 * without area. */
enum isw_status isw_chart_draw_district_outlines(struct isw_pen *pen,
                                                 const struct isw_map_source *source,
                                                 const struct isw_map_frame *frame,
                                                 const struct isw_class_grid *grid,
                                                 const struct isw_district_set *districts,
                                                 struct isw_error *error);

struct isw_district_name {
  int district;
  char *name; /* or its number */
  double x_mm, y_mm;
};

/* A name for each district, or with numbered its number from 1, where there is room: names keep
 * clear of what space holds and are added to it. *names: new array of struct isw_district_name, to
 * be freed with g_ptr_array_unref; a district without room is not in it. ISW_INPUT_CONTENT: cells
 * without area. */
enum isw_status isw_chart_place_district_names(struct isw_pen *pen,
                                               const struct isw_map_source *source,
                                               const struct isw_map_frame *frame,
                                               const struct isw_district_set *districts,
                                               bool numbered, struct isw_label_space *space,
                                               GPtrArray **names, struct isw_error *error);
void isw_chart_draw_district_names(struct isw_pen *pen, const GPtrArray *names);

#endif

/* Which parts of a map are taken by labels, so that no two overlap. */
#ifndef ISW_CHART_LABEL_SPACE_H
#define ISW_CHART_LABEL_SPACE_H

#include <glib.h>

#include "chart/map_frame.h"

/* A turned box: centre, half sizes, angle in radians. */
struct isw_label_box {
  double x_mm, y_mm, half_width_mm, half_height_mm, angle;
};

struct isw_label_space {
  struct isw_box bounds;
  GArray *taken; /* struct isw_label_box */
};

void isw_chart_init_label_space(struct isw_label_space *space, struct isw_box bounds);
void isw_chart_clear_label_space(struct isw_label_space *space);

/* Take the box if it lies inside the bounds and touches no other; false: not taken. */
bool isw_chart_take_label_space(struct isw_label_space *space, struct isw_label_box box);

#endif

/* A scale bar, and whether one is true. */
#ifndef ISW_CHART_SCALE_BAR_H
#define ISW_CHART_SCALE_BAR_H

#include "chart/map_frame.h"

/* Ground metres per millimetre of map when they vary by less than 3 % over the frame in any
 * direction (geodesics on WGS 84); else 0: no bar is true. */
double isw_chart_true_scale(const struct isw_map_source *source, const struct isw_map_frame *frame);

/* Of the bar and its text, mm. */
double isw_chart_scale_bar_height(const struct isw_pen *pen);

/* A round length of at most room_mm. */
void isw_chart_draw_scale_bar(struct isw_pen *pen, double m_per_mm, double x_mm, double y_mm,
                              double room_mm);

#endif

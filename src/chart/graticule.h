/* Meridians and parallels with their labels, and a scale bar where one scale holds. */
#ifndef ISW_CHART_GRATICULE_H
#define ISW_CHART_GRATICULE_H

#include "chart/map_frame.h"

/* Room that labels need left of and below the frame, in mm before the pen's scale. */
enum { ISW_GRATICULE_LEFT_MM = 13, ISW_GRATICULE_BELOW_MM = 5 };

/* Thin lines inside the frame, in any CRS; labels at its left and lower edge, ticks at the others.
 * Nothing where PROJ has no answer. */
void isw_chart_draw_graticule(struct isw_pen *pen, const struct isw_map_source *source,
                              const struct isw_map_frame *frame);

/* "105° W", "40.5° N", "0°", "180°"; step says how many decimals. Returns out. */
enum { ISW_DEGREES_SIZE = 64 };
const char *isw_chart_format_degrees(double value_deg, double step_deg, bool longitude,
                                     char out[ISW_DEGREES_SIZE]);

/* A round step that cuts `span` into about `parts`, from 30 down to 0.01 degrees. */
double isw_chart_graticule_step(double span_deg, double parts);

#endif

/* Water, roads and borders on a map, quiet, below lines and labels. */
#ifndef ISW_CHART_DRAWN_LAYERS_H
#define ISW_CHART_DRAWN_LAYERS_H

#include "chart/map_frame.h"
#include "regions/map_layers.h"

/* layers: opened for the raster of source. ISW_INPUT_CONTENT: cells without area. */
enum isw_status isw_chart_draw_layers(struct isw_pen *pen, const struct isw_map_source *source,
                                      const struct isw_map_frame *frame,
                                      const struct isw_map_layers *layers, struct isw_error *error);

/* Stroke the pen's current path as a line of that kind; lines only, no area. */
void isw_chart_stroke_layer(struct isw_pen *pen, enum isw_layer_kind kind);

#endif

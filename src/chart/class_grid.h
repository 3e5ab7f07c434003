/* Cells as classes, painted straight into the page's pixels: the bulk of a map's surface. */
#ifndef ISW_CHART_CLASS_GRID_H
#define ISW_CHART_CLASS_GRID_H

#include <stdint.h>

#include "chart/hatch.h"
#include "chart/map_frame.h"

enum { ISW_CLASSES_MAX = 255, ISW_CLASS_NONE = 255 }; /* none: no data, stays paper */

/* Covers frame->window in width x height samples, in the grid's own order of rows. */
struct isw_class_grid {
  int width, height;
  uint8_t *classes;
  uint8_t *shade; /* of the relief (chart/hill_shade.h); NULL: none */
};

/* Samples a frame needs: its cells, but no more than its pixels. */
struct isw_class_grid isw_chart_new_class_grid(const struct isw_map_frame *frame,
                                               double pixels_per_mm);
void isw_chart_free_class_grid(struct isw_class_grid *grid);

/* Paint every sample with its class's fill (n_fills; of classes below it), and draw the edge of the
 * data and the edges of class `edged` (or ISW_CLASS_NONE) as thin lines. surface: RGB24. */
void isw_chart_paint_classes(cairo_surface_t *surface, double pixels_per_mm,
                             const struct isw_map_frame *frame, const struct isw_class_grid *grid,
                             int n_fills, const struct isw_fill *fills, int edged);

#endif

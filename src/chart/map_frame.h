/* Where on the page a window of cells is drawn: between cells, millimetres and pixels. */
#ifndef ISW_CHART_MAP_FRAME_H
#define ISW_CHART_MAP_FRAME_H

#include <stdbool.h>

#include "chart/map_image.h"
#include "chart/pen.h"

struct isw_box {
  double x_mm, y_mm, width_mm, height_mm;
};

struct isw_map_frame {
  struct isw_box box; /* on whole pixels */
  struct isw_cell_window window;
  bool mirrored;    /* columns run westward */
  bool upside_down; /* rows run northward */
};

/* About how wide a raster's cell is on the page. */
double isw_chart_raster_cell_mm(const struct isw_map_source *source,
                                const struct isw_map_frame *frame);

/* Width of a cell over its height on the map: equal scales at the window's middle latitude. */
double isw_chart_cell_aspect(const struct isw_map_source *source, struct isw_cell_window window);

/* The data with a margin, widened towards the room's shape as far as the grid goes, as large as
 * fits into room. */
struct isw_map_frame isw_chart_fit_frame(const struct isw_map_source *source, struct isw_box room,
                                         double pixels_per_mm);

/* Cell coordinates (0.5, 0.5: the grid's first cell's centre) to page and back. */
void isw_chart_place_cell(const struct isw_map_frame *frame, double col, double row, double *x_mm,
                          double *y_mm);
void isw_chart_find_cell(const struct isw_map_frame *frame, double x_mm, double y_mm, double *col,
                         double *row);

bool isw_chart_in_box(struct isw_box box, double x_mm, double y_mm);
void isw_chart_clip_box(struct isw_pen *pen, struct isw_box box);

#endif

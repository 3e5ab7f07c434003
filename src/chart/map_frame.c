#include "chart/map_frame.h"

#include <glib.h>
#include <math.h>

static const double margin_share = 0.03;

double isw_chart_cell_aspect(const struct isw_map_source *source, struct isw_cell_window window) {
  const double *t = source->grid.transform;
  double aspect = hypot(t[1], t[4]) / hypot(t[2], t[5]);
  double lat_deg, lon_deg;
  if (source->grid.geographic &&
      isw_climate_locate_cell(source->locator, window.col + window.cols / 2.0,
                              window.row + window.rows / 2.0, &lat_deg, &lon_deg))
    aspect *= fmax(cos(lat_deg * G_PI / 180), 0.2);
  return aspect;
}

double isw_chart_raster_cell_mm(const struct isw_map_source *source,
                                const struct isw_map_frame *frame) {
  return source->cell_side * frame->box.width_mm / frame->window.cols;
}

/* Grow [from, from + size) to `wanted`, evenly, inside [0, limit). */
static void grow(int *from, int *size, int wanted, int limit) {
  wanted = MIN(wanted, limit);
  if (wanted <= *size) return;
  *from = CLAMP(*from - (wanted - *size) / 2, 0, limit - wanted);
  *size = wanted;
}

static void look_at_directions(const struct isw_map_source *source, struct isw_map_frame *frame) {
  double col = frame->window.col + frame->window.cols / 2.0;
  double row = frame->window.row + frame->window.rows / 2.0;
  double lat_deg, lon_deg, lat_below_deg, lon_right_deg, unused;
  if (!isw_climate_locate_cell(source->locator, col, row, &lat_deg, &lon_deg)) return;
  if (isw_climate_locate_cell(source->locator, col, row + 0.5, &lat_below_deg, &unused))
    frame->upside_down = lat_below_deg > lat_deg;
  if (isw_climate_locate_cell(source->locator, col + 0.5, row, &unused, &lon_right_deg))
    frame->mirrored = remainder(lon_right_deg - lon_deg, 360) < 0;
}

struct isw_map_frame isw_chart_fit_frame(const struct isw_map_source *source, struct isw_box room,
                                         double pixels_per_mm) {
  struct isw_map_frame frame = {.window = source->data};
  struct isw_cell_window *window = &frame.window;
  const struct isw_grid *grid = &source->grid;
  int margin = (int)ceil(margin_share * MAX(window->cols, window->rows));
  if (window->cols < grid->width)
    grow(&window->col, &window->cols, window->cols + 2 * margin, grid->width);
  if (window->rows < grid->height)
    grow(&window->row, &window->rows, window->rows + 2 * margin, grid->height);
  double aspect = isw_chart_cell_aspect(source, *window);
  double room_shape = room.width_mm / room.height_mm;
  grow(&window->col, &window->cols, (int)(room_shape * window->rows / aspect), grid->width);
  grow(&window->row, &window->rows, (int)(window->cols * aspect / room_shape), grid->height);
  double shape = window->cols * aspect / window->rows;
  double width = fmin(room.width_mm, room.height_mm * shape);
  double height = width / shape;
  frame.box.x_mm = round(room.x_mm * pixels_per_mm) / pixels_per_mm;
  frame.box.y_mm = round(room.y_mm * pixels_per_mm) / pixels_per_mm;
  frame.box.width_mm = fmax(round(width * pixels_per_mm), 1) / pixels_per_mm;
  frame.box.height_mm = fmax(round(height * pixels_per_mm), 1) / pixels_per_mm;
  look_at_directions(source, &frame);
  return frame;
}

void isw_chart_place_cell(const struct isw_map_frame *frame, double col, double row, double *x_mm,
                          double *y_mm) {
  double x = (col - frame->window.col) / frame->window.cols;
  double y = (row - frame->window.row) / frame->window.rows;
  *x_mm = frame->box.x_mm + frame->box.width_mm * (frame->mirrored ? 1 - x : x);
  *y_mm = frame->box.y_mm + frame->box.height_mm * (frame->upside_down ? 1 - y : y);
}

void isw_chart_find_cell(const struct isw_map_frame *frame, double x_mm, double y_mm, double *col,
                         double *row) {
  double x = (x_mm - frame->box.x_mm) / frame->box.width_mm;
  double y = (y_mm - frame->box.y_mm) / frame->box.height_mm;
  *col = frame->window.col + frame->window.cols * (frame->mirrored ? 1 - x : x);
  *row = frame->window.row + frame->window.rows * (frame->upside_down ? 1 - y : y);
}

bool isw_chart_in_box(struct isw_box box, double x_mm, double y_mm) {
  return x_mm >= box.x_mm && x_mm <= box.x_mm + box.width_mm && y_mm >= box.y_mm &&
         y_mm <= box.y_mm + box.height_mm;
}

void isw_chart_clip_box(struct isw_pen *pen, struct isw_box box) {
  cairo_rectangle(pen->cr, box.x_mm, box.y_mm, box.width_mm, box.height_mm);
  cairo_clip(pen->cr);
}

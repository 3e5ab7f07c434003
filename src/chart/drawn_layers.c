#include "chart/drawn_layers.h"

#include <math.h>

#include "chart/placing.h"

/* Below the map's own lines in weight: thin, and no darker than they must be to be seen on every
 * class. */
static const struct {
  struct isw_colour ink;
  double width_mm, casing_mm, opacity;
} looks[ISW_LAYER_KINDS] = {[ISW_LAYER_WATER] = {{0.27, 0.49, 0.7}, 0.28, 0.5, 1.0},
                            [ISW_LAYER_BORDER] = {{0.35, 0.33, 0.4}, 0.2, 0.5, 0.8},
                            [ISW_LAYER_ROAD] = {{0.45, 0.36, 0.32}, 0.16, 0.42, 0.9}};
static const struct isw_colour water_ground = {204 / 255.0, 224 / 255.0, 240 / 255.0};

struct drawing {
  struct isw_pen *pen;
  struct isw_placing placing;
};

static void trace(void *into, int n, const double *x, const double *y, double middle_x) {
  struct drawing *drawing = into;
  struct isw_placed_path path = isw_chart_place_path(&drawing->placing, n, x, y, middle_x);
  bool down = false;
  for (int i = 0; i < path.n; i++) {
    bool known = isfinite(path.x_mm[i]) && isfinite(path.y_mm[i]);
    if (known && down) cairo_line_to(drawing->pen->cr, path.x_mm[i], path.y_mm[i]);
    if (known && !down) cairo_move_to(drawing->pen->cr, path.x_mm[i], path.y_mm[i]);
    down = known;
  }
  isw_chart_free_path(&path);
}

void isw_chart_stroke_layer(struct isw_pen *pen, enum isw_layer_kind kind) {
  cairo_t *cr = pen->cr;
  cairo_save(cr);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  if (looks[kind].casing_mm > 0) {
    cairo_set_line_width(cr, looks[kind].casing_mm * pen->scale);
    cairo_set_source_rgba(cr, 1, 1, 1, 0.55);
    cairo_stroke_preserve(cr);
  }
  double dashes[4] = {1.6 * pen->scale, 0.5 * pen->scale, 0.2 * pen->scale, 0.5 * pen->scale};
  if (kind == ISW_LAYER_BORDER) cairo_set_dash(cr, dashes, 4, 0);
  cairo_set_line_width(cr, looks[kind].width_mm * pen->scale);
  isw_chart_set_colour(pen, looks[kind].ink, looks[kind].opacity);
  cairo_stroke(cr);
  cairo_restore(cr);
}

enum isw_status isw_chart_draw_layers(struct isw_pen *pen, const struct isw_map_source *source,
                                      const struct isw_map_frame *frame,
                                      const struct isw_map_layers *layers,
                                      struct isw_error *error) {
  struct drawing drawing = {.pen = pen};
  enum isw_status status = isw_chart_start_placing(source, frame, &drawing.placing, error);
  if (status != ISW_OK) return status;
  cairo_save(pen->cr);
  isw_chart_clip_box(pen, frame->box);
  cairo_set_fill_rule(pen->cr, CAIRO_FILL_RULE_EVEN_ODD);
  for (int kind = 0; kind < ISW_LAYER_KINDS; kind++) {
    int n = isw_regions_count_shapes(layers, (enum isw_layer_kind)kind);
    for (int i = 0; i < n; i++) {
      bool is_area;
      isw_regions_visit_shape(layers, (enum isw_layer_kind)kind, i, &is_area, trace, &drawing);
      if (is_area && kind == ISW_LAYER_WATER) {
        isw_chart_set_colour(pen, water_ground, 1);
        cairo_fill_preserve(pen->cr);
      }
      isw_chart_stroke_layer(pen, (enum isw_layer_kind)kind);
    }
  }
  cairo_restore(pen->cr);
  return ISW_OK;
}

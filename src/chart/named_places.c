#include "chart/named_places.h"

#include <math.h>

static const double ring_mm = 0.75, ring_line_mm = 0.3, gap_mm = 0.6;
static const struct isw_text name_style = {
    .size_mm = 2.5, .ink = {0.1, 0.1, 0.13}, .halo_mm = 0.5, .height = ISW_TEXT_MIDDLE};

/* Beside the ring: right, left, above, below, then the corners; readers look to the right first. */
static const struct {
  double x, y, across;
} sides[] = {{1, 0, 0},  {-1, 0, 1}, {0, -1, 0.5}, {0, 1, 0.5},
             {1, -1, 0}, {1, 1, 0},  {-1, -1, 1},  {-1, 1, 1}};

static bool find_room(struct isw_pen *pen, struct isw_drawn_place *place,
                      struct isw_label_space *space) {
  struct isw_extent extent = isw_chart_measure_text(pen, &name_style, place->name);
  double half_height = 0.55 * name_style.size_mm * pen->scale;
  for (size_t i = 0; i < G_N_ELEMENTS(sides); i++) {
    double away_x = (ring_mm + gap_mm) * pen->scale * sides[i].x;
    double away_y = (ring_mm * pen->scale + half_height + 0.1 * pen->scale) * sides[i].y;
    double x = place->x_mm + away_x, y = place->y_mm + away_y;
    struct isw_label_box box = {x + (0.5 - sides[i].across) * extent.width_mm, y,
                                extent.width_mm / 2 + 0.2 * pen->scale, half_height, 0};
    if (!isw_chart_take_label_space(space, box)) continue;
    place->named = true;
    place->name_x_mm = x;
    place->name_y_mm = y;
    place->across = sides[i].across;
    return true;
  }
  return false;
}

GPtrArray *isw_chart_place_names(struct isw_pen *pen, const struct isw_map_source *source,
                                 const struct isw_map_frame *frame,
                                 const struct isw_place_list *places,
                                 struct isw_label_space *space) {
  GPtrArray *drawn = g_ptr_array_new_with_free_func(g_free);
  for (int i = 0; i < places->count; i++) {
    const struct isw_named_place *it = &places->items[i];
    struct isw_drawn_place place = {.name = it->name};
    double col, row, half = ring_mm * pen->scale;
    if (!isw_climate_find_cell(source->locator, it->lat_deg, it->lon_deg, &col, &row)) continue;
    isw_chart_place_cell(frame, col, row, &place.x_mm, &place.y_mm);
    struct isw_label_box ring = {place.x_mm, place.y_mm, half, half, 0};
    if (!isw_chart_take_label_space(space, ring)) continue; /* outside, or on another */
    g_ptr_array_add(drawn, g_memdup2(&place, sizeof place));
  }
  for (guint i = 0; i < drawn->len; i++) find_room(pen, g_ptr_array_index(drawn, i), space);
  return drawn;
}

void isw_chart_draw_places(struct isw_pen *pen, const GPtrArray *places) {
  cairo_t *cr = pen->cr;
  for (guint i = 0; i < places->len; i++) {
    const struct isw_drawn_place *place = g_ptr_array_index(places, i);
    cairo_new_sub_path(cr);
    cairo_arc(cr, place->x_mm, place->y_mm, (ring_mm - ring_line_mm / 2) * pen->scale, 0, 2 * G_PI);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_fill_preserve(cr);
    cairo_set_line_width(cr, ring_line_mm * pen->scale);
    isw_chart_set_colour(pen, name_style.ink, 1);
    cairo_stroke(cr);
    if (!place->named) continue;
    struct isw_text style = name_style;
    style.across = place->across;
    isw_chart_draw_text(pen, &style, place->name_x_mm, place->name_y_mm, place->name);
  }
}

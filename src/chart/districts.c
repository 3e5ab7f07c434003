#include "chart/districts.h"

#include <math.h>

#include "chart/placing.h"
#include "regions/district_overlaps.h"

/* What tracing an outline needs besides its points. */
struct outline {
  cairo_t *cr;
  struct isw_placing placing;
  const struct isw_map_frame *frame;
  const struct isw_class_grid *grid;
  double coast_mm; /* this near to no data, the coast stands for the outline */
  double step_mm;  /* how finely that is asked */
  bool drawing;
};

static bool has_data(const struct outline *outline, double x_mm, double y_mm) {
  double col, row;
  isw_chart_find_cell(outline->frame, x_mm, y_mm, &col, &row);
  const struct isw_cell_window *window = &outline->frame->window;
  int x = (int)floor((col - window->col) / window->cols * outline->grid->width);
  int y = (int)floor((row - window->row) / window->rows * outline->grid->height);
  if (x < 0 || y < 0 || x >= outline->grid->width || y >= outline->grid->height) return true;
  return outline->grid->classes[(size_t)y * (size_t)outline->grid->width + (size_t)x] !=
         ISW_CLASS_NONE;
}

static bool is_inland(const struct outline *outline, double x_mm, double y_mm) {
  enum { AROUND = 8 };
  for (int k = 0; k < AROUND; k++)
    if (!has_data(outline, x_mm + outline->coast_mm * cos(2 * G_PI * k / AROUND),
                  y_mm + outline->coast_mm * sin(2 * G_PI * k / AROUND)))
      return false;
  return true;
}

static void trace_piece(struct outline *outline, double from_x, double from_y, double to_x,
                        double to_y) {
  /* Far outside the page nothing is asked step by step. */
  double length = hypot(to_x - from_x, to_y - from_y);
  int n = (int)fmin(ceil(length / outline->step_mm), 4000);
  for (int i = 0; i < n; i++) {
    double middle = (i + 0.5) / n, end = (i + 1.0) / n;
    bool inland =
        is_inland(outline, from_x + middle * (to_x - from_x), from_y + middle * (to_y - from_y));
    double x = from_x + end * (to_x - from_x), y = from_y + end * (to_y - from_y);
    if (inland && !outline->drawing)
      cairo_move_to(outline->cr, from_x + (double)i / n * (to_x - from_x),
                    from_y + (double)i / n * (to_y - from_y));
    if (inland) cairo_line_to(outline->cr, x, y);
    outline->drawing = inland;
  }
}

static void trace_ring(void *into, int n, const double *x, const double *y, double middle_x) {
  struct outline *outline = into;
  struct isw_placed_path path = isw_chart_place_path(&outline->placing, n, x, y, middle_x);
  outline->drawing = false;
  for (int i = 1; i < path.n; i++) {
    bool known = isfinite(path.x_mm[i - 1]) && isfinite(path.y_mm[i - 1]) &&
                 isfinite(path.x_mm[i]) && isfinite(path.y_mm[i]);
    if (known)
      trace_piece(outline, path.x_mm[i - 1], path.y_mm[i - 1], path.x_mm[i], path.y_mm[i]);
    else
      outline->drawing = false;
  }
  isw_chart_free_path(&path);
}

enum isw_status isw_chart_draw_district_outlines(struct isw_pen *pen,
                                                 const struct isw_map_source *source,
                                                 const struct isw_map_frame *frame,
                                                 const struct isw_class_grid *grid,
                                                 const struct isw_district_set *districts,
                                                 struct isw_error *error) {
  struct outline outline = {.cr = pen->cr, .frame = frame, .grid = grid};
  enum isw_status status = isw_chart_start_placing(source, frame, &outline.placing, error);
  if (status != ISW_OK) return status;
  cairo_t *cr = pen->cr;
  cairo_save(cr);
  isw_chart_clip_box(pen, frame->box);
  outline.coast_mm = fmax(0.7 * pen->scale, 1.1 * isw_chart_raster_cell_mm(source, frame));
  outline.step_mm = 0.7 * pen->scale;
  for (int d = 0; d < isw_regions_district_count(districts); d++)
    isw_regions_visit_rings(districts, d, trace_ring, &outline);
  isw_chart_stroke_border(pen);
  cairo_restore(cr);
  return ISW_OK;
}

static const struct isw_text name_style = {
    .size_mm = 2.9, .bold = true, .ink = {0.16, 0.16, 0.2}, .halo_mm = 0.6};

static void free_name(gpointer data) {
  struct isw_district_name *name = data;
  g_free(name->name);
  g_free(name);
}

static void place_name(struct isw_pen *pen, double x_mm, double y_mm, int district,
                       const char *name, struct isw_label_space *space, GPtrArray *names) {
  struct isw_extent extent = isw_chart_measure_text(pen, &name_style, name);
  for (int step = 0; step < 9; step++) {
    /* Up and down by half lines until the name is free of the others. */
    double away = (step + 1) / 2 * (step % 2 ? -1.0 : 1.0) * 2.2 * pen->scale;
    struct isw_label_box box = {x_mm, y_mm + away, extent.width_mm / 2 + 0.8 * pen->scale,
                                1.9 * pen->scale, 0};
    if (!isw_chart_take_label_space(space, box)) continue;
    struct isw_district_name *placed = g_new(struct isw_district_name, 1);
    *placed = (struct isw_district_name){district, g_strdup(name), x_mm, y_mm + away};
    g_ptr_array_add(names, placed);
    return;
  }
}

enum isw_status isw_chart_place_district_names(struct isw_pen *pen,
                                               const struct isw_map_source *source,
                                               const struct isw_map_frame *frame,
                                               const struct isw_district_set *districts,
                                               bool numbered, struct isw_label_space *space,
                                               GPtrArray **names, struct isw_error *error) {
  struct isw_placing placing;
  enum isw_status status = isw_chart_start_placing(source, frame, &placing, error);
  if (status != ISW_OK) return status;
  *names = g_ptr_array_new_with_free_func(free_name);
  const int *order = isw_regions_smaller_first(districts);
  for (int i = 0; i < isw_regions_district_count(districts); i++) {
    const int d = order[i];
    double x, y, middle_x, x_mm, y_mm;
    if (!isw_regions_find_label(districts, d, &x, &y, &middle_x)) continue;
    if (!isw_chart_place_point(&placing, x, y, middle_x, &x_mm, &y_mm)) continue;
    char *number = g_strdup_printf("%d", d + 1);
    place_name(pen, x_mm, y_mm, d, numbered ? number : isw_regions_district_name(districts, d),
               space, *names);
    g_free(number);
  }
  return ISW_OK;
}

void isw_chart_draw_district_names(struct isw_pen *pen, const GPtrArray *names) {
  for (guint i = 0; i < names->len; i++) {
    const struct isw_district_name *name = g_ptr_array_index(names, i);
    isw_chart_draw_turned_text(pen, &name_style, name->x_mm, name->y_mm, 0, name->name);
  }
}

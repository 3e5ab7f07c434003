/* DESIGN: fills are pixels, straight into the page where that is an image, else into an image of
 * the frame's size; everything else is drawn by the pen and stays vectors on a PDF. Places take
 * their room first, then the districts' names, then the lines' labels; names lie on top of the
 * lines. */
#include "chart/map_body.h"

#include <math.h>

#include "chart/districts.h"
#include "chart/drawn_layers.h"
#include "chart/graticule.h"
#include "chart/hill_shade.h"
#include "chart/isolines.h"
#include "chart/map_theme.h"
#include "chart/named_places.h"
#include "chart/palette.h"

enum isw_status isw_chart_begin_body(const struct isw_map_page *page,
                                     const struct isw_map_theme *theme, const char *raster,
                                     double pixels_per_mm, struct isw_map_body **out,
                                     struct isw_error *error) {
  struct isw_map_body *body = g_new0(struct isw_map_body, 1);
  *out = body;
  body->page = page;
  body->theme = theme;
  body->pixels_per_mm = pixels_per_mm;
  body->edged = ISW_CLASS_NONE;
  for (int i = 0; i < ISW_CLASSES_MAX; i++) body->fills[i] = isw_chart_empty_fill();
  enum isw_status status = isw_chart_open_source_bands(
      raster, page->map_crs, theme->n_bands, theme->bands, theme->nodata, &body->source, error);
  if (status != ISW_OK) return status;
  theme->describe(theme, body);
  body->legend.heading = body->words.heading;
  body->legend.note = body->words.note;
  return ISW_OK;
}

void isw_chart_end_body(struct isw_map_body *body) {
  if (body == NULL) return;
  isw_chart_close_source(&body->source);
  isw_chart_free_class_grid(&body->grid);
  isw_chart_clear_words(&body->words);
  g_free(body->after);
  g_free(body);
}

enum isw_status isw_chart_set_body_frame(struct isw_map_body *body, struct isw_map_frame frame,
                                         double scale, struct isw_error *error) {
  const struct isw_map_theme *theme = body->theme;
  body->frame = frame;
  body->grid = isw_chart_new_class_grid(&body->frame, body->pixels_per_mm);
  for (int i = 0; i < ISW_CLASSES_MAX; i++) {
    body->fills[i].spacing_mm *= scale;
    body->fills[i].width_mm *= scale;
  }
  for (int i = 0; i < body->legend.n_entries; i++) {
    body->legend.entries[i].fill.spacing_mm *= scale;
    body->legend.entries[i].fill.width_mm *= scale;
  }
  gsize n = (gsize)body->grid.width * (gsize)body->grid.height;
  int16_t *samples[ISW_KEPT_BANDS_MAX];
  for (int i = 0; i < theme->n_bands; i++) samples[i] = g_new(int16_t, n);
  enum isw_status status =
      isw_chart_read_window(&body->source, theme->n_bands, theme->bands, frame.window,
                            body->grid.width, body->grid.height, samples, error);
  if (status == ISW_OK) theme->classify(theme, body, samples);
  if (status == ISW_OK && body->page->relief != NULL)
    status = isw_chart_make_hill_shade(body->page->relief, &body->source, &frame, body->grid.width,
                                       body->grid.height, &body->grid.shade, error);
  for (int i = 0; i < theme->n_bands; i++) g_free(samples[i]);
  return status;
}

static enum isw_status lay_fills_as_image(const struct isw_map_body *body, struct isw_pen *pen,
                                          struct isw_error *error) {
  struct isw_map_frame frame = body->frame;
  frame.box.x_mm = frame.box.y_mm = 0.0;
  int width = (int)(frame.box.width_mm * body->pixels_per_mm + 1.5);
  int height = (int)(frame.box.height_mm * body->pixels_per_mm + 1.5);
  cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS) {
    cairo_surface_destroy(image);
    return isw_base_fail(error, ISW_RESOURCES, "no memory for a map of %d x %d pixels", width,
                         height);
  }
  cairo_t *on_image = cairo_create(image);
  cairo_set_source_rgb(on_image, 1.0, 1.0, 1.0);
  cairo_paint(on_image);
  cairo_destroy(on_image);
  isw_chart_paint_classes(image, body->pixels_per_mm, &frame, &body->grid, ISW_CLASSES_MAX,
                          body->fills, body->edged);
  cairo_t *cr = pen->cr;
  cairo_save(cr);
  isw_chart_clip_box(pen, body->frame.box);
  cairo_translate(cr, body->frame.box.x_mm, body->frame.box.y_mm);
  cairo_scale(cr, 1.0 / body->pixels_per_mm, 1.0 / body->pixels_per_mm);
  cairo_set_source_surface(cr, image, 0.0, 0.0);
  cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_NEAREST);
  cairo_paint(cr);
  cairo_restore(cr);
  cairo_surface_destroy(image);
  return ISW_OK;
}

static enum isw_status lay_fills(const struct isw_map_body *body, struct isw_pen *pen,
                                 struct isw_error *error) {
  cairo_surface_t *surface = cairo_get_target(pen->cr);
  if (cairo_surface_get_type(surface) != CAIRO_SURFACE_TYPE_IMAGE)
    return lay_fills_as_image(body, pen, error);
  isw_chart_paint_classes(surface, body->pixels_per_mm, &body->frame, &body->grid, ISW_CLASSES_MAX,
                          body->fills, body->edged);
  return ISW_OK;
}

enum isw_status isw_chart_make_body_isolines(const struct isw_map_body *body, double scale,
                                             GPtrArray **lines, struct isw_error *error) {
  const struct isw_day_surface surface = {
      body->grid.width, body->grid.height, body->after, body->start_day,
      fmax(isw_chart_raster_cell_mm(&body->source, &body->frame),
           body->frame.box.width_mm / body->grid.width)};
  return isw_chart_make_isolines(&body->frame, &surface, scale, lines, error);
}

static enum isw_status draw_lines(const struct isw_map_body *body, struct isw_pen *pen,
                                  struct isw_label_space *space, struct isw_error *error) {
  GPtrArray *lines;
  enum isw_status status = isw_chart_make_body_isolines(body, pen->scale, &lines, error);
  if (status != ISW_OK) return status;
  cairo_save(pen->cr);
  isw_chart_clip_box(pen, body->frame.box);
  isw_chart_draw_isolines(pen, lines, space);
  cairo_restore(pen->cr);
  g_ptr_array_unref(lines);
  return ISW_OK;
}

static void draw_frame(const struct isw_map_body *body, struct isw_pen *pen) {
  const struct isw_box *box = &body->frame.box;
  cairo_rectangle(pen->cr, box->x_mm, box->y_mm, box->width_mm, box->height_mm);
  cairo_set_line_width(pen->cr, 0.28 * pen->scale);
  cairo_set_source_rgb(pen->cr, 0.2, 0.2, 0.23);
  cairo_stroke(pen->cr);
}

enum isw_status isw_chart_draw_body(struct isw_map_body *body, struct isw_pen *pen,
                                    struct isw_error *error) {
  const struct isw_map_page *page = body->page;
  const struct isw_map_frame *frame = &body->frame;
  enum isw_status status = lay_fills(body, pen, error);
  if (status != ISW_OK) return status;
  isw_chart_draw_graticule(pen, &body->source, frame);
  struct isw_box inner = frame->box;
  double inset = pen->scale;
  inner.x_mm += inset;
  inner.y_mm += inset;
  inner.width_mm -= 2 * inset;
  inner.height_mm -= 2 * inset;
  struct isw_label_space space;
  isw_chart_init_label_space(&space, inner);
  if (page->layers != NULL)
    status = isw_chart_draw_layers(pen, &body->source, frame, page->layers, error);
  if (status == ISW_OK && page->districts != NULL)
    status = isw_chart_draw_district_outlines(pen, &body->source, frame, &body->grid,
                                              page->districts, error);
  GPtrArray *names = NULL, *places = NULL;
  if (page->places != NULL)
    places = isw_chart_place_names(pen, &body->source, frame, page->places, &space);
  if (status == ISW_OK && page->districts != NULL &&
      isw_regions_districts_are_named(page->districts))
    status = isw_chart_place_district_names(pen, &body->source, frame, page->districts,
                                            page->numbered, &space, &names, error);
  if (status == ISW_OK && body->after != NULL) status = draw_lines(body, pen, &space, error);
  if (names != NULL) {
    isw_chart_draw_district_names(pen, names);
    g_ptr_array_unref(names);
  }
  if (places != NULL) {
    isw_chart_draw_places(pen, places);
    g_ptr_array_unref(places);
  }
  isw_chart_clear_label_space(&space);
  if (status == ISW_OK) draw_frame(body, pen);
  return status;
}

void isw_chart_add_class_entry(struct isw_legend *legend, const char *label, struct isw_fill fill,
                               double area_m2) {
  struct isw_legend_entry *entry = isw_chart_add_entry(legend, label);
  entry->fill = fill;
  entry->has_share = true;
  entry->area_m2 = area_m2;
  legend->whole_m2 += area_m2;
}

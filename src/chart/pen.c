#include "chart/pen.h"

#include <math.h>

static const char font_family[] = "DejaVu Sans";
/* Of DejaVu Sans: capitals are 0.729 em high. */
static const double half_capital_em = 0.365;

enum { IMAGE_SIDE_MAX = 32767 }; /* cairo's */

void isw_chart_init_pen(struct isw_pen *pen, cairo_t *cr, double scale) {
  pen->cr = cr;
  pen->scale = scale;
  pen->spans = pen->unjoined = false;
  pen->layout = pango_cairo_create_layout(cr);
  PangoContext *context = pango_layout_get_context(pen->layout);
  /* A unit is a millimetre here: rounding glyphs to whole units would tear words apart. */
  pango_context_set_round_glyph_positions(context, FALSE);
  cairo_font_options_t *options = cairo_font_options_create();
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pango_cairo_context_set_font_options(context, options);
  cairo_font_options_destroy(options);
  pango_layout_context_changed(pen->layout);
}

void isw_chart_clear_pen(struct isw_pen *pen) {
  g_clear_object(&pen->layout);
}

enum isw_status isw_chart_new_image(double width_mm, double height_mm, double dpi,
                                    cairo_surface_t **surface, cairo_t **cr,
                                    struct isw_error *error) {
  double width = round(width_mm / 25.4 * dpi), height = round(height_mm / 25.4 * dpi);
  if (!(width >= 1 && height >= 1 && width <= IMAGE_SIDE_MAX && height <= IMAGE_SIDE_MAX))
    return isw_base_fail(error, ISW_USAGE,
                         "a page of %g x %g mm at %g dpi would be %g x %g pixels, which is more "
                         "than %d or less than 1; choose another size or dpi",
                         width_mm, height_mm, dpi, width, height, IMAGE_SIDE_MAX);
  *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)width, (int)height);
  if (cairo_surface_status(*surface) != CAIRO_STATUS_SUCCESS) {
    cairo_surface_destroy(*surface);
    *surface = NULL;
    return isw_base_fail(error, ISW_RESOURCES, "not enough memory for a page of %g x %g pixels",
                         width, height);
  }
  *cr = cairo_create(*surface);
  cairo_set_source_rgb(*cr, 1, 1, 1);
  cairo_paint(*cr);
  cairo_scale(*cr, dpi / 25.4, dpi / 25.4);
  return ISW_OK;
}

static void set_layout(struct isw_pen *pen, const struct isw_text *style, const char *text) {
  PangoFontDescription *font = pango_font_description_new();
  pango_font_description_set_family_static(font, font_family);
  pango_font_description_set_weight(font, style->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font, style->size_mm * pen->scale * PANGO_SCALE);
  pango_layout_set_font_description(pen->layout, font);
  pango_font_description_free(font);
  int wrap = style->wrap_mm > 0 ? (int)lround(style->wrap_mm * PANGO_SCALE) : -1;
  pango_layout_set_width(pen->layout, wrap);
  pango_layout_set_wrap(pen->layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_ellipsize(pen->layout,
                             style->shorten ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
  pango_layout_set_alignment(pen->layout, style->across < 0.25   ? PANGO_ALIGN_LEFT
                                          : style->across > 0.75 ? PANGO_ALIGN_RIGHT
                                                                 : PANGO_ALIGN_CENTER);
  PangoAttrList *attributes = NULL;
  if (pen->unjoined) {
    attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_font_features_new("liga=0, clig=0"));
  }
  pango_layout_set_attributes(pen->layout, attributes);
  if (attributes != NULL) pango_attr_list_unref(attributes);
  pango_layout_set_text(pen->layout, text, -1);
}

static struct isw_extent layout_extent(const struct isw_pen *pen) {
  PangoRectangle logical;
  pango_layout_get_extents(pen->layout, NULL, &logical);
  return (struct isw_extent){(double)logical.width / PANGO_SCALE,
                             (double)logical.height / PANGO_SCALE};
}

struct isw_extent isw_chart_measure_text(struct isw_pen *pen, const struct isw_text *style,
                                         const char *text) {
  set_layout(pen, style, text);
  return layout_extent(pen);
}

/* From the current point, which is the layout's corner. */
static void show_lines(struct isw_pen *pen) {
  double x, y;
  cairo_get_current_point(pen->cr, &x, &y);
  PangoLayoutIter *iter = pango_layout_get_iter(pen->layout);
  do {
    PangoRectangle logical;
    pango_layout_iter_get_line_extents(iter, NULL, &logical);
    cairo_move_to(pen->cr, x + (double)logical.x / PANGO_SCALE,
                  y + (double)pango_layout_iter_get_baseline(iter) / PANGO_SCALE);
    cairo_tag_begin(pen->cr, "Span", NULL);
    pango_cairo_show_layout_line(pen->cr, pango_layout_iter_get_line_readonly(iter));
    cairo_tag_end(pen->cr, "Span");
  } while (pango_layout_iter_next_line(iter));
  pango_layout_iter_free(iter);
}

static void show_layout(struct isw_pen *pen, const struct isw_text *style) {
  cairo_t *cr = pen->cr;
  if (style->halo_mm > 0) {
    double x, y;
    cairo_get_current_point(cr, &x, &y);
    cairo_save(cr);
    pango_cairo_layout_path(cr, pen->layout);
    cairo_set_source_rgba(cr, 1, 1, 1, 0.9);
    cairo_set_line_width(cr, 2 * style->halo_mm * pen->scale);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(cr);
    cairo_restore(cr);
    cairo_move_to(cr, x, y);
  }
  isw_chart_set_colour(pen, style->ink, 1);
  if (pen->spans)
    show_lines(pen);
  else
    pango_cairo_show_layout(cr, pen->layout);
  cairo_new_path(cr);
}

struct isw_extent isw_chart_draw_text(struct isw_pen *pen, const struct isw_text *style,
                                      double x_mm, double y_mm, const char *text) {
  set_layout(pen, style, text);
  struct isw_extent extent = layout_extent(pen);
  double baseline = (double)pango_layout_get_baseline(pen->layout) / PANGO_SCALE;
  double top = y_mm;
  if (style->height == ISW_TEXT_BASELINE) top -= baseline;
  if (style->height == ISW_TEXT_MIDDLE)
    top += half_capital_em * style->size_mm * pen->scale - baseline;
  /* Pango aligns inside the wrapping width where there is one. */
  double box = style->wrap_mm > 0 ? style->wrap_mm : extent.width_mm;
  cairo_move_to(pen->cr, x_mm - style->across * box, top);
  show_layout(pen, style);
  return extent;
}

void isw_chart_draw_turned_text(struct isw_pen *pen, const struct isw_text *style, double x_mm,
                                double y_mm, double angle, const char *text) {
  cairo_save(pen->cr);
  cairo_translate(pen->cr, x_mm, y_mm);
  cairo_rotate(pen->cr, angle);
  struct isw_text centred = *style;
  centred.across = 0.5;
  centred.height = ISW_TEXT_MIDDLE;
  centred.wrap_mm = 0;
  isw_chart_draw_text(pen, &centred, 0, 0, text);
  cairo_restore(pen->cr);
}

void isw_chart_set_colour(struct isw_pen *pen, struct isw_colour colour, double opacity) {
  cairo_set_source_rgba(pen->cr, colour.red, colour.green, colour.blue, opacity);
}

void isw_chart_stroke_border(struct isw_pen *pen) {
  cairo_t *cr = pen->cr;
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_width(cr, 0.8 * pen->scale);
  cairo_set_source_rgba(cr, 1, 1, 1, 0.7);
  cairo_stroke_preserve(cr);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_width(cr, 0.42 * pen->scale);
  cairo_set_source_rgb(cr, 0.3, 0.3, 0.36);
  double dashes[2] = {0, 1.0 * pen->scale};
  cairo_set_dash(cr, dashes, 2, 0);
  cairo_stroke(cr);
}

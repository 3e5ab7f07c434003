/* Text and strokes on a cairo surface whose user space is millimetres, on any kind of surface
 * (image, PDF, SVG). */
#ifndef ISW_CHART_PEN_H
#define ISW_CHART_PEN_H

#include <cairo.h>
#include <pango/pangocairo.h>
#include <stdbool.h>

#include "base/status.h"
#include "chart/colour.h"

struct isw_pen {
  cairo_t *cr;
  PangoLayout *layout;
  double scale; /* multiplies every text size and gap: 1 on A4 */
  /* In a tagged PDF. Cairo marks the blank at a line's end and a ligature as what they stand for,
   * and what follows such a mark inside a tag is lost to some readers: so each line of a text is a
   * Span of its own, and letters are not joined (which measuring must know too). */
  bool spans, unjoined;
};

/* cr's user space must be mm by now. */
void isw_chart_init_pen(struct isw_pen *pen, cairo_t *cr, double scale);
void isw_chart_clear_pen(struct isw_pen *pen);

/* An image surface of a page, white, with user space in mm. ISW_RESOURCES; ISW_USAGE for a size
 * that no image can have. Freed with cairo_destroy and cairo_surface_destroy. */
enum isw_status isw_chart_new_image(double width_mm, double height_mm, double dpi,
                                    cairo_surface_t **surface, cairo_t **cr,
                                    struct isw_error *error);

enum isw_text_height { ISW_TEXT_TOP, ISW_TEXT_MIDDLE, ISW_TEXT_BASELINE };

struct isw_text {
  double size_mm; /* of the em, before the pen's scale */
  bool bold;
  struct isw_colour ink;
  double halo_mm;              /* white border around the letters, before scale; 0: none */
  double across;               /* where x is in the text: 0 left, 0.5 middle, 1 right */
  double wrap_mm;              /* break lines at this width (page mm), 0: one line */
  bool shorten;                /* instead of breaking lines: end in an ellipsis at wrap_mm */
  enum isw_text_height height; /* where y is: of the whole text, or of the first line */
};

struct isw_extent {
  double width_mm, height_mm;
};

struct isw_extent isw_chart_measure_text(struct isw_pen *pen, const struct isw_text *style,
                                         const char *text);

/* Returns what isw_chart_measure_text does. */
struct isw_extent isw_chart_draw_text(struct isw_pen *pen, const struct isw_text *style,
                                      double x_mm, double y_mm, const char *text);

/* One line of text centred on x, y, turned by angle (radians, clockwise). */
void isw_chart_draw_turned_text(struct isw_pen *pen, const struct isw_text *style, double x_mm,
                                double y_mm, double angle, const char *text);

void isw_chart_set_colour(struct isw_pen *pen, struct isw_colour colour, double opacity);

/* Stroke the current path as a district's border: dots with a halo, so that nobody takes it for a
 * line of equal date. Leaves the dash set: save and restore around it. */
void isw_chart_stroke_border(struct isw_pen *pen);

#endif

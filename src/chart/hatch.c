#include "chart/hatch.h"

#include <glib.h>
#include <math.h>

static void set_source(cairo_t *cr, struct isw_colour colour) {
  cairo_set_source_rgb(cr, colour.red, colour.green, colour.blue);
}

void isw_chart_fill_rectangle(cairo_t *cr, const struct isw_fill *fill, double x_mm, double y_mm,
                              double width_mm, double height_mm) {
  cairo_save(cr);
  cairo_rectangle(cr, x_mm, y_mm, width_mm, height_mm);
  set_source(cr, fill->ground);
  cairo_fill_preserve(cr);
  cairo_clip(cr);
  set_source(cr, fill->ink);
  cairo_set_line_width(cr, fill->width_mm);
  enum isw_hatch hatch = fill->hatch;
  double step = fill->spacing_mm;
  if (hatch == ISW_HATCH_DOTS) {
    for (double y = y_mm + step / 4; y < y_mm + height_mm + step; y += step)
      for (double x = x_mm + step / 4; x < x_mm + width_mm + step; x += step)
        for (int half = 0; half < 2; half++) {
          cairo_new_sub_path(cr);
          cairo_arc(cr, x + half * step / 2, y + half * step / 2, fill->width_mm / 2, 0, 2 * G_PI);
        }
    cairo_fill(cr);
  } else if (hatch != ISW_HATCH_NONE) {
    double reach = width_mm + height_mm;
    for (double at = step / 2; at < reach + step; at += step) {
      if (hatch == ISW_HATCH_RISING || hatch == ISW_HATCH_CROSSED) {
        cairo_move_to(cr, x_mm + at, y_mm);
        cairo_rel_line_to(cr, -reach, reach);
      }
      if (hatch == ISW_HATCH_FALLING || hatch == ISW_HATCH_CROSSED) {
        cairo_move_to(cr, x_mm + width_mm - at, y_mm);
        cairo_rel_line_to(cr, reach, reach);
      }
      if (hatch == ISW_HATCH_LEVEL || hatch == ISW_HATCH_GRID) {
        cairo_move_to(cr, x_mm, y_mm + at);
        cairo_rel_line_to(cr, width_mm, 0);
      }
      if (hatch == ISW_HATCH_UPRIGHT || hatch == ISW_HATCH_GRID) {
        cairo_move_to(cr, x_mm + at, y_mm);
        cairo_rel_line_to(cr, 0, height_mm);
      }
    }
    cairo_stroke(cr);
  }
  cairo_restore(cr);
}

/* Distance from a line every `period`, 0..period/2 */
static double distance_to_line(double at, double period) {
  double rest = at - period * floor(at / period);
  return fmin(rest, period - rest);
}

static double cover_line(double distance, double half_width) {
  return fmin(fmax(half_width - distance + 0.5, 0), fmin(1, 2 * half_width));
}

/* How much of pixel (x, y) the hatch covers, 0..1; everything in pixels. */
static double cover(enum isw_hatch hatch, double x, double y, double period, double half_width) {
  double rising = cover_line(distance_to_line(x + y, period) / G_SQRT2, half_width);
  double falling = cover_line(distance_to_line(x - y, period) / G_SQRT2, half_width);
  double level = cover_line(distance_to_line(y, period), half_width);
  double upright = cover_line(distance_to_line(x, period), half_width);
  double even = hypot(distance_to_line(x, period), distance_to_line(y, period));
  double odd =
      hypot(distance_to_line(x + period / 2, period), distance_to_line(y + period / 2, period));
  switch (hatch) {
    case ISW_HATCH_RISING: return rising;
    case ISW_HATCH_FALLING: return falling;
    case ISW_HATCH_LEVEL: return level;
    case ISW_HATCH_UPRIGHT: return upright;
    case ISW_HATCH_CROSSED: return fmax(rising, falling);
    case ISW_HATCH_GRID: return fmax(level, upright);
    case ISW_HATCH_DOTS: return fmin(fmax(half_width - fmin(even, odd) + 0.5, 0), 1);
    case ISW_HATCH_NONE: break;
  }
  return 0;
}

static double blend(double ground, double ink, double share) {
  return ground + share * (ink - ground);
}

uint32_t *isw_chart_make_tile(const struct isw_fill *fill, double pixels_per_mm, int *size) {
  int n = fill->hatch == ISW_HATCH_NONE ? 1 : (int)lround(fill->spacing_mm * pixels_per_mm);
  n = CLAMP(n, fill->hatch == ISW_HATCH_NONE ? 1 : 3, 256);
  uint32_t *tile = g_new(uint32_t, (gsize)n * (gsize)n);
  double half_width = fill->width_mm * pixels_per_mm / 2;
  for (int y = 0; y < n; y++)
    for (int x = 0; x < n; x++) {
      double share = cover(fill->hatch, x + 0.5, y + 0.5, n, half_width);
      tile[y * n + x] = isw_chart_hex_of_colour(
          (struct isw_colour){blend(fill->ground.red, fill->ink.red, share),
                              blend(fill->ground.green, fill->ink.green, share),
                              blend(fill->ground.blue, fill->ink.blue, share)});
    }
  *size = n;
  return tile;
}

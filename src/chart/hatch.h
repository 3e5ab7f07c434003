/* Fills: a colour and, so that colour is never alone, a hatch. */
#ifndef ISW_CHART_HATCH_H
#define ISW_CHART_HATCH_H

#include <cairo.h>
#include <stdint.h>

#include "chart/colour.h"

enum isw_hatch {
  ISW_HATCH_NONE = 0,
  ISW_HATCH_RISING,  /* / */
  ISW_HATCH_FALLING, /* \ */
  ISW_HATCH_LEVEL,   /* - */
  ISW_HATCH_UPRIGHT, /* | */
  ISW_HATCH_CROSSED, /* x */
  ISW_HATCH_GRID,    /* + */
  ISW_HATCH_DOTS
};

struct isw_fill {
  struct isw_colour ground, ink;
  enum isw_hatch hatch;
  double spacing_mm; /* between lines along the axes (diagonals stand spacing / sqrt 2 apart) */
  double width_mm;   /* of lines, or diameter of dots */
};

/* Fill a rectangle (mm; user space of cr is mm); the hatch starts at its corner. */
void isw_chart_fill_rectangle(cairo_t *cr, const struct isw_fill *fill, double x_mm, double y_mm,
                              double width_mm, double height_mm);

/* The same fill as a square tile of 0x00RRGGBB pixels that repeats without a seam. size: pixels of
 * a side. Freed with g_free. */
uint32_t *isw_chart_make_tile(const struct isw_fill *fill, double pixels_per_mm, int *size);

#endif

/* Lines of equal sowing date: labelled, one per ten-day period that begins, drawn only where there
 * is a window. They are generalised: the day surface is smoothed for them alone. */
#ifndef ISW_CHART_ISOLINES_H
#define ISW_CHART_ISOLINES_H

#include <stdint.h>

#include "base/dates.h"
#include "chart/class_grid.h"
#include "chart/label_space.h"

/* Days since the season's start, so that New Year is no cliff. */
struct isw_day_surface {
  int width, height;    /* of the samples, as the class grid's */
  const int16_t *after; /* [height][width], 0..364; below 0: no window */
  int start_day;        /* 0..364: the day that 0 stands for */
  double cell_mm;       /* on the page, of the cells that the samples were picked from */
};

struct isw_isoline {
  int day;        /* of the year, 0..364: the line parts the days before from this one on */
  bool new_month; /* day is the first of a month */
  double length_mm;
  GArray *points; /* struct isw_point, on the page */
};

struct isw_point {
  double x_mm, y_mm;
};

/* GPtrArray of struct isw_isoline, longest first; freed with g_ptr_array_unref. scale: the page's.
 * ISW_INTERNAL when GDAL's contour generator fails. */
enum isw_status isw_chart_make_isolines(const struct isw_map_frame *frame,
                                        const struct isw_day_surface *surface, double scale,
                                        GPtrArray **out, struct isw_error *error);

/* Lines with a halo, broken under their labels ("11 Aug"); labels keep clear of what space holds
 * and are added to it. */
void isw_chart_draw_isolines(struct isw_pen *pen, const GPtrArray *lines,
                             struct isw_label_space *space);

/* Days of the year on which a ten-day period begins, as days after start_day, ascending, without 0;
 * returns how many. */
int isw_chart_isoline_levels(int start_day, int after[ISW_TEN_DAY_PERIODS]);

#endif

/* The legend of a map: heading, classes with their shares of area, notes, scale bar; as a column
 * beside the map or as a band below it. */
#ifndef ISW_CHART_LEGEND_H
#define ISW_CHART_LEGEND_H

#include <stdbool.h>

#include "base/dates.h"
#include "chart/hatch.h"
#include "chart/pen.h"
#include "regions/map_layers.h"

enum { ISW_LEGEND_ENTRIES_MAX = 160, ISW_LEGEND_LABEL_SIZE = 640 };
/* A label holds a title of a sheet and words about it, in any letters. */

enum isw_legend_sign {
  ISW_SIGN_FILL,
  ISW_SIGN_PAPER,
  ISW_SIGN_ISOLINE,
  ISW_SIGN_BORDER,
  ISW_SIGN_LAYER
};

struct isw_legend_entry {
  enum isw_legend_sign sign;
  enum isw_layer_kind layer; /* of ISW_SIGN_LAYER */
  struct isw_fill fill;
  char label[ISW_LEGEND_LABEL_SIZE];
  bool has_share;
  double area_m2;
};

struct isw_legend {
  const char *heading; /* bold first lines */
  /* The year's ten-day periods as a small calendar, in season order, months a row each. */
  bool has_calendar;
  int first_period; /* 0..35: where the season starts */
  struct isw_colour period_colours[ISW_TEN_DAY_PERIODS];
  double period_m2[ISW_TEN_DAY_PERIODS];
  double whole_m2; /* of which every area is a share */
  int n_entries;
  struct isw_legend_entry entries[ISW_LEGEND_ENTRIES_MAX];
  const char *note; /* small lines at the end, or NULL */
};

/* The calendar: where the season starts, and each period's area, which adds to whole_m2. */
void isw_chart_set_calendar(struct isw_legend *legend, int first_period,
                            const double period_m2[ISW_TEN_DAY_PERIODS]);

/* For little room: periods as entries of their own, only classes that are there, nothing else. */
void isw_chart_shorten_legend(struct isw_legend *legend);

/* Append an entry and return it to be filled; the last one again when full. */
struct isw_legend_entry *isw_chart_add_entry(struct isw_legend *legend, const char *label);

/* Lay out at x, y in width; draw if `draw`. Returns the height. A column keeps to most_mm of height
 * by putting its smallest classes into one "others" line. */
double isw_chart_lay_legend_column(struct isw_pen *pen, const struct isw_legend *legend,
                                   double x_mm, double y_mm, double width_mm, double most_mm,
                                   bool draw);
double isw_chart_lay_legend_band(struct isw_pen *pen, const struct isw_legend *legend, double x_mm,
                                 double y_mm, double width_mm, bool draw);

#endif

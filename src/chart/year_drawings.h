/* The drawings that make the chart of a year, over one axis of days. For this room's own files. */
#ifndef ISW_CHART_YEAR_DRAWINGS_H
#define ISW_CHART_YEAR_DRAWINGS_H

#include "chart/map_frame.h"
#include "chart/pen.h"
#include "chart/place_year_view.h"
#include "survey/tally.h"

struct isw_year_drawing {
  struct isw_pen pen;
  const struct isw_year_view *view;
  bool fahrenheit;
  double left_mm, width_mm; /* of the axis of days */
};

/* Colours that several parts share. */
extern const struct isw_colour isw_year_ink, isw_year_pale_ink, isw_year_ribbon, isw_year_warm,
    isw_year_cool, isw_year_felt, isw_year_best, isw_year_window, isw_year_good, isw_year_very_good,
    isw_year_not_good;

/* "very good", as on score maps */
enum { ISW_YEAR_VERY_GOOD_TENTHS = 850 };

/* after: days from the axis' first, 0..365 */
double isw_chart_year_x(const struct isw_year_drawing *drawing, double after);

/* Month names in a strip of this height, and faint lines at their starts over a box. */
enum { ISW_YEAR_MONTHS_MM = 5 };
void isw_chart_draw_year_months(struct isw_year_drawing *drawing, double y_mm);
void isw_chart_draw_year_grid(struct isw_year_drawing *drawing, double y_mm, double height_mm);

/* How dark a strip of years is, from few of ten (pale) to 9 or 10; years 0..10. */
struct isw_colour isw_chart_years_shade(int years_class);

/* Normals, and the crops of one panel: sowing window, stages, what they want and get. */
void isw_chart_draw_year_panel(struct isw_year_drawing *drawing, int panel, double y_mm,
                               double height_mm);

/* The year in one line: the type to sow on each date, its name where it has room. */
enum { ISW_YEAR_TYPES_MM = 10 };
void isw_chart_draw_year_types(struct isw_year_drawing *drawing, double y_mm);

/* The seasons' sowing dates; chance of a night below freezing; the sowing days of a variety, each
 * with a line of words above; under the scores of a variety, its years as shades. */
enum { ISW_YEAR_ROW_HEAD_MM = 4, ISW_YEAR_SEASONS_MM = 4 };
void isw_chart_draw_year_seasons(struct isw_year_drawing *drawing, double y_mm);
void isw_chart_draw_year_frost(struct isw_year_drawing *drawing, double y_mm, double height_mm);
void isw_chart_draw_year_row(struct isw_year_drawing *drawing, const struct isw_year_row *row,
                             double y_mm, double height_mm);

/* Head line of ISW_YEAR_ROW_HEAD_MM: a bold part and a plain one after it, `indent` mm from the
 * left.
 */
void isw_chart_draw_year_head(struct isw_year_drawing *drawing, double y_mm, double indent_mm,
                              const char *bold, const char *plain);

/* How the record's real years went, a strip for each crop; its height, 0: there is no record. And
 * what stands for it among the signs. */
double isw_chart_year_record_mm(const struct isw_year_view *view);
void isw_chart_draw_year_record(struct isw_year_drawing *drawing, double y_mm);
void isw_chart_draw_record_sign(struct isw_pen *pen, double x_mm, double y_mm, double width_mm,
                                double height_mm);

/* The picks in words, then what the signs mean. Returns the height. */
double isw_chart_lay_year_column(struct isw_year_drawing *drawing, double x_mm, double y_mm,
                                 double width_mm, bool draw);

#endif

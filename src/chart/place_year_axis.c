#include <math.h>

#include "chart/year_drawings.h"
#include "words/date_words.h"

const struct isw_colour isw_year_ink = {0.08, 0.08, 0.1}, isw_year_pale_ink = {0.36, 0.36, 0.4},
                        isw_year_ribbon = {0.83, 0.87, 0.91}, isw_year_warm = {0.72, 0.33, 0.2},
                        isw_year_cool = {0.2, 0.42, 0.66}, isw_year_felt = {0.13, 0.2, 0.3},
                        isw_year_best = {0.96, 0.8, 0.4}, isw_year_window = {0.11, 0.31, 0.53},
                        isw_year_good = {0.333, 0.616, 0.706},
                        isw_year_very_good = {0.114, 0.306, 0.525},
                        isw_year_not_good = {0.8, 0.78, 0.74};

double isw_chart_year_x(const struct isw_year_drawing *drawing, double after) {
  return drawing->left_mm + drawing->width_mm * after / ISW_YEAR_DAYS;
}

/* Month i of the axis: where it starts, and its number 0..11. */
static int month_on_axis(const struct isw_year_view *view, int i, int *after) {
  int month, date;
  isw_base_date_of_day(view->start_day, &month, &date);
  month = (month - 1 + i) % ISW_YEAR_MONTHS;
  *after = isw_base_days_forward(view->start_day, isw_base_month_start[month]);
  return month;
}

void isw_chart_draw_year_months(struct isw_year_drawing *drawing, double y_mm) {
  struct isw_text style = {
      .size_mm = 2.9, .ink = isw_year_ink, .across = 0.5, .height = ISW_TEXT_MIDDLE};
  for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
    int after, month = month_on_axis(drawing->view, i, &after);
    isw_chart_draw_text(&drawing->pen, &style,
                        isw_chart_year_x(drawing, after + isw_base_month_days[month] / 2.0),
                        y_mm + ISW_YEAR_MONTHS_MM / 2.0, isw_words_short_month(month));
  }
}

struct isw_colour isw_chart_years_shade(int years_class) {
  static const struct isw_colour pale = {0.95, 0.95, 0.93};
  return isw_chart_mix_colours(pale, isw_year_ink, (double)years_class / ISW_YEARS_CLASSES);
}

void isw_chart_draw_year_grid(struct isw_year_drawing *drawing, double y_mm, double height_mm) {
  cairo_t *cr = drawing->pen.cr;
  for (int i = 1; i < ISW_YEAR_MONTHS; i++) {
    int after, month = month_on_axis(drawing->view, i, &after);
    double x = isw_chart_year_x(drawing, after);
    cairo_move_to(cr, x, y_mm);
    cairo_line_to(cr, x, y_mm + height_mm);
    /* New Year inside the axis is a heavier line. */
    isw_chart_set_colour(&drawing->pen, isw_year_pale_ink, month == 0 ? 0.9 : 0.28);
    cairo_set_line_width(cr, month == 0 ? 0.25 : 0.12);
    cairo_stroke(cr);
  }
  cairo_rectangle(cr, drawing->left_mm, y_mm, drawing->width_mm, height_mm);
  isw_chart_set_colour(&drawing->pen, isw_year_pale_ink, 1);
  cairo_set_line_width(cr, 0.18);
  cairo_stroke(cr);
}

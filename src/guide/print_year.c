#include "guide/print_year.h"

#include <math.h>

#include "chart/palette.h"
#include "guide/guide_words.h"
#include "guide/year_strip.h"
#include "words/date_words.h"
#include "words/say.h"

static const double usual_name_mm = 32.0, split_name_mm = 48.0, month_line_mm = 3.7,
                    usual_strip_mm = 4.2;
static const double between_mm = 1.9, words_mm = 0.8, key_strip_mm = 2.6;
static const struct isw_text text_style = {.size_mm = 2.5, .ink = {0.1, 0.12, 0.14}};

/* Names of bands of height are longer, and stay on one line where they can. */
static double name_width(const struct isw_guide_year *year) {
  if (year->alone) return 0.0;
  return isw_guide_band_m(year->facts->table) > 0.0 ? split_name_mm : usual_name_mm;
}

struct axis {
  double left_mm, width_mm;
  int first_month;
  double strip_mm; /* height of a strip */
};

static double place_day(const struct axis *axis, int first_day, int day) {
  return axis->left_mm + axis->width_mm * isw_base_days_forward(first_day, day) / ISW_YEAR_DAYS;
}

static void draw_months(struct isw_print *print, const struct axis *axis) {
  double month_mm = axis->width_mm / ISW_YEAR_MONTHS;
  struct isw_text style = text_style;
  style.across = 0.5;
  for (int i = 0; i < ISW_YEAR_MONTHS; i++)
    isw_chart_draw_text(&print->pen, &style, axis->left_mm + (i + 0.5) * month_mm, print->y_mm,
                        isw_words_short_month((axis->first_month + i) % ISW_YEAR_MONTHS));
  print->y_mm += month_line_mm;
}

/* The strip's frame, with a line at each month's start. */
static void draw_frame(struct isw_print *print, const struct axis *axis) {
  int first_day = isw_base_month_start[axis->first_month];
  for (int i = 1; i < ISW_YEAR_MONTHS; i++) {
    int day = isw_base_month_start[(axis->first_month + i) % ISW_YEAR_MONTHS];
    cairo_move_to(print->cr, place_day(axis, first_day, day), print->y_mm);
    cairo_rel_line_to(print->cr, 0.0, axis->strip_mm);
  }
  cairo_rectangle(print->cr, axis->left_mm, print->y_mm, axis->width_mm, axis->strip_mm);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.6, 0.63, 0.66);
  cairo_stroke(print->cr);
}

static void draw_piece(struct isw_print *print, const struct isw_fill *fill, double x, double y,
                       double width, double height) {
  isw_chart_fill_rectangle(print->cr, fill, x, y, width, height);
  cairo_rectangle(print->cr, x, y, width, height);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.25, 0.27, 0.3);
  cairo_stroke(print->cr);
}

static void draw_strip(struct isw_print *print, const struct axis *axis,
                       const struct isw_year_strip *strip, bool seen[ISW_VARIETIES_MAX]) {
  double day_mm = axis->width_mm / ISW_YEAR_DAYS;
  draw_frame(print, axis);
  for (int i = 0; i < strip->n_runs; i++) {
    const struct isw_year_run *run = &strip->runs[i];
    struct isw_fill fill = isw_chart_variety_fill(run->variety, false);
    draw_piece(print, &fill, axis->left_mm + run->from * day_mm, print->y_mm,
               (run->to - run->from + 1) * day_mm, axis->strip_mm);
    seen[run->variety] = true;
  }
  for (int i = 0; i < strip->n_best; i++) {
    double x = axis->left_mm + (strip->best[i] + 0.5) * day_mm;
    for (int halo = 1; halo >= 0; halo--) {
      cairo_move_to(print->cr, x, print->y_mm - 0.5);
      cairo_rel_line_to(print->cr, 0.0, axis->strip_mm + 1.0);
      cairo_set_line_width(print->cr, halo ? 1.5 : 0.7);
      cairo_set_source_rgb(print->cr, halo, halo, halo);
      cairo_stroke(print->cr);
    }
  }
}

/* One district below print->y_mm, or only its height; types that are shown are marked in seen. */
static double lay_district(struct isw_print *print, const struct isw_guide_year *year,
                           const struct axis *axis, int d, bool seen[ISW_VARIETIES_MAX]) {
  const struct isw_guide_facts *facts = year->facts;
  struct isw_year_strip strip;
  isw_guide_make_strip(facts, 1 + d, &strip);
  struct isw_text name_style = text_style, words_style = text_style;
  name_style.bold = true;
  name_style.wrap_mm = MAX(name_width(year) - 2.0, 1.0);
  words_style.size_mm = 2.35;
  words_style.wrap_mm = axis->width_mm;
  char *name = year->alone ? g_strdup("") : isw_guide_print_name(facts, d);
  char *words = isw_guide_strip_words(facts, &strip);
  bool draw = seen != NULL, worded = year->words || strip.n_runs == 0;
  double name_mm = isw_chart_measure_text(&print->pen, &name_style, name).height_mm;
  double below_mm =
      worded ? words_mm + isw_chart_measure_text(&print->pen, &words_style, words).height_mm : 0.0;
  if (draw) {
    draw_strip(print, axis, &strip, seen);
    isw_chart_draw_text(&print->pen, &name_style, print->left_mm + 1.2, print->y_mm, name);
    if (worded)
      isw_chart_draw_text(&print->pen, &words_style, axis->left_mm,
                          print->y_mm + axis->strip_mm + words_mm, words);
  }
  g_free(name);
  g_free(words);
  return MAX(name_mm, axis->strip_mm + below_mm) + between_mm;
}

static void draw_key(struct isw_print *print, const struct isw_guide_facts *facts,
                     const bool seen[ISW_VARIETIES_MAX]) {
  const struct isw_sheet *sheet = facts->plan->sheet;
  double left = print->left_mm + 1.2, x = left;
  double right = print->left_mm + isw_guide_print_width_mm - 1.2;
  print->y_mm += 1.0;
  for (int i = 0; i < sheet->n_varieties; i++) {
    if (!seen[i]) continue;
    const char *label = sheet->varieties[i].title;
    double width = 8.0 + isw_chart_measure_text(&print->pen, &text_style, label).width_mm + 4.0;
    if (x + width > right && x > left) {
      x = left;
      print->y_mm += month_line_mm + 0.5;
    }
    struct isw_fill fill = isw_chart_variety_fill(i, false);
    draw_piece(print, &fill, x, print->y_mm + 0.3, 6.0, key_strip_mm);
    isw_chart_draw_text(&print->pen, &text_style, x + 8.0, print->y_mm, label);
    x += width;
  }
  print->y_mm += month_line_mm + 1.5;
}

/* Districts from d on that fit on the page, their heights summed in *height_mm; at least one. */
static int count_fitting(struct isw_print *print, const struct isw_guide_year *year,
                         const struct axis *axis, int d, double *height_mm) {
  double room = isw_guide_room_left(print) - 2.0 * month_line_mm;
  int n = 0;
  *height_mm = 0.0;
  for (; d + n < year->first + year->n; n++) {
    double more = lay_district(print, year, axis, d + n, NULL);
    if (n > 0 && *height_mm + more > room) break;
    *height_mm += more;
  }
  return n;
}

void isw_guide_print_year(struct isw_print *print, const void *self) {
  const struct isw_guide_year *year = self;
  const struct isw_guide_facts *facts = year->facts;
  if (!year->alone)
    isw_guide_print_text(print, ISW_PRINT_HEADING, isw_words_text(ISW_SAY_GUIDE_YEAR));
  isw_guide_print_text(print, ISW_PRINT_SMALL, isw_words_text(ISW_SAY_GUIDE_YEAR_NOTE));
  struct axis axis = {.left_mm = print->left_mm + name_width(year),
                      .width_mm = isw_guide_print_width_mm - name_width(year),
                      /* Half a year on: July. */
                      .first_month = facts->page->south ? ISW_YEAR_MONTHS / 2 : 0,
                      .strip_mm = usual_strip_mm * year->stretch};
  bool seen[ISW_VARIETIES_MAX] = {false};
  for (int d = year->first; d < year->first + year->n;) {
    double height_mm;
    int here = count_fitting(print, year, &axis, d, &height_mm);
    if (height_mm + 2.0 * month_line_mm > isw_guide_room_left(print) && d > year->first) {
      isw_guide_next_page(print);
      here = count_fitting(print, year, &axis, d, &height_mm);
    }
    draw_months(print, &axis);
    for (int end = d + here; d < end; d++) print->y_mm += lay_district(print, year, &axis, d, seen);
    if (d < year->first + year->n) isw_guide_next_page(print);
  }
  draw_key(print, facts, seen);
}

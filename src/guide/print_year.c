/* DESIGN: the axis is the year from January, in the south from July, so that seasons stand in their
 * order; a bar that crosses its end is drawn in two pieces. */
#include "guide/print_year.h"

#include <math.h>

#include "chart/palette.h"
#include "guide/guide_words.h"
#include "words/date_words.h"

static const double name_width_mm = 32.0, season_width_mm = 15.0, usual_line_mm = 3.7,
                    bar_share = 0.7;
static const double between_mm = 1.4;
static const struct isw_text text_style = {.size_mm = 2.5, .ink = {0.1, 0.12, 0.14}};

struct axis {
  double left_mm, width_mm;
  int first_month;
  double line_mm; /* height of a line */
};

static double place_day(const struct axis *axis, int first_day, int day) {
  return axis->left_mm + axis->width_mm * isw_base_days_forward(first_day, day) / ISW_YEAR_DAYS;
}

static void draw_months(struct isw_print *print, const struct axis *axis, double height_mm) {
  double month_mm = axis->width_mm / ISW_YEAR_MONTHS;
  struct isw_text style = text_style;
  style.across = 0.5;
  for (int i = 0; i < ISW_YEAR_MONTHS; i++)
    isw_chart_draw_text(&print->pen, &style, axis->left_mm + (i + 0.5) * month_mm, print->y_mm,
                        isw_words_short_month((axis->first_month + i) % ISW_YEAR_MONTHS));
  print->y_mm += usual_line_mm;
  int first_day = isw_base_month_start[axis->first_month];
  for (int i = 0; i <= ISW_YEAR_MONTHS; i++) {
    int day = isw_base_month_start[(axis->first_month + i) % ISW_YEAR_MONTHS];
    double x =
        i == ISW_YEAR_MONTHS ? axis->left_mm + axis->width_mm : place_day(axis, first_day, day);
    cairo_move_to(print->cr, x, print->y_mm);
    cairo_rel_line_to(print->cr, 0.0, height_mm);
  }
  cairo_set_line_width(print->cr, 0.1);
  cairo_set_source_rgb(print->cr, 0.72, 0.75, 0.78);
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

static void draw_bar(struct isw_print *print, const struct axis *axis,
                     const struct isw_table_row *row, const struct isw_fill *fill, double y) {
  int first_day = isw_base_month_start[axis->first_month];
  int from = row->day[ISW_TABLE_SOW_FROM][1], to = row->day[ISW_TABLE_SOW_TO][1];
  double start = place_day(axis, first_day, from), day = axis->width_mm / ISW_YEAR_DAYS;
  double length = (isw_base_days_forward(from, to) + 1) * day;
  double end = axis->left_mm + axis->width_mm;
  draw_piece(print, fill, start, y, fmin(length, end - start), bar_share * axis->line_mm);
  if (start + length > end + day / 2.0)
    draw_piece(print, fill, axis->left_mm, y, start + length - end, bar_share * axis->line_mm);
  double best = place_day(axis, first_day, row->day[ISW_TABLE_BEST_SOW][1]) + day / 2.0;
  for (int halo = 1; halo >= 0; halo--) {
    cairo_move_to(print->cr, best, y - 0.3);
    cairo_rel_line_to(print->cr, 0.0, bar_share * axis->line_mm + 0.6);
    cairo_set_line_width(print->cr, halo ? 1.5 : 0.7);
    cairo_set_source_rgb(print->cr, halo, halo, halo);
    cairo_stroke(print->cr);
  }
}

/* One district; picks that are shown are marked in seen[variety][risky]. */
static void draw_district(struct isw_print *print, const struct isw_guide_facts *facts,
                          const struct axis *axis, int d, bool seen[ISW_VARIETIES_MAX][2]) {
  struct isw_text name_style = text_style;
  name_style.bold = true;
  name_style.wrap_mm = name_width_mm - 2.0;
  name_style.shorten = true;
  struct isw_text season_style = text_style;
  name_style.height = season_style.height = ISW_TEXT_MIDDLE;
  double middle = 0.3 + 0.5 * bar_share * axis->line_mm;
  char *name = isw_guide_print_name(facts, d);
  isw_chart_draw_text(&print->pen, &name_style, print->left_mm + 1.2, print->y_mm + middle, name);
  g_free(name);
  for (int s = 0; s < facts->plan->n_seasons; s++, print->y_mm += axis->line_mm) {
    isw_chart_draw_text(&print->pen, &season_style, print->left_mm + name_width_mm,
                        print->y_mm + middle,
                        facts->plan->sheet->seasons[facts->plan->seasons[s]].name);
    struct isw_table_pick pick = isw_guide_read_pick(facts->table, 1 + d, s);
    int v = isw_guide_chosen_variety(facts->plan, pick.variety);
    struct isw_table_row row = {.has_dates = false};
    if (v >= 0) isw_guide_read_row(facts->table, 1 + d, v, s, &row);
    if (!row.has_dates) continue;
    struct isw_fill fill = isw_chart_variety_fill(pick.variety, pick.risky);
    draw_bar(print, axis, &row, &fill, print->y_mm + 0.3);
    seen[pick.variety][pick.risky] = true;
  }
  print->y_mm += between_mm;
}

static void draw_key(struct isw_print *print, const struct isw_guide_facts *facts,
                     bool seen[ISW_VARIETIES_MAX][2]) {
  const struct isw_sheet *sheet = facts->plan->sheet;
  double x = print->left_mm + 1.2, right = x + isw_guide_print_width_mm - 2.4;
  print->y_mm += 1.0;
  for (int i = 0; i < 2 * sheet->n_varieties; i++) {
    if (!seen[i / 2][i % 2]) continue;
    char *label = g_strconcat(sheet->varieties[i / 2].title, i % 2 ? ", risky" : "", NULL);
    double width = 8.0 + isw_chart_measure_text(&print->pen, &text_style, label).width_mm + 4.0;
    if (x + width > right && x > print->left_mm + 2.0) {
      x = print->left_mm + 1.2;
      print->y_mm += usual_line_mm + 0.5;
    }
    struct isw_fill fill = isw_chart_variety_fill(i / 2, i % 2 == 1);
    draw_piece(print, &fill, x, print->y_mm + 0.3, 6.0, bar_share * usual_line_mm);
    isw_chart_draw_text(&print->pen, &text_style, x + 8.0, print->y_mm, label);
    g_free(label);
    x += width;
  }
  print->y_mm += usual_line_mm + 1.5;
}

void isw_guide_print_year(struct isw_print *print, const void *self) {
  const struct isw_guide_year *year = self;
  const struct isw_guide_facts *facts = year->facts;
  isw_guide_print_text(print, ISW_PRINT_HEADING, "The year by district");
  isw_guide_print_text(print, ISW_PRINT_SMALL,
                       "Bar: days to sow the type to choose, from the middle first day to the "
                       "middle last one of the district. Mark: best day.");
  struct axis axis = {.left_mm = print->left_mm + name_width_mm + season_width_mm,
                      .width_mm = isw_guide_print_width_mm - name_width_mm - season_width_mm,
                      /* Half a year on: July. */
                      .first_month = facts->page->south ? ISW_YEAR_MONTHS / 2 : 0,
                      .line_mm = usual_line_mm * year->stretch};
  bool seen[ISW_VARIETIES_MAX][2] = {{false}};
  double district_mm = facts->plan->n_seasons * axis.line_mm + between_mm;
  int n = isw_regions_district_count(facts->districts);
  for (int d = 0; d < n;) {
    double room = isw_guide_room_left(print) - 2.0 * usual_line_mm;
    int here = MIN(n - d, (int)CLAMP(room / district_mm, 0.0, 1e6));
    if (here == 0) {
      isw_guide_next_page(print);
      continue;
    }
    draw_months(print, &axis, here * district_mm);
    for (int end = d + here; d < end; d++) draw_district(print, facts, &axis, d, seen);
  }
  draw_key(print, facts, seen);
}

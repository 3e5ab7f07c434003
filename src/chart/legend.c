#include "chart/legend.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "chart/drawn_layers.h"
#include "chart/palette.h"
#include "words/date_words.h"
#include "words/say.h"
#include "words/shares.h"

static const struct isw_colour text_ink = {0.12, 0.12, 0.14};
static const struct isw_text heading_style = {
    .size_mm = 3.05, .bold = true, .ink = {0.1, 0.1, 0.12}};
static const struct isw_text entry_style = {.size_mm = 2.65, .ink = {0.12, 0.12, 0.14}};
static const struct isw_text small_style = {.size_mm = 2.25, .ink = {0.3, 0.3, 0.33}};
static const double swatch_width = 7, swatch_height = 4.2, row_gap = 1.3;
static const double month_width = 9, cell_width = 11.4, cell_widest = 16, cell_height = 5.2;

struct isw_legend_entry *isw_chart_add_entry(struct isw_legend *legend, const char *label) {
  int i = MIN(legend->n_entries, ISW_LEGEND_ENTRIES_MAX - 1);
  struct isw_legend_entry *entry = &legend->entries[i];
  *entry = (struct isw_legend_entry){0};
  g_strlcpy(entry->label, label, ISW_LEGEND_LABEL_SIZE);
  legend->n_entries = i + 1;
  return entry;
}

void isw_chart_set_calendar(struct isw_legend *legend, int first_period,
                            const double period_m2[ISW_TEN_DAY_PERIODS]) {
  legend->has_calendar = true;
  legend->first_period = first_period;
  isw_chart_period_colours(legend->period_colours);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    legend->period_m2[i] = period_m2[i];
    legend->whole_m2 += period_m2[i];
  }
}

void isw_chart_shorten_legend(struct isw_legend *legend) {
  struct isw_legend *full = g_memdup2(legend, sizeof *legend);
  legend->n_entries = 0;
  legend->has_calendar = false;
  for (int i = 0; full->has_calendar && i < ISW_TEN_DAY_PERIODS; i++) {
    int period = (full->first_period + i) % ISW_TEN_DAY_PERIODS;
    char label[ISW_DATE_SIZE];
    if (!(full->period_m2[period] > 0)) continue;
    struct isw_legend_entry *entry = isw_chart_add_entry(legend, isw_words_period(period, label));
    entry->fill = isw_chart_plain_fill(full->period_colours[period]);
    entry->has_share = true;
    entry->area_m2 = full->period_m2[period];
  }
  for (int i = 0; i < full->n_entries; i++)
    if (full->entries[i].has_share && full->entries[i].area_m2 > 0)
      *isw_chart_add_entry(legend, "") = full->entries[i];
  g_free(full);
}

static double paragraph(struct isw_pen *pen, struct isw_text style, double x, double y,
                        double width, const char *text, bool draw) {
  style.wrap_mm = width;
  style.height = ISW_TEXT_TOP;
  struct isw_extent extent = draw ? isw_chart_draw_text(pen, &style, x, y, text)
                                  : isw_chart_measure_text(pen, &style, text);
  return extent.height_mm;
}

static void outline(struct isw_pen *pen, double x, double y, double width, double height) {
  cairo_rectangle(pen->cr, x, y, width, height);
  cairo_set_line_width(pen->cr, 0.12 * pen->scale);
  isw_chart_set_colour(pen, (struct isw_colour){0.35, 0.35, 0.38}, 1);
  cairo_stroke(pen->cr);
}

static void draw_sign(struct isw_pen *pen, const struct isw_legend_entry *entry, double x,
                      double y) {
  double width = swatch_width * pen->scale, height = swatch_height * pen->scale;
  if (entry->sign == ISW_SIGN_ISOLINE) {
    cairo_t *cr = pen->cr;
    cairo_move_to(cr, x, y + 0.8 * height);
    cairo_curve_to(cr, x + 0.3 * width, y - 0.2 * height, x + 0.6 * width, y + 1.2 * height,
                   x + width, y + 0.3 * height);
    cairo_set_line_width(cr, 0.36 * pen->scale);
    isw_chart_set_colour(pen, text_ink, 1);
    cairo_stroke(cr);
    return;
  }
  if (entry->sign == ISW_SIGN_BORDER) {
    cairo_save(pen->cr);
    cairo_move_to(pen->cr, x, y + 0.5 * height);
    cairo_line_to(pen->cr, x + width, y + 0.5 * height);
    isw_chart_stroke_border(pen);
    cairo_restore(pen->cr);
    return;
  }
  if (entry->sign == ISW_SIGN_LAYER) {
    cairo_move_to(pen->cr, x, y + 0.7 * height);
    cairo_curve_to(pen->cr, x + 0.3 * width, y + 0.1 * height, x + 0.6 * width, y + height,
                   x + width, y + 0.35 * height);
    isw_chart_stroke_layer(pen, entry->layer);
    return;
  }
  if (entry->sign == ISW_SIGN_FILL)
    isw_chart_fill_rectangle(pen->cr, &entry->fill, x, y, width, height);
  outline(pen, x, y, width, height);
}

/* One entry: sign, label wrapped, share at the right. Returns its height without the gap. */
static double lay_entry(struct isw_pen *pen, const struct isw_legend_entry *entry, double whole_m2,
                        double x, double y, double width, bool draw) {
  double share_width = entry->has_share ? 10 * pen->scale : 0;
  double label_x = x + (swatch_width + 2) * pen->scale;
  struct isw_text style = entry_style;
  style.wrap_mm = fmax(x + width - share_width - label_x, 5 * pen->scale);
  struct isw_extent extent = isw_chart_measure_text(pen, &style, entry->label);
  double line = swatch_height * pen->scale;
  bool one_line = extent.height_mm < 1.6 * entry_style.size_mm * pen->scale;
  double height = one_line ? line : fmax(line, extent.height_mm);
  if (!draw) return height;
  double middle = y + line / 2;
  draw_sign(pen, entry, x, y);
  style.height = one_line ? ISW_TEXT_MIDDLE : ISW_TEXT_TOP;
  isw_chart_draw_text(pen, &style, label_x, one_line ? middle : y, entry->label);
  if (entry->has_share) {
    char share[ISW_SHARE_SIZE];
    struct isw_text right = entry_style;
    right.across = 1;
    right.height = ISW_TEXT_MIDDLE;
    isw_chart_draw_text(pen, &right, x + width, middle,
                        isw_words_format_share(entry->area_m2, whole_m2, share));
  }
  return height;
}

/* Months that hold a period, from the season's start; returns how many. */
static int calendar_months(const struct isw_legend *legend, int months[ISW_YEAR_MONTHS + 1]) {
  int n = 0;
  int first = legend->first_period / 3;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    int month = (first + m) % ISW_YEAR_MONTHS;
    double area = legend->period_m2[3 * month] + legend->period_m2[3 * month + 1] +
                  legend->period_m2[3 * month + 2];
    if (area > 0) months[n++] = month;
  }
  return n;
}

static const char *third_label(int third) {
  static const enum isw_sentence labels[3] = {ISW_SAY_LEGEND_EARLY, ISW_SAY_LEGEND_MID,
                                              ISW_SAY_LEGEND_LATE};
  return isw_words_text(labels[third]);
}

static void draw_period(struct isw_pen *pen, const struct isw_legend *legend, int period, double x,
                        double y, double width, double height) {
  double area = legend->period_m2[period];
  if (!(area > 0)) {
    cairo_rectangle(pen->cr, x, y, width, height);
    cairo_set_line_width(pen->cr, 0.08 * pen->scale);
    isw_chart_set_colour(pen, (struct isw_colour){0.72, 0.72, 0.74}, 1);
    cairo_stroke(pen->cr);
    return;
  }
  struct isw_colour ground = legend->period_colours[period];
  cairo_rectangle(pen->cr, x, y, width, height);
  isw_chart_set_colour(pen, ground, 1);
  cairo_fill(pen->cr);
  outline(pen, x, y, width, height);
  char share[ISW_SHARE_SIZE];
  struct isw_text style = {
      .size_mm = 2.4, .ink = isw_chart_ink_on(ground), .across = 0.5, .height = ISW_TEXT_MIDDLE};
  isw_chart_draw_text(pen, &style, x + width / 2, y + height / 2,
                      isw_words_format_share(area, legend->whole_m2, share));
}

/* turned: months side by side instead of one below the other. */
static struct isw_extent lay_calendar(struct isw_pen *pen, const struct isw_legend *legend,
                                      double x, double y, double width, bool turned, bool draw) {
  int months[ISW_YEAR_MONTHS + 1];
  int n = calendar_months(legend, months);
  if (n == 0) return (struct isw_extent){0, 0};
  double s = pen->scale;
  double cell_w = turned ? fmin(cell_width * s, (width - 12 * s) / n)
                         : fmin(cell_widest * s, (width - month_width * s) / 3);
  double cell_h = cell_height * s, head = 4 * s;
  double side = turned ? 12 * s : month_width * s;
  struct isw_extent extent = {side + cell_w * (turned ? n : 3), head + cell_h * (turned ? 3 : n)};
  if (!draw) return extent;
  struct isw_text head_style = {
      .size_mm = 2.25, .ink = small_style.ink, .across = 0.5, .height = ISW_TEXT_MIDDLE};
  struct isw_text side_style = {
      .size_mm = turned ? 2.25 : 2.65, .ink = text_ink, .height = ISW_TEXT_MIDDLE};
  for (int third = 0; third < 3; third++) { /* a language of longer words: in smaller letters */
    double wide = isw_chart_measure_text(pen, &head_style, third_label(third)).width_mm;
    if (wide > cell_w - 0.6 * s) head_style.size_mm *= (cell_w - 0.6 * s) / wide;
  }
  for (int third = 0; third < 3; third++) {
    if (turned)
      isw_chart_draw_text(pen, &side_style, x, y + head + (third + 0.5) * cell_h,
                          third_label(third));
    else
      isw_chart_draw_text(pen, &head_style, x + side + (third + 0.5) * cell_w, y + head / 2,
                          third_label(third));
  }
  for (int m = 0; m < n; m++) {
    const char *name = isw_words_short_month(months[m]);
    if (turned)
      isw_chart_draw_text(pen, &head_style, x + side + (m + 0.5) * cell_w, y + head / 2, name);
    else
      isw_chart_draw_text(pen, &side_style, x, y + head + (m + 0.5) * cell_h, name);
    for (int third = 0; third < 3; third++) {
      double left = x + side + (turned ? m : third) * cell_w;
      double top = y + head + (turned ? third : m) * cell_h;
      draw_period(pen, legend, 3 * months[m] + third, left, top, cell_w, cell_h);
    }
  }
  return extent;
}

/* The smallest area that still gets a line of its own when only `rows` classes can have one. */
static double area_for_rows(const struct isw_legend *legend, int rows) {
  double *areas = g_new(double, ISW_LEGEND_ENTRIES_MAX);
  int n = 0;
  for (int i = 0; i < legend->n_entries; i++)
    if (legend->entries[i].has_share) areas[n++] = legend->entries[i].area_m2;
  double limit = 0;
  while (n > MAX(rows, 1)) {
    int least = 0;
    for (int i = 1; i < n; i++)
      if (areas[i] < areas[least]) least = i;
    limit = areas[least];
    areas[least] = areas[--n];
  }
  g_free(areas);
  return limit;
}

/* Entries in `columns` columns from x, y; classes of at most `limit` m2 become one line. */
static double lay_entries(struct isw_pen *pen, const struct isw_legend *legend, double x, double y,
                          double width, double limit, bool draw) {
  double start = y;
  struct isw_legend_entry others = {.sign = ISW_SIGN_PAPER, .has_share = true};
  int n_others = 0;
  for (int i = 0; i < legend->n_entries; i++) {
    const struct isw_legend_entry *entry = &legend->entries[i];
    if (limit > 0 && entry->has_share && entry->area_m2 <= limit) {
      others.area_m2 += entry->area_m2;
      n_others++;
      continue;
    }
    y += lay_entry(pen, entry, legend->whole_m2, x, y, width, draw) + row_gap * pen->scale;
  }
  if (n_others > 0) {
    char *label = isw_words_count(ISW_SAY_LEGEND_SMALLER, n_others);
    g_strlcpy(others.label, label, sizeof others.label);
    g_free(label);
    y += lay_entry(pen, &others, legend->whole_m2, x, y, width, draw) + row_gap * pen->scale;
  }
  return y - start;
}

double isw_chart_lay_legend_column(struct isw_pen *pen, const struct isw_legend *legend,
                                   double x_mm, double y_mm, double width_mm, double most_mm,
                                   bool draw) {
  double gap = 2.2 * pen->scale, y = y_mm;
  y += paragraph(pen, heading_style, x_mm, y, width_mm, legend->heading, draw) + gap;
  if (legend->has_calendar) {
    double height = lay_calendar(pen, legend, x_mm, y, width_mm, false, draw).height_mm;
    y += height > 0 ? height + gap : 0;
  }
  double note = legend->note != NULL
                    ? paragraph(pen, small_style, x_mm, y, width_mm, legend->note, false)
                    : 0;
  double limit = 0;
  /* No more entries than this can ever fit, so trying starts there. */
  int rows = MIN(legend->n_entries, 2 + (int)(most_mm / ((swatch_height + row_gap) * pen->scale)));
  for (; rows > 1 &&
         y - y_mm + note + lay_entries(pen, legend, x_mm, y, width_mm, limit, false) > most_mm;
       rows--)
    limit = area_for_rows(legend, rows - 2);
  y += lay_entries(pen, legend, x_mm, y, width_mm, limit, draw);
  if (note > 0) {
    y += 0.6 * pen->scale;
    y += paragraph(pen, small_style, x_mm, y, width_mm, legend->note, draw);
  }
  return y - y_mm;
}

double isw_chart_lay_legend_band(struct isw_pen *pen, const struct isw_legend *legend, double x_mm,
                                 double y_mm, double width_mm, bool draw) {
  double gap = 6 * pen->scale;
  double y = y_mm + paragraph(pen, heading_style, x_mm, y_mm, width_mm, legend->heading, draw) +
             1.2 * pen->scale;
  double left = x_mm, height = 0;
  if (legend->has_calendar) {
    struct isw_extent extent = lay_calendar(pen, legend, x_mm, y, 0.6 * width_mm, true, draw);
    if (extent.width_mm > 0) {
      left += extent.width_mm + gap;
      height = extent.height_mm;
    }
  }
  double room = x_mm + width_mm - left;
  int columns = CLAMP((int)(room / (52 * pen->scale)), 1, 4);
  double column_width = fmin((room - (columns - 1) * gap) / columns, 58 * pen->scale);
  int rows = (legend->n_entries + columns - 1) / columns;
  double lowest = 0;
  for (int c = 0; c < columns; c++) {
    struct isw_legend *part = g_memdup2(legend, sizeof *legend);
    part->n_entries = 0;
    for (int i = c * rows; i < MIN((c + 1) * rows, legend->n_entries); i++)
      part->entries[part->n_entries++] = legend->entries[i];
    double x = left + c * (column_width + gap);
    lowest = fmax(lowest, lay_entries(pen, part, x, y, column_width, 0, draw));
    g_free(part);
  }
  if (legend->note != NULL)
    lowest += paragraph(pen, small_style, left, y + lowest, room, legend->note, draw);
  return y + fmax(height, lowest) - y_mm;
}

/* Drawing of isolines: labels find straight pieces of their line, the line breaks under them. */
#include <math.h>

#include "chart/isolines.h"
#include "words/date_words.h"

static const double repeat_mm = 85;      /* between labels of one line */
static const double unlabelled_mm = 30;  /* shorter ones without a label are left out */
static const double stub_mm = 6;         /* what a line must show on either side of a label */
static const double apart_mm = 22;       /* between labels of the same day */
static const double straightness = 0.93; /* chord over arc under a label */
static const struct isw_colour line_ink = {0.08, 0.09, 0.12};
static const struct isw_text label_style = {
    .size_mm = 2.25, .ink = {0.05, 0.06, 0.09}, .halo_mm = 0.45};

struct gap {
  double from_mm, to_mm; /* along the line */
};

struct label {
  double x_mm, y_mm, angle;
  int day;
};

static struct isw_point point_at(const struct isw_isoline *line, double along_mm) {
  const struct isw_point *p = (const void *)line->points->data;
  for (guint i = 1; i < line->points->len; i++) {
    double piece = hypot(p[i].x_mm - p[i - 1].x_mm, p[i].y_mm - p[i - 1].y_mm);
    if (along_mm <= piece && piece > 0) {
      double at = along_mm / piece;
      return (struct isw_point){p[i - 1].x_mm + at * (p[i].x_mm - p[i - 1].x_mm),
                                p[i - 1].y_mm + at * (p[i].y_mm - p[i - 1].y_mm)};
    }
    along_mm -= piece;
  }
  return p[line->points->len - 1];
}

static bool same_day_near(const GArray *labels, int day, struct isw_point at, double near_mm) {
  for (guint i = 0; i < labels->len; i++) {
    const struct label *label = &g_array_index(labels, struct label, i);
    if (label->day == day && hypot(label->x_mm - at.x_mm, label->y_mm - at.y_mm) < near_mm)
      return true;
  }
  return false;
}

/* Try to put the label's middle at along_mm. */
static bool place_label(struct isw_pen *pen, const struct isw_isoline *line, double along_mm,
                        double width_mm, struct isw_label_space *space, GArray *labels) {
  double half = width_mm / 2 + 0.6 * pen->scale;
  struct isw_point a = point_at(line, along_mm - half), b = point_at(line, along_mm + half);
  struct isw_point middle = point_at(line, along_mm);
  double chord = hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
  if (chord < straightness * 2 * half) return false;
  double angle = atan2(b.y_mm - a.y_mm, b.x_mm - a.x_mm);
  if (angle > G_PI / 2) angle -= G_PI;
  if (angle <= -G_PI / 2) angle += G_PI;
  /* Between chord and line, so that the text sits on both. */
  struct label label = {(a.x_mm + b.x_mm) / 4 + middle.x_mm / 2,
                        (a.y_mm + b.y_mm) / 4 + middle.y_mm / 2, angle, line->day};
  if (same_day_near(labels, line->day, middle, apart_mm * pen->scale)) return false;
  struct isw_label_box box = {label.x_mm, label.y_mm, half, 1.5 * pen->scale, angle};
  if (!isw_chart_take_label_space(space, box)) return false;
  g_array_append_val(labels, label);
  return true;
}

/* Labels of one line and the gaps they need. */
static void label_line(struct isw_pen *pen, const struct isw_isoline *line,
                       struct isw_label_space *space, GArray *labels, GArray *gaps) {
  char text[ISW_DATE_SIZE];
  isw_words_short_date(line->day, text);
  double width = isw_chart_measure_text(pen, &label_style, text).width_mm;
  double half = width / 2 + 0.6 * pen->scale;
  if (line->length_mm < 2 * (half + stub_mm * pen->scale)) return;
  double step = 1.5 * pen->scale, room = line->length_mm / 2 - half - stub_mm * pen->scale;
  double last = -HUGE_VAL;
  if (line->length_mm < repeat_mm * pen->scale) {
    /* One label, as near to the middle as can be. */
    for (double away = 0; away <= room; away += step)
      for (int side = -1; side <= 1; side += 2) {
        double at = line->length_mm / 2 + side * away;
        if (!place_label(pen, line, at, width, space, labels)) continue;
        struct gap gap = {at - half, at + half};
        g_array_append_val(gaps, gap);
        return;
      }
    return;
  }
  for (double at = half + 8 * pen->scale; at < line->length_mm - half - stub_mm * pen->scale;
       at += step) {
    if (at - last < repeat_mm * pen->scale) continue;
    if (!place_label(pen, line, at, width, space, labels)) continue;
    struct gap gap = {at - half, at + half};
    g_array_append_val(gaps, gap);
    last = at;
  }
}

static bool in_gap(const GArray *gaps, double along_mm) {
  for (guint i = 0; i < gaps->len; i++) {
    const struct gap *gap = &g_array_index(gaps, struct gap, i);
    if (along_mm > gap->from_mm && along_mm < gap->to_mm) return true;
  }
  return false;
}

/* Short lines without a label say nothing that the colours do not. */
static bool is_clutter(const struct isw_isoline *line, const GArray *gaps, double scale) {
  return gaps->len == 0 && line->length_mm < unlabelled_mm * scale;
}

static void trace_line(cairo_t *cr, const struct isw_isoline *line, const GArray *gaps) {
  const struct isw_point *p = (const void *)line->points->data;
  double along = 0;
  bool down = false;
  for (guint i = 0; i < line->points->len; i++) {
    if (i > 0) along += hypot(p[i].x_mm - p[i - 1].x_mm, p[i].y_mm - p[i - 1].y_mm);
    if (in_gap(gaps, along)) {
      down = false;
    } else if (down) {
      cairo_line_to(cr, p[i].x_mm, p[i].y_mm);
    } else {
      cairo_move_to(cr, p[i].x_mm, p[i].y_mm);
      down = true;
    }
  }
}

void isw_chart_draw_isolines(struct isw_pen *pen, const GPtrArray *lines,
                             struct isw_label_space *space) {
  cairo_t *cr = pen->cr;
  GArray *labels = g_array_new(FALSE, FALSE, sizeof(struct label));
  GArray **gaps = g_new(GArray *, lines->len + 1);
  /* Firsts of months are labelled before the others: with few labels, those say most. */
  for (guint i = 0; i < lines->len; i++) gaps[i] = g_array_new(FALSE, FALSE, sizeof(struct gap));
  for (int pass = 0; pass < 2; pass++)
    for (guint i = 0; i < lines->len; i++) {
      const struct isw_isoline *line = g_ptr_array_index(lines, i);
      if (line->new_month == (pass == 0)) label_line(pen, line, space, labels, gaps[i]);
    }
  cairo_save(cr);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
  for (int layer = 0; layer < 2; layer++)
    for (guint i = 0; i < lines->len; i++) {
      const struct isw_isoline *line = g_ptr_array_index(lines, i);
      if (is_clutter(line, gaps[i], pen->scale)) continue;
      double width = (line->new_month ? 0.36 : 0.2) * pen->scale;
      trace_line(cr, line, gaps[i]);
      cairo_set_line_width(cr, layer == 0 ? width + 0.44 * pen->scale : width);
      if (layer == 0)
        cairo_set_source_rgba(cr, 1, 1, 1, 0.75);
      else
        isw_chart_set_colour(pen, line_ink, 1);
      cairo_stroke(cr);
    }
  cairo_restore(cr);
  for (guint i = 0; i < labels->len; i++) {
    const struct label *label = &g_array_index(labels, struct label, i);
    char text[ISW_DATE_SIZE];
    isw_words_short_date(label->day, text);
    isw_chart_draw_turned_text(pen, &label_style, label->x_mm, label->y_mm, label->angle, text);
  }
  for (guint i = 0; i < lines->len; i++) g_array_unref(gaps[i]);
  g_free(gaps);
  g_array_unref(labels);
}

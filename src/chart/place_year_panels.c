/* DESIGN: a panel has three parts: a lane for sowing windows, the temperatures, a lane for stages.
 * Crops are drawn three times, a year apart, and clipped, so that one across the axis' end needs no
 * case of its own:
 *
 *     [  sow 3-18 Mar |====^===|                         ]   lane
 *     [ pale ribbon: normals; per stage a box best_from..best_to and, dark, what the stage sees ]
 *     [               |1|2    |3        |4     |5        ]   lane
 */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "chart/place_year_words.h"
#include "chart/year_drawings.h"
#include "growth/day_response.h"
#include "words/date_words.h"
#include "words/say.h"

static const double lane_mm = 4.6;

enum { LANE_TAKEN_MAX = 6 * ISW_SEASONS_MAX };

struct panel {
  struct isw_year_drawing *drawing;
  struct isw_box plot;
  double low_C, high_C;
  double window_y_mm, stages_y_mm; /* of the lanes */
  int n_taken;                     /* of the window lane, in mm across the page */
  double taken_from[LANE_TAKEN_MAX], taken_to[LANE_TAKEN_MAX];
};

static double temp_y(const struct panel *panel, double temp_C) {
  const struct isw_box *plot = &panel->plot;
  return plot->y_mm + plot->height_mm * (panel->high_C - temp_C) / (panel->high_C - panel->low_C);
}

static const struct isw_year *year_of(const struct panel *panel) {
  return &panel->drawing->view->place->year;
}

static int day_on_axis(const struct panel *panel, int after) {
  return isw_base_wrap_day(panel->drawing->view->start_day + after);
}

static void trace_curve(const struct panel *panel, const double *day_C, bool back) {
  cairo_t *cr = panel->drawing->pen.cr;
  for (int i = 0; i <= ISW_YEAR_DAYS + 1; i++) {
    int step = back ? ISW_YEAR_DAYS + 1 - i : i;
    /* Days stand in their middles; the ends of the axis lie between two. */
    double after = step - 0.5;
    double temp_C = day_C[day_on_axis(panel, step - 1)];
    cairo_line_to(cr, isw_chart_year_x(panel->drawing, after), temp_y(panel, temp_C));
  }
}

static void draw_ribbon(const struct panel *panel) {
  struct isw_pen *pen = &panel->drawing->pen;
  cairo_new_path(pen->cr);
  trace_curve(panel, year_of(panel)->tmax_C, false);
  trace_curve(panel, year_of(panel)->tmin_C, true);
  cairo_close_path(pen->cr);
  isw_chart_set_colour(pen, isw_year_ribbon, 1);
  cairo_fill(pen->cr);
}

static void draw_ribbon_edges(const struct panel *panel) {
  struct isw_pen *pen = &panel->drawing->pen;
  cairo_set_line_width(pen->cr, 0.3);
  trace_curve(panel, year_of(panel)->tmax_C, false);
  isw_chart_set_colour(pen, isw_year_warm, 1);
  cairo_stroke(pen->cr);
  trace_curve(panel, year_of(panel)->tmin_C, false);
  isw_chart_set_colour(pen, isw_year_cool, 1);
  cairo_stroke(pen->cr);
}

/* A round step of the shown unit that leaves room between labels. */
static double tick_step(const struct panel *panel, double *first, double *last) {
  static const double steps[] = {2, 5, 10, 20, 50, 100};
  bool fahrenheit = panel->drawing->fahrenheit;
  *first = isw_chart_show_temperature(panel->low_C, fahrenheit);
  *last = isw_chart_show_temperature(panel->high_C, fahrenheit);
  double room = panel->plot.height_mm / 5.5;
  size_t i = 0;
  while (i + 1 < G_N_ELEMENTS(steps) && (*last - *first) / steps[i] > room) i++;
  *first = steps[i] * ceil(*first / steps[i]);
  return steps[i];
}

static void draw_temperature_axis(const struct panel *panel) {
  struct isw_pen *pen = &panel->drawing->pen;
  bool fahrenheit = panel->drawing->fahrenheit;
  double first, last, step = tick_step(panel, &first, &last);
  struct isw_text style = {
      .size_mm = 2.6, .ink = isw_year_ink, .across = 1, .height = ISW_TEXT_MIDDLE};
  double x = panel->plot.x_mm, right = x + panel->plot.width_mm;
  for (double shown = first; shown <= last + 1e-9; shown += step) {
    double temp_C = fahrenheit ? (shown - 32) / 1.8 : shown;
    double y = temp_y(panel, temp_C);
    /* The unit stands just above. */
    if (y < panel->plot.y_mm + 1.6) continue;
    char label[32];
    g_snprintf(label, sizeof label, "%s%.0f", shown < -0.5 ? "−" : "", fabs(shown));
    isw_chart_draw_text(pen, &style, x - 1.2, y, label);
    cairo_move_to(pen->cr, x, y);
    cairo_line_to(pen->cr, right, y);
    isw_chart_set_colour(pen, isw_year_pale_ink, 0.22);
    cairo_set_line_width(pen->cr, 0.1);
    cairo_stroke(pen->cr);
  }
  if (panel->low_C < 0 && panel->high_C > 0) {
    cairo_move_to(pen->cr, x, temp_y(panel, 0));
    cairo_line_to(pen->cr, right, temp_y(panel, 0));
    isw_chart_set_colour(pen, isw_year_cool, 1);
    cairo_set_line_width(pen->cr, 0.16);
    cairo_stroke(pen->cr);
  }
  style.across = 1;
  isw_chart_draw_text(pen, &style, x - 1.2, panel->window_y_mm + lane_mm / 2,
                      fahrenheit ? "°F" : "°C");
}

static struct isw_day seen_day(const struct panel *panel, const struct isw_stage *stage, int day) {
  const struct isw_sheet *sheet = panel->drawing->view->plan->sheet;
  struct isw_day open = {year_of(panel)->tmin_C[day], year_of(panel)->tmax_C[day]};
  const struct isw_shelter *shelter =
      stage->shelter == ISW_OPEN_GROUND ? NULL : &sheet->shelters[stage->shelter];
  struct isw_day under = isw_growth_shelter_day(shelter, open);
  double middle = (under.lo_C + under.hi_C) / 2;
  double half = sheet->swing * (under.hi_C - under.lo_C) / 2;
  return (struct isw_day){middle - half, middle + half};
}

/* Lighter towards the temperature at which the stage stops. */
static void draw_fade(const struct panel *panel, double x, double width, double full_C,
                      double none_C) {
  double full = temp_y(panel, full_C), none = temp_y(panel, none_C);
  const struct isw_colour c = isw_year_best;
  cairo_pattern_t *fade = cairo_pattern_create_linear(0, full, 0, none);
  cairo_pattern_add_color_stop_rgba(fade, 0, c.red, c.green, c.blue, 0.55);
  cairo_pattern_add_color_stop_rgba(fade, 1, c.red, c.green, c.blue, 0.04);
  cairo_t *cr = panel->drawing->pen.cr;
  cairo_rectangle(cr, x, fmin(full, none), width, fabs(full - none));
  cairo_set_source(cr, fade);
  cairo_fill(cr);
  cairo_pattern_destroy(fade);
}

static void draw_wants(const struct panel *panel, const struct isw_stage *stage, double x,
                       double width) {
  struct isw_pen *pen = &panel->drawing->pen;
  cairo_t *cr = pen->cr;
  double top = temp_y(panel, stage->band.best_to_C), low = temp_y(panel, stage->band.best_from_C);
  draw_fade(panel, x, width, stage->band.best_to_C, stage->band.stops_above_C);
  draw_fade(panel, x, width, stage->band.best_from_C, stage->band.stops_below_C);
  cairo_rectangle(cr, x, top, width, low - top);
  isw_chart_set_colour(pen, isw_year_best, 0.9);
  cairo_fill_preserve(cr);
  isw_chart_set_colour(pen, isw_year_ink, 0.85);
  cairo_set_line_width(cr, 0.2);
  static const double dashes[2] = {0.8, 0.6};
  if (stage->shelter != ISW_OPEN_GROUND) cairo_set_dash(cr, dashes, 2, 0);
  cairo_stroke(cr);
  cairo_set_dash(cr, NULL, 0, 0);
  if (!isfinite(stage->dies_below_C)) return;
  double y = temp_y(panel, stage->dies_below_C);
  cairo_move_to(cr, x, y);
  cairo_line_to(cr, x + width, y);
  for (double at = x + 0.5; at < x + width; at += 1.0) {
    cairo_move_to(cr, at, y);
    cairo_rel_line_to(cr, -0.5, 0.9);
  }
  isw_chart_set_colour(pen, isw_year_ink, 1);
  cairo_set_line_width(cr, 0.22);
  cairo_stroke(cr);
}

/* A step a day, so that its ends are the stage's. */
static void draw_seen(const struct panel *panel, const struct isw_stage *stage, int from_after,
                      int days, int from_day) {
  struct isw_pen *pen = &panel->drawing->pen;
  for (int back = 0; back < 2; back++)
    for (int i = 0; i < days; i++) {
      int at = back ? days - 1 - i : i;
      struct isw_day seen = seen_day(panel, stage, isw_base_wrap_day(from_day + at));
      double y = temp_y(panel, back ? seen.lo_C : seen.hi_C);
      cairo_line_to(pen->cr, isw_chart_year_x(panel->drawing, from_after + at + back), y);
      cairo_line_to(pen->cr, isw_chart_year_x(panel->drawing, from_after + at + 1 - back), y);
    }
  cairo_close_path(pen->cr);
  isw_chart_set_colour(pen, isw_year_felt, 0.82);
  cairo_fill(pen->cr);
}

/* The stage's number and, where there is room, its name. */
static void draw_lane_stage(const struct panel *panel, int k, const char *name, double x,
                            double width) {
  struct isw_pen *pen = &panel->drawing->pen;
  cairo_t *cr = pen->cr;
  double y = panel->stages_y_mm;
  cairo_rectangle(cr, x, y, width, lane_mm);
  isw_chart_set_colour(pen, isw_year_best, k % 2 == 0 ? 0.28 : 0.6);
  cairo_fill_preserve(cr);
  isw_chart_set_colour(pen, isw_year_ink, 0.85);
  cairo_set_line_width(cr, 0.16);
  cairo_stroke(cr);
  struct isw_text style = {
      .size_mm = 2.5, .ink = isw_year_ink, .across = 0.5, .height = ISW_TEXT_MIDDLE};
  char label[96];
  g_snprintf(label, sizeof label, "%d %s", k + 1, name);
  if (isw_chart_measure_text(pen, &style, label).width_mm > width - 0.8)
    g_snprintf(label, sizeof label, "%d", k + 1);
  isw_chart_draw_text(pen, &style, x + width / 2, y + lane_mm / 2, label);
}

static void take_lane(struct panel *panel, double from, double to) {
  if (panel->n_taken == LANE_TAKEN_MAX) return;
  panel->taken_from[panel->n_taken] = from;
  panel->taken_to[panel->n_taken++] = to;
}

static bool lane_is_free(const struct panel *panel, double from, double to) {
  if (from < panel->plot.x_mm + 1 || to > panel->plot.x_mm + panel->plot.width_mm - 1) return false;
  for (int i = 0; i < panel->n_taken; i++)
    if (from < panel->taken_to[i] && to > panel->taken_from[i]) return false;
  return true;
}

/* What a crop takes of the window lane: its bar, or the mark of its best day. */
static void window_ends(const struct panel *panel, const struct isw_year_crop *crop, int best_after,
                        double *from, double *to) {
  const struct isw_result *r = &crop->result->result;
  *from = isw_chart_year_x(panel->drawing, best_after + 0.5) - 1;
  *to = *from + 2;
  if (r->window.days == 0) return;
  int before = r->window.days >= ISW_YEAR_DAYS
                   ? best_after
                   : isw_base_days_forward(r->window.from_day, r->best_sow_day);
  *from = isw_chart_year_x(panel->drawing, best_after - before);
  *to = isw_chart_year_x(panel->drawing, best_after - before + r->window.days);
}

static void draw_window(struct panel *panel, const struct isw_year_crop *crop, int best_after) {
  struct isw_pen *pen = &panel->drawing->pen;
  cairo_t *cr = pen->cr;
  double middle = panel->window_y_mm + lane_mm / 2, from, to;
  double best_x = isw_chart_year_x(panel->drawing, best_after + 0.5);
  window_ends(panel, crop, best_after, &from, &to);
  take_lane(panel, fmin(from, best_x - 1), fmax(to, best_x + 1));
  if (crop->result->result.window.days > 0) {
    cairo_rectangle(cr, from, middle - 1.3, to - from, 2.6);
    isw_chart_set_colour(pen, isw_year_window, 1);
    cairo_fill(cr);
    cairo_rectangle(cr, from, panel->plot.y_mm, to - from, panel->plot.height_mm);
    isw_chart_set_colour(pen, isw_year_window, 0.13);
    cairo_fill(cr);
  }
  cairo_move_to(cr, best_x - 1.0, middle - 1.3);
  cairo_line_to(cr, best_x + 1.0, middle - 1.3);
  cairo_line_to(cr, best_x, middle + 1.3);
  cairo_close_path(cr);
  isw_chart_set_colour(pen, isw_year_best, 1);
  cairo_fill_preserve(cr);
  isw_chart_set_colour(pen, isw_year_ink, 1);
  cairo_set_line_width(cr, 0.18);
  cairo_stroke(cr);
}

/* "Spring: sow 22 Mar – 28 Apr", "Spring: 22 Mar – 28 Apr", "Spring"; new ones. */
enum { WINDOW_LABELS = 3 };
static void word_window(const struct isw_year_view *view, const struct isw_year_crop *crop,
                        char *labels[WINDOW_LABELS]) {
  const struct isw_result *r = &crop->result->result;
  char *names = isw_chart_name_crop_seasons(view, &crop->crop), *seasons = isw_words_capital(names);
  char date[ISW_DATE_SIZE];
  char *days = r->window.days == 0 ? g_strdup(isw_words_short_date(r->best_sow_day, date))
                                   : isw_chart_word_days(r->window.from_day, r->window.to_day);
  labels[0] = r->window.days >= ISW_YEAR_DAYS
                  ? isw_words_say(ISW_SAY_LANE_ALL_YEAR, seasons)
                  : isw_words_say(r->window.days == 0 ? ISW_SAY_LANE_RISKY : ISW_SAY_LANE_SOW,
                                  seasons, days);
  labels[1] = r->window.days == 0 || r->window.days >= ISW_YEAR_DAYS
                  ? g_strdup(labels[0])
                  : isw_words_say(ISW_SAY_LANE_BRIEF, seasons, days);
  labels[2] = seasons;
  g_free(days);
  g_free(names);
}

/* Beside the bar, in full or as the season alone, or inside it. */
static void draw_window_label(struct panel *panel, const struct isw_year_crop *crop,
                              int best_after) {
  struct isw_pen *pen = &panel->drawing->pen;
  double middle = panel->window_y_mm + lane_mm / 2, from, to;
  double best_x = isw_chart_year_x(panel->drawing, best_after + 0.5);
  window_ends(panel, crop, best_after, &from, &to);
  char *labels[WINDOW_LABELS];
  word_window(panel->drawing->view, crop, labels);
  struct isw_text style = {
      .size_mm = 2.7, .bold = true, .ink = isw_year_ink, .height = ISW_TEXT_MIDDLE};
  bool done = false;
  for (int i = 0; i < WINDOW_LABELS && !done; i++) {
    double width = isw_chart_measure_text(pen, &style, labels[i]).width_mm;
    double lefts[2] = {fmax(to, best_x + 1) + 1.2, fmin(from, best_x - 1) - 1.2 - width};
    for (int side = 0; side < 2 && !done; side++) {
      if (!lane_is_free(panel, lefts[side], lefts[side] + width)) continue;
      isw_chart_draw_text(pen, &style, lefts[side], middle, labels[i]);
      take_lane(panel, lefts[side] - 1, lefts[side] + width + 1);
      done = true;
    }
  }
  style.size_mm = 2.3;
  style.ink = (struct isw_colour){1, 1, 1};
  from = fmax(from, panel->plot.x_mm) + 1;
  to = fmin(to, panel->plot.x_mm + panel->plot.width_mm) - 1;
  for (int i = 0; i < WINDOW_LABELS && !done; i++) {
    double width = isw_chart_measure_text(pen, &style, labels[i]).width_mm;
    if (best_x + 1.6 + width < to)
      isw_chart_draw_text(pen, &style, best_x + 1.6, middle, labels[i]);
    else if (best_x - 1.6 - width > from)
      isw_chart_draw_text(pen, &style, best_x - 1.6 - width, middle, labels[i]);
    else
      continue;
    done = true;
  }
  for (int i = 0; i < WINDOW_LABELS; i++) g_free(labels[i]);
}

static void draw_crop_wants(struct panel *panel, const struct isw_year_crop *crop, int sow_after) {
  const struct isw_sowing *sowing = &crop->result->sowing;
  for (int k = 0; k < sowing->n_stages; k++) {
    const struct isw_stage_run *run = &sowing->runs[k];
    double x = isw_chart_year_x(panel->drawing, sow_after + run->from_after);
    double width = isw_chart_year_x(panel->drawing, sow_after + run->to_after) - x;
    draw_wants(panel, &crop->programme->stages[k], x, width);
  }
}

static void draw_stage_lane(struct panel *panel, const struct isw_year_crop *crop, int sow_after) {
  const struct isw_sowing *sowing = &crop->result->sowing;
  for (int k = 0; k < sowing->n_stages; k++) {
    const struct isw_stage_run *run = &sowing->runs[k];
    double x = isw_chart_year_x(panel->drawing, sow_after + run->from_after);
    double width = isw_chart_year_x(panel->drawing, sow_after + run->to_after) - x;
    draw_lane_stage(panel, k, crop->programme->stages[k].title, x, width);
  }
}

static void draw_crop_sees(struct panel *panel, const struct isw_year_crop *crop, int sow_after) {
  const struct isw_sowing *sowing = &crop->result->sowing;
  for (int k = 0; k < sowing->n_stages; k++) {
    const struct isw_stage_run *run = &sowing->runs[k];
    draw_seen(panel, &crop->programme->stages[k], sow_after + run->from_after,
              run->to_after - run->from_after, crop->result->result.best_sow_day + run->from_after);
  }
}

static void for_crops(struct panel *panel, int number,
                      void (*draw)(struct panel *, const struct isw_year_crop *, int)) {
  const struct isw_year_view *view = panel->drawing->view;
  for (int c = 0; c < view->n_crops; c++) {
    const struct isw_year_crop *crop = &view->crops[c];
    if (crop->panel != number) continue;
    int after = isw_base_days_forward(view->start_day, crop->result->result.best_sow_day);
    for (int turn = -1; turn <= 1; turn++) draw(panel, crop, after + turn * ISW_YEAR_DAYS);
  }
}

void isw_chart_draw_year_panel(struct isw_year_drawing *drawing, int number, double y_mm,
                               double height_mm) {
  const struct isw_year_view *view = drawing->view;
  cairo_t *cr = drawing->pen.cr;
  double margin_K = 0.03 * (view->high_C - view->low_C) + 0.5;
  struct panel panel = {
      .drawing = drawing,
      .plot = {drawing->left_mm, y_mm + lane_mm, drawing->width_mm, height_mm - 2 * lane_mm},
      .low_C = view->low_C - margin_K,
      .high_C = view->high_C + margin_K,
      .window_y_mm = y_mm,
      .stages_y_mm = y_mm + height_mm - lane_mm};
  cairo_save(cr);
  isw_chart_clip_box(&drawing->pen, panel.plot);
  draw_ribbon(&panel);
  cairo_restore(cr);
  draw_temperature_axis(&panel);
  cairo_save(cr);
  isw_chart_clip_box(&drawing->pen,
                     (struct isw_box){drawing->left_mm, y_mm, drawing->width_mm, height_mm});
  for_crops(&panel, number, draw_window);
  for_crops(&panel, number, draw_window_label);
  cairo_restore(cr);
  cairo_save(cr);
  isw_chart_clip_box(&drawing->pen, (struct isw_box){drawing->left_mm, panel.stages_y_mm - 0.1,
                                                     drawing->width_mm, lane_mm + 0.2});
  for_crops(&panel, number, draw_stage_lane);
  cairo_restore(cr);
  cairo_save(cr);
  isw_chart_clip_box(&drawing->pen, panel.plot);
  for_crops(&panel, number, draw_crop_wants);
  draw_ribbon_edges(&panel);
  for_crops(&panel, number, draw_crop_sees);
  cairo_restore(cr);
  isw_chart_draw_year_grid(drawing, panel.plot.y_mm, panel.plot.height_mm);
}

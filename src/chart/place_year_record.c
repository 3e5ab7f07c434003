/* How real years went: a strip for each crop, a cell for each year of the record, by colour and by
 * a letter; a year that lacks a month stays empty. */
#include <glib.h>
#include <math.h>

#include "chart/hatch.h"
#include "chart/palette.h"
#include "chart/place_year_words.h"
#include "chart/year_drawings.h"
#include "words/quantities.h"
#include "words/say.h"

static const double head_mm = 4, strip_mm = 3.6, strip_gap_mm = 0.5, labels_mm = 3.2;
static const double letter_mm = 2.3, least_cell_mm = 2.0; /* narrower ones are hatched instead */

enum outcome { GOOD, COLD, WARM, FROST, BOLTED, NEVER, OUTSIDE, LOW, OUTCOMES };

static const struct {
  struct isw_colour ground;
  enum isw_hatch hatch;
  enum isw_sentence letter;
} looks[OUTCOMES] = {[GOOD] = {{0.333, 0.616, 0.706}, ISW_HATCH_NONE, ISW_SENTENCES},
                     [COLD] = {{1, 1, 1}, ISW_HATCH_LEVEL, ISW_SAY_MARK_COLD},
                     [WARM] = {{0.72, 0.33, 0.2}, ISW_HATCH_RISING, ISW_SAY_MARK_WARM},
                     [FROST] = {{0.16, 0.17, 0.22}, ISW_HATCH_CROSSED, ISW_SAY_MARK_FROST},
                     [BOLTED] = {{0.96, 0.8, 0.4}, ISW_HATCH_DOTS, ISW_SAY_MARK_BOLTING},
                     [NEVER] = {{0.8, 0.78, 0.74}, ISW_HATCH_UPRIGHT, ISW_SAY_MARK_NEVER},
                     [OUTSIDE] = {{0.8, 0.78, 0.74}, ISW_HATCH_FALLING, ISW_SAY_MARK_OUTSIDE},
                     [LOW] = {{0.8, 0.78, 0.74}, ISW_HATCH_GRID, ISW_SAY_MARK_LOW}};

static enum outcome outcome_of(const struct isw_past_year *year) {
  if (year->good) return GOOD;
  switch (year->fault) {
    case ISW_LIMIT_FROST: return FROST;
    case ISW_LIMIT_BOLTING: return BOLTED;
    case ISW_LIMIT_NEVER_MATURES: return NEVER;
    case ISW_LIMIT_CUT_OUTSIDE: return OUTSIDE;
    case ISW_LIMIT_NOTHING: return LOW;
    default: return year->fault % 2 == 1 ? COLD : WARM;
  }
}

static void draw_cell(struct isw_pen *pen, enum outcome outcome, double x, double y, double width,
                      double height) {
  const struct isw_colour ground = looks[outcome].ground;
  const struct isw_colour ink = isw_chart_ink_on(ground);
  const bool lettered = width >= least_cell_mm * pen->scale;
  const struct isw_fill fill = {ground, ink, lettered ? ISW_HATCH_NONE : looks[outcome].hatch, 0.9,
                                0.15};
  isw_chart_fill_rectangle(pen->cr, &fill, x, y, width, height);
  cairo_rectangle(pen->cr, x, y, width, height);
  isw_chart_set_colour(pen, isw_year_pale_ink, 1);
  cairo_set_line_width(pen->cr, 0.12);
  cairo_stroke(pen->cr);
  if (!lettered || outcome == GOOD) return;
  const struct isw_text style = {
      .size_mm = letter_mm, .bold = true, .ink = ink, .across = 0.5, .height = ISW_TEXT_MIDDLE};
  isw_chart_draw_text(pen, &style, x + width / 2, y + height / 2,
                      isw_words_text(looks[outcome].letter));
}

void isw_chart_draw_record_sign(struct isw_pen *pen, double x_mm, double y_mm, double width_mm,
                                double height_mm) {
  static const enum outcome shown[] = {GOOD, WARM, COLD};
  const double width = width_mm / G_N_ELEMENTS(shown);
  for (size_t i = 0; i < G_N_ELEMENTS(shown); i++)
    draw_cell(pen, shown[i], x_mm + (double)i * width, y_mm, width, height_mm);
}

double isw_chart_year_record_mm(const struct isw_year_view *view) {
  if (view->place->backtest == NULL || view->n_crops == 0) return 0;
  return head_mm + view->n_crops * (strip_mm + strip_gap_mm) + labels_mm;
}

static double year_x(const struct isw_year_drawing *drawing, int year) {
  const struct isw_backtest *backtest = drawing->view->place->backtest;
  const int n = backtest->to_year - backtest->from_year + 1;
  return drawing->left_mm + drawing->width_mm * (year - backtest->from_year) / n;
}

static void draw_strip(struct isw_year_drawing *drawing, const struct isw_year_crop *crop,
                       double y) {
  const struct isw_year_view *view = drawing->view;
  const struct isw_backtest *backtest = view->place->backtest;
  const struct isw_backtest_season *season = &backtest->seasons[crop->crop.season];
  const struct isw_backtest_result *result =
      &backtest
           ->results[isw_growth_result_index(view->plan, crop->crop.variety, crop->crop.season)];
  struct isw_pen *pen = &drawing->pen;
  const struct isw_text style = {.size_mm = 2.2,
                                 .ink = isw_year_ink,
                                 .across = 1,
                                 .wrap_mm = drawing->left_mm - 10,
                                 .shorten = true,
                                 .height = ISW_TEXT_MIDDLE};
  char *names = isw_chart_name_crop_seasons(view, &crop->crop), *label = isw_words_capital(names);
  isw_chart_draw_text(pen, &style, drawing->left_mm - 1.2, y + strip_mm / 2, label);
  g_free(label);
  g_free(names);
  cairo_rectangle(pen->cr, drawing->left_mm, y, drawing->width_mm, strip_mm);
  isw_chart_set_colour(pen, isw_year_pale_ink, 0.6);
  cairo_set_line_width(pen->cr, 0.12);
  cairo_stroke(pen->cr);
  for (int i = 0; i < season->n_years; i++) {
    const double x = year_x(drawing, season->years[i]);
    draw_cell(pen, outcome_of(&result->years[i]), x, y, year_x(drawing, season->years[i] + 1) - x,
              strip_mm);
  }
}

/* "Spring 38 of 42, Autumn 30 of 42" */
static char *word_counts(const struct isw_year_view *view) {
  char *all = NULL;
  for (int c = 0; c < view->n_crops; c++) {
    const struct isw_place_crop *crop = &view->crops[c].crop;
    const struct isw_backtest *backtest = view->place->backtest;
    const int r = isw_growth_result_index(view->plan, crop->variety, crop->season);
    char *names = isw_chart_name_crop_seasons(view, crop);
    char *good = isw_words_number(backtest->results[r].n_good);
    char *years = isw_words_number(backtest->seasons[crop->season].n_years);
    char *text = isw_words_say(ISW_SAY_REAL_YEARS_GOOD, names, good, years);
    char *more = all == NULL ? g_strdup(text) : isw_words_say(ISW_SAY_LIST_MORE, all, text);
    g_free(names);
    g_free(good);
    g_free(years);
    g_free(text);
    g_free(all);
    all = more;
  }
  char *lead = isw_words_say(ISW_SAY_REAL_YEARS_LEAD, all);
  g_free(all);
  return lead;
}

/* Years at the strips' foot, every ten or every five. */
static void draw_labels(struct isw_year_drawing *drawing, double y) {
  const struct isw_backtest *backtest = drawing->view->place->backtest;
  const int n = backtest->to_year - backtest->from_year + 1, step = n > 30 ? 10 : 5;
  const struct isw_text style = {
      .size_mm = 2.3, .ink = isw_year_pale_ink, .across = 0.5, .height = ISW_TEXT_MIDDLE};
  for (int year = backtest->from_year; year <= backtest->to_year; year++) {
    if (year % step != 0) continue;
    const double x = (year_x(drawing, year) + year_x(drawing, year + 1)) / 2;
    char *text = isw_words_number(year);
    isw_chart_draw_text(&drawing->pen, &style, x, y + labels_mm / 2, text);
    g_free(text);
  }
}

void isw_chart_draw_year_record(struct isw_year_drawing *drawing, double y_mm) {
  const struct isw_year_view *view = drawing->view;
  const struct isw_backtest *backtest = view->place->backtest;
  char *from = isw_words_number(backtest->from_year), *to = isw_words_number(backtest->to_year);
  char *title = isw_words_say(ISW_SAY_REAL_YEARS, from, to), *counts = word_counts(view);
  isw_chart_draw_year_head(drawing, y_mm, 0, title, counts);
  double y = y_mm + head_mm;
  for (int c = 0; c < view->n_crops; c++, y += strip_mm + strip_gap_mm)
    draw_strip(drawing, &view->crops[c], y);
  draw_labels(drawing, y);
  g_free(from);
  g_free(to);
  g_free(title);
  g_free(counts);
}

#include <glib.h>
#include <math.h>

#include "chart/palette.h"
#include "chart/place_year_words.h"
#include "chart/year_drawings.h"
#include "growth/day_response.h"
#include "words/place_words.h"
#include "words/quantities.h"
#include "words/say.h"
#include "words/shares.h"

static const struct isw_text head_style = {
    .size_mm = 2.7, .bold = true, .ink = {0.08, 0.08, 0.1}, .height = ISW_TEXT_BASELINE};
static const struct isw_text axis_style = {
    .size_mm = 2.2, .ink = {0.36, 0.36, 0.4}, .across = 1, .height = ISW_TEXT_MIDDLE};

static int day_of(const struct isw_year_drawing *drawing, int after) {
  return isw_base_wrap_day(drawing->view->start_day + after);
}

void isw_chart_draw_year_head(struct isw_year_drawing *drawing, double y, double indent,
                              const char *bold, const char *plain) {
  double baseline = y + ISW_YEAR_ROW_HEAD_MM - 1.0;
  double width = indent + isw_chart_draw_text(&drawing->pen, &head_style, drawing->left_mm + indent,
                                              baseline, bold)
                              .width_mm;
  struct isw_text style = head_style;
  style.bold = false;
  style.size_mm = 2.5;
  style.ink = isw_year_pale_ink;
  style.wrap_mm = drawing->width_mm - width - 2.5;
  style.shorten = true;
  isw_chart_draw_text(&drawing->pen, &style, drawing->left_mm + width + 2.5, baseline, plain);
}

void isw_chart_draw_year_types(struct isw_year_drawing *drawing, double y_mm) {
  const struct isw_year_view *view = drawing->view;
  struct isw_pen *pen = &drawing->pen;
  struct isw_text style = {.size_mm = 2.5,
                           .bold = true,
                           .ink = isw_year_ink,
                           .halo_mm = 0.4,
                           .across = 0.5,
                           .height = ISW_TEXT_MIDDLE};
  isw_chart_draw_year_head(drawing, y_mm, 0, isw_words_text(ISW_SAY_YEAR_TYPES), "");
  double height = ISW_YEAR_TYPES_MM - ISW_YEAR_ROW_HEAD_MM;
  y_mm += ISW_YEAR_ROW_HEAD_MM;
  cairo_save(pen->cr);
  isw_chart_clip_box(
      pen, (struct isw_box){drawing->left_mm, y_mm - 0.2, drawing->width_mm, height + 0.4});
  for (int i = 0; i < view->types.n_runs; i++) {
    const struct isw_dated_type *run = &view->types.runs[i];
    struct isw_fill fill = isw_chart_variety_fill(run->variety, false);
    int after = isw_base_days_forward(view->start_day, run->from_day);
    for (int turn = 0; turn < 2; turn++, after -= ISW_YEAR_DAYS) {
      double x = isw_chart_year_x(drawing, after);
      double width = isw_chart_year_x(drawing, after + run->days) - x;
      isw_chart_fill_rectangle(pen->cr, &fill, x, y_mm, width, height);
      cairo_rectangle(pen->cr, x, y_mm, width, height);
      isw_chart_set_colour(pen, isw_year_ink, 1);
      cairo_set_line_width(pen->cr, 0.2);
      cairo_stroke(pen->cr);
      double left = fmax(x, drawing->left_mm);
      double right = fmin(x + width, drawing->left_mm + drawing->width_mm);
      const char *title = view->plan->sheet->varieties[run->variety].title;
      if (isw_chart_measure_text(pen, &style, title).width_mm < right - left - 1.2)
        isw_chart_draw_text(pen, &style, (left + right) / 2, y_mm + height / 2, title);
    }
  }
  cairo_restore(pen->cr);
  cairo_rectangle(pen->cr, drawing->left_mm, y_mm, drawing->width_mm, height);
  isw_chart_set_colour(pen, isw_year_pale_ink, 1);
  cairo_set_line_width(pen->cr, 0.16);
  cairo_stroke(pen->cr);
}

static void fill_days(struct isw_year_drawing *drawing, const double *share, double bottom,
                      double height) {
  cairo_t *cr = drawing->pen.cr;
  cairo_move_to(cr, isw_chart_year_x(drawing, 0), bottom);
  for (int i = 0; i < ISW_YEAR_DAYS; i++) {
    double y = bottom - height * share[day_of(drawing, i)];
    cairo_line_to(cr, isw_chart_year_x(drawing, i), y);
    cairo_line_to(cr, isw_chart_year_x(drawing, i + 1), y);
  }
  cairo_line_to(cr, isw_chart_year_x(drawing, ISW_YEAR_DAYS), bottom);
  cairo_close_path(cr);
}

/* The longest run of days on which frost is rare, in words. */
static char *word_frost(const struct isw_year_drawing *drawing, const double *share) {
  static const double rare = 0.05;
  bool safe[ISW_YEAR_DAYS];
  struct isw_window longest = {-1, -1, 0};
  for (int d = 0; d < ISW_YEAR_DAYS; d++) safe[d] = share[d] < rare;
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    if (!safe[d]) continue;
    struct isw_window run = isw_growth_run_around(safe, d);
    if (run.days > longest.days) longest = run;
  }
  char *freezing = isw_words_temperature(0, drawing->fahrenheit), *words;
  char *per_cent = isw_words_number((int)(100 * rare));
  if (longest.days == 0) {
    words = isw_words_say(ISW_SAY_FROST_NEVER_RARE, freezing, per_cent);
  } else if (longest.days >= ISW_YEAR_DAYS) {
    words = isw_words_say(ISW_SAY_FROST_ALWAYS_RARE, freezing, per_cent);
  } else {
    char *days = isw_chart_word_days(longest.from_day, longest.to_day);
    words = isw_words_say(ISW_SAY_FROST_RARE_ON, freezing, per_cent, days);
    g_free(days);
  }
  g_free(freezing);
  g_free(per_cent);
  return words;
}

void isw_chart_draw_year_seasons(struct isw_year_drawing *drawing, double y_mm) {
  const struct isw_year_view *view = drawing->view;
  struct isw_pen *pen = &drawing->pen;
  struct isw_text style = {
      .size_mm = 2.4, .ink = isw_year_ink, .across = 0.5, .height = ISW_TEXT_MIDDLE};
  double height = ISW_YEAR_SEASONS_MM - 0.4;
  cairo_save(pen->cr);
  isw_chart_clip_box(pen, (struct isw_box){drawing->left_mm - 0.1, y_mm - 0.1,
                                           drawing->width_mm + 0.2, ISW_YEAR_SEASONS_MM});
  for (int s = 0; s < view->plan->n_seasons; s++) {
    struct isw_window dates = view->place->seasons[s].sowing_dates;
    const char *season = view->plan->sheet->seasons[view->plan->seasons[s]].title;
    for (int turn = 0; turn < 2; turn++) {
      int from = isw_base_days_forward(view->start_day, dates.from_day) - turn * ISW_YEAR_DAYS;
      if (from + dates.days <= 0) continue;
      double x = isw_chart_year_x(drawing, from);
      double right = isw_chart_year_x(drawing, from + dates.days);
      cairo_rectangle(pen->cr, x, y_mm, right - x, height);
      isw_chart_set_colour(pen, isw_year_ribbon, s % 2 == 0 ? 0.9 : 0.4);
      cairo_fill_preserve(pen->cr);
      isw_chart_set_colour(pen, isw_year_pale_ink, 1);
      cairo_set_line_width(pen->cr, 0.16);
      cairo_stroke(pen->cr);
      x = fmax(x, drawing->left_mm);
      right = fmin(right, drawing->left_mm + drawing->width_mm);
      char *label = isw_words_say(ISW_SAY_SEASON_SOWING, season);
      if (isw_chart_measure_text(pen, &style, label).width_mm < right - x - 1)
        isw_chart_draw_text(pen, &style, (x + right) / 2, y_mm + height / 2, label);
      g_free(label);
    }
  }
  cairo_restore(pen->cr);
}

void isw_chart_draw_year_frost(struct isw_year_drawing *drawing, double y_mm, double height_mm) {
  struct isw_pen *pen = &drawing->pen;
  double top = y_mm + ISW_YEAR_ROW_HEAD_MM, height = height_mm - ISW_YEAR_ROW_HEAD_MM;
  double share[ISW_YEAR_DAYS];
  for (int d = 0; d < ISW_YEAR_DAYS; d++)
    share[d] = isw_growth_kill(0, drawing->view->plan->conditions.spread_K,
                               drawing->view->place->year.tmin_C[d]);
  char *words = word_frost(drawing, share);
  isw_chart_draw_year_head(drawing, y_mm, 0, isw_words_text(ISW_SAY_FROST_ODDS), words);
  g_free(words);
  fill_days(drawing, share, top + height, height);
  isw_chart_set_colour(pen, isw_year_cool, 0.45);
  cairo_fill_preserve(pen->cr);
  isw_chart_set_colour(pen, isw_year_cool, 1);
  cairo_set_line_width(pen->cr, 0.2);
  cairo_stroke(pen->cr);
  isw_chart_draw_year_grid(drawing, top, height);
  char all[ISW_SHARE_SIZE];
  isw_chart_draw_text(pen, &axis_style, drawing->left_mm - 1.2, top + 1.0,
                      isw_words_format_share(1, 1, all));
  isw_chart_draw_text(pen, &axis_style, drawing->left_mm - 1.2, top + height - 0.8, "0");
}

/* What holds a run of days down, in the middle of the longest room it leaves. */
static void draw_limits(struct isw_year_drawing *drawing, const struct isw_year_row *row,
                        double top, double height) {
  struct isw_text style = {.size_mm = 2.3,
                           .ink = isw_year_ink,
                           .halo_mm = 0.35,
                           .across = 0.5,
                           .height = ISW_TEXT_MIDDLE};
  for (int i = 0; i < ISW_YEAR_DAYS;) {
    int first = i, day = day_of(drawing, i);
    int limit = row->limit[day];
    bool good = row->good[day];
    while (i < ISW_YEAR_DAYS && row->limit[day_of(drawing, i)] == limit &&
           row->good[day_of(drawing, i)] == good)
      i++;
    if (good || limit == ISW_LIMIT_NOTHING) continue;
    char *name = isw_words_short_limit(drawing->view->plan->sheet, limit);
    double x = isw_chart_year_x(drawing, first), width = isw_chart_year_x(drawing, i) - x;
    if (isw_chart_measure_text(&drawing->pen, &style, name).width_mm <= width - 0.6)
      isw_chart_draw_text(&drawing->pen, &style, x + width / 2, top + fmin(height / 2, 2.6), name);
    g_free(name);
  }
}

/* "pick of spring and summer", or "" */
static char *word_row(const struct isw_year_drawing *drawing, const struct isw_year_row *row) {
  const struct isw_year_view *view = drawing->view;
  char *names[ISW_SEASONS_MAX], *text = g_strdup("");
  int n = 0;
  for (int c = 0; c < view->n_crops; c++)
    if (view->crops[c].crop.variety == row->variety)
      names[n++] = isw_chart_name_crop_seasons(view, &view->crops[c].crop);
  if (n > 0) {
    char *list = isw_words_list(n, (const char *const *)names);
    g_free(text);
    text = isw_words_say(ISW_SAY_ROW_PICK_OF, list);
    g_free(list);
  }
  for (int i = 0; i < n; i++) g_free(names[i]);
  return text;
}

/* Frames around the picks' windows. */
static void draw_picked_windows(struct isw_year_drawing *drawing, const struct isw_year_row *row,
                                double top, double height) {
  struct isw_pen *pen = &drawing->pen;
  const struct isw_year_view *view = drawing->view;
  cairo_save(pen->cr);
  isw_chart_clip_box(pen, (struct isw_box){drawing->left_mm, top, drawing->width_mm, height});
  for (int c = 0; c < view->n_crops; c++) {
    const struct isw_window *window = &view->crops[c].result->result.window;
    if (view->crops[c].crop.variety != row->variety || window->days == 0) continue;
    for (int turn = 0; turn < 2; turn++) {
      int from = isw_base_days_forward(view->start_day, window->from_day) - turn * ISW_YEAR_DAYS;
      double x = isw_chart_year_x(drawing, from);
      cairo_rectangle(pen->cr, x, top, isw_chart_year_x(drawing, from + window->days) - x, height);
      isw_chart_set_colour(pen, isw_year_window, 0.2);
      cairo_fill_preserve(pen->cr);
      isw_chart_set_colour(pen, isw_year_ink, 1);
      cairo_set_line_width(pen->cr, 0.3);
      cairo_stroke(pen->cr);
    }
  }
  cairo_restore(pen->cr);
}

/* A strip of shades: in how many of ten years a sowing on the day succeeds. */
static void draw_years(struct isw_year_drawing *drawing, const struct isw_year_row *row, double top,
                       double height) {
  struct isw_pen *pen = &drawing->pen;
  for (int i = 0; i < ISW_YEAR_DAYS;) {
    int first = i, shade = isw_survey_years_class(row->years[day_of(drawing, i)]);
    while (i < ISW_YEAR_DAYS && isw_survey_years_class(row->years[day_of(drawing, i)]) == shade)
      i++;
    double x = isw_chart_year_x(drawing, first);
    cairo_rectangle(pen->cr, x, top, isw_chart_year_x(drawing, i) - x, height);
    isw_chart_set_colour(pen, isw_chart_years_shade(shade), 1);
    cairo_fill(pen->cr);
  }
  cairo_rectangle(pen->cr, drawing->left_mm, top, drawing->width_mm, height);
  isw_chart_set_colour(pen, isw_year_pale_ink, 1);
  cairo_set_line_width(pen->cr, 0.16);
  cairo_stroke(pen->cr);
}

void isw_chart_draw_year_row(struct isw_year_drawing *drawing, const struct isw_year_row *row,
                             double y_mm, double height_mm) {
  struct isw_pen *pen = &drawing->pen;
  const struct isw_plan *plan = drawing->view->plan;
  static const double years_mm = 1.7;
  bool counted = plan->conditions.least_years > 0;
  double top = y_mm + ISW_YEAR_ROW_HEAD_MM;
  double height = height_mm - ISW_YEAR_ROW_HEAD_MM - (counted ? years_mm : 0);
  if (counted) draw_years(drawing, row, top + height, years_mm);
  double all[ISW_YEAR_DAYS], good[ISW_YEAR_DAYS], very_good[ISW_YEAR_DAYS];
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    all[d] = row->score_tenths[d] / 1000.0;
    good[d] = row->good[d] ? all[d] : 0;
    very_good[d] = row->score_tenths[d] >= ISW_YEAR_VERY_GOOD_TENTHS ? good[d] : 0;
  }
  char *words = word_row(drawing, row);
  static const double sign_mm = 5, sign_height_mm = 2.4;
  int variety = plan->varieties[row->variety];
  struct isw_fill fill = isw_chart_variety_fill(variety, false); /* as in the year in one line */
  isw_chart_fill_rectangle(pen->cr, &fill, drawing->left_mm, y_mm + 0.8, sign_mm, sign_height_mm);
  isw_chart_draw_year_head(drawing, y_mm, sign_mm + 1.2, plan->sheet->varieties[variety].title,
                           words);
  g_free(words);
  fill_days(drawing, all, top + height, height);
  isw_chart_set_colour(pen, isw_year_not_good, 1);
  cairo_fill(pen->cr);
  fill_days(drawing, good, top + height, height);
  isw_chart_set_colour(pen, isw_year_good, 1);
  cairo_fill(pen->cr);
  fill_days(drawing, very_good, top + height, height);
  isw_chart_set_colour(pen, isw_year_very_good, 1);
  cairo_fill(pen->cr);
  isw_chart_draw_year_grid(drawing, top, height);
  double line = top + height * (1 - plan->conditions.good_score / 100);
  static const double dashes[2] = {1, 0.8};
  cairo_move_to(pen->cr, drawing->left_mm, line);
  cairo_rel_line_to(pen->cr, drawing->width_mm, 0);
  cairo_set_dash(pen->cr, dashes, 2, 0);
  isw_chart_set_colour(pen, isw_year_ink, 0.7);
  cairo_set_line_width(pen->cr, 0.14);
  cairo_stroke(pen->cr);
  cairo_set_dash(pen->cr, NULL, 0, 0);
  draw_picked_windows(drawing, row, top, height);
  draw_limits(drawing, row, top, height);
  char label[32];
  g_snprintf(label, sizeof label, "%.3g", plan->conditions.good_score);
  isw_chart_draw_text(pen, &axis_style, drawing->left_mm - 1.2, line, label);
  isw_chart_draw_text(pen, &axis_style, drawing->left_mm - 1.2, top + height - 0.6, "0");
}

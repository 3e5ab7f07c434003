#include <glib.h>
#include <math.h>

#include "chart/place_year_parts.h"
#include "chart/place_year_words.h"

static const struct isw_text heading_style = {
    .size_mm = 3.1, .bold = true, .ink = {0.08, 0.08, 0.1}};
static const struct isw_text text_style = {.size_mm = 2.6, .ink = {0.15, 0.15, 0.17}};
static const double sign_mm = 7, sign_height_mm = 4;

enum sign {
  SIGN_RIBBON,
  SIGN_WANTS,
  SIGN_SHELTER,
  SIGN_SEEN,
  SIGN_DIES,
  SIGN_WINDOW,
  SIGN_BEST_DAY,
  SIGN_GOOD,
  SIGN_NOT_GOOD
};

static double paragraph(struct isw_year_drawing *drawing, struct isw_text style, double x, double y,
                        double width, const char *text, bool draw) {
  style.wrap_mm = width;
  struct isw_extent extent = draw ? isw_chart_draw_text(&drawing->pen, &style, x, y, text)
                                  : isw_chart_measure_text(&drawing->pen, &style, text);
  return extent.height_mm;
}

static void rectangle(struct isw_pen *pen, struct isw_colour colour, double opacity, double x,
                      double y, double width, double height) {
  cairo_rectangle(pen->cr, x, y, width, height);
  isw_chart_set_colour(pen, colour, opacity);
  cairo_fill(pen->cr);
}

static void line(struct isw_pen *pen, struct isw_colour colour, double width, double x, double y,
                 double length) {
  cairo_move_to(pen->cr, x, y);
  cairo_rel_line_to(pen->cr, length, 0);
  isw_chart_set_colour(pen, colour, 1);
  cairo_set_line_width(pen->cr, width);
  cairo_stroke(pen->cr);
}

static void frame(struct isw_pen *pen, bool dashed, double x, double y, double width,
                  double height) {
  static const double dashes[2] = {0.8, 0.6};
  cairo_rectangle(pen->cr, x, y, width, height);
  if (dashed) cairo_set_dash(pen->cr, dashes, 2, 0);
  isw_chart_set_colour(pen, isw_year_ink, 0.85);
  cairo_set_line_width(pen->cr, 0.2);
  cairo_stroke(pen->cr);
  cairo_set_dash(pen->cr, NULL, 0, 0);
}

static void draw_sign(struct isw_pen *pen, enum sign sign, double x, double y) {
  const double w = sign_mm * pen->scale, h = sign_height_mm * pen->scale;
  switch (sign) {
    case SIGN_RIBBON:
      rectangle(pen, isw_year_ribbon, 1, x, y, w, h);
      line(pen, isw_year_warm, 0.3, x, y, w);
      line(pen, isw_year_cool, 0.3, x, y + h, w);
      break;
    case SIGN_WANTS:
    case SIGN_SHELTER:
      rectangle(pen, isw_year_best, 0.25, x, y, w, h);
      rectangle(pen, isw_year_best, 0.9, x, y + 0.25 * h, w, 0.5 * h);
      frame(pen, sign == SIGN_SHELTER, x, y + 0.25 * h, w, 0.5 * h);
      break;
    case SIGN_SEEN: rectangle(pen, isw_year_felt, 0.82, x, y + 0.25 * h, w, 0.5 * h); break;
    case SIGN_DIES:
      line(pen, isw_year_ink, 0.22, x, y + 0.4 * h, w);
      for (double at = x + 0.5; at < x + w; at += 1.0) {
        cairo_move_to(pen->cr, at, y + 0.4 * h);
        cairo_rel_line_to(pen->cr, -0.5, 0.9);
      }
      cairo_stroke(pen->cr);
      break;
    case SIGN_WINDOW: rectangle(pen, isw_year_window, 1, x, y + 0.2 * h, w, 0.6 * h); break;
    case SIGN_BEST_DAY:
      cairo_move_to(pen->cr, x + w / 2 - 1, y + h / 2 - 1.3);
      cairo_rel_line_to(pen->cr, 2, 0);
      cairo_rel_line_to(pen->cr, -1, 2.6);
      cairo_close_path(pen->cr);
      isw_chart_set_colour(pen, isw_year_best, 1);
      cairo_fill_preserve(pen->cr);
      isw_chart_set_colour(pen, isw_year_ink, 1);
      cairo_set_line_width(pen->cr, 0.18);
      cairo_stroke(pen->cr);
      break;
    case SIGN_GOOD:
      rectangle(pen, isw_year_good, 1, x, y + 0.25 * h, w / 2, 0.75 * h);
      rectangle(pen, isw_year_very_good, 1, x + w / 2, y, w / 2, h);
      break;
    case SIGN_NOT_GOOD: rectangle(pen, isw_year_not_good, 1, x, y + 0.4 * h, w, 0.6 * h); break;
  }
}

static double lay_sign(struct isw_year_drawing *drawing, enum sign sign, double x, double y,
                       double width, const char *text, bool draw) {
  struct isw_pen *pen = &drawing->pen;
  double indent = (sign_mm + 2) * pen->scale, line_height = sign_height_mm * pen->scale;
  double height = paragraph(drawing, text_style, x + indent, y, width - indent, text, false);
  if (draw) {
    double above = fmax(0, (line_height - height) / 2);
    draw_sign(pen, sign, x, y);
    paragraph(drawing, text_style, x + indent, y + above, width - indent, text, true);
  }
  return fmax(height, line_height) + 1.1 * pen->scale;
}

static bool any_shelter(const struct isw_year_view *view) {
  for (int c = 0; c < view->n_crops; c++)
    for (int k = 0; k < view->crops[c].result->sowing.n_stages; k++)
      if (view->crops[c].programme->stages[k].shelter != ISW_OPEN_GROUND) return true;
  return false;
}

static double lay_picks(struct isw_year_drawing *drawing, double x, double y, double width,
                        bool draw) {
  const struct isw_year_view *view = drawing->view;
  double start = y, gap = 1.8 * drawing->pen.scale;
  for (int c = 0; c < view->n_crops; c++) {
    const struct isw_year_crop *crop = &view->crops[c];
    char *seasons = isw_chart_name_crop_seasons(view, &crop->crop);
    char *heading = g_strdup_printf("%s: %s%s", seasons, isw_chart_crop_title(view, &crop->crop),
                                    crop->crop.risky ? ", risky" : "");
    char *words = isw_chart_word_crop(view, crop);
    y += paragraph(drawing, heading_style, x, y, width, heading, draw);
    y += paragraph(drawing, text_style, x, y, width, words, draw);
    if (crop->panel < 0)
      y += paragraph(drawing, text_style, x, y, width, "(no room for its stages here)", draw);
    y += gap;
    g_free(words);
    g_free(heading);
    g_free(seasons);
  }
  for (int s = 0; s < view->plan->n_seasons; s++) {
    char *none = isw_chart_word_no_crop(view, s);
    if (none != NULL) y += paragraph(drawing, text_style, x, y, width, none, draw) + gap;
    g_free(none);
  }
  return y - start;
}

static char *word_seen(const struct isw_year_view *view) {
  double swing = view->plan->sheet->swing;
  if (swing >= 1) return g_strdup("what the stage gets");
  if (!(swing > 0)) return g_strdup("what the stage gets: the mean of the day");
  return g_strdup_printf("what the stage gets: the day's mean with %.0f\u00a0%% of its swing",
                         100 * swing);
}

static char *word_stages(const struct isw_year_view *view) {
  const struct isw_sheet *sheet = view->plan->sheet;
  GString *text = g_string_new("Stages:");
  for (int k = 0; k < sheet->n_stages; k++)
    g_string_append_printf(text, "%s %d\u00a0%s", k > 0 ? "," : "", k + 1,
                           sheet->varieties[0].stages[k].name);
  return g_string_free(text, FALSE);
}

static double lay_signs(struct isw_year_drawing *drawing, double x, double y, double width,
                        bool draw) {
  const struct isw_year_view *view = drawing->view;
  double start = y;
  char *stages = word_stages(view);
  y += paragraph(drawing, text_style, x, y, width, stages, draw) + 1.8 * drawing->pen.scale;
  g_free(stages);
  y += lay_sign(drawing, SIGN_RIBBON, x, y, width, "normal minimum to maximum of the day", draw);
  if (view->n_crops > 0) {
    y += lay_sign(drawing, SIGN_WANTS, x, y, width,
                  "what the stage wants: best in the box, fading to where it stops", draw);
    if (any_shelter(view))
      y += lay_sign(drawing, SIGN_SHELTER, x, y, width, "the same under a shelter", draw);
    char *seen = word_seen(view);
    y += lay_sign(drawing, SIGN_SEEN, x, y, width, seen, draw);
    g_free(seen);
    y += lay_sign(drawing, SIGN_DIES, x, y, width, "the stage freezes below", draw);
    y += lay_sign(drawing, SIGN_WINDOW, x, y, width, "sowing window of the pick", draw);
    y += lay_sign(drawing, SIGN_BEST_DAY, x, y, width, "best day to sow; stages are its", draw);
  }
  char good[96];
  g_snprintf(good, sizeof good, "good day to sow: score %.3g or more; dark: %d or more",
             view->plan->conditions.good_score, ISW_YEAR_VERY_GOOD_TENTHS / 10);
  y += lay_sign(drawing, SIGN_GOOD, x, y, width, good, draw);
  y += lay_sign(drawing, SIGN_NOT_GOOD, x, y, width, "score of other days, and what holds it down",
                draw);
  if (view->n_rows < view->plan->n_varieties) {
    char *more = g_strdup_printf("%d further varieties are not shown.",
                                 view->plan->n_varieties - view->n_rows);
    y += paragraph(drawing, text_style, x, y, width, more, draw);
    g_free(more);
  }
  return y - start;
}

double isw_chart_lay_year_column(struct isw_year_drawing *drawing, double x_mm, double y_mm,
                                 double width_mm, bool draw) {
  double y = y_mm;
  y += lay_picks(drawing, x_mm, y, width_mm, draw);
  y += 1.5 * drawing->pen.scale;
  y += lay_signs(drawing, x_mm, y, width_mm, draw);
  return y - y_mm;
}

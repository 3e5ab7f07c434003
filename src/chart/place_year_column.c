#include <glib.h>
#include <math.h>

#include "chart/place_year_words.h"
#include "chart/year_drawings.h"
#include "words/say.h"

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
  SIGN_NOT_GOOD,
  SIGN_REAL_YEARS,
  SIGN_YEARS
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
    case SIGN_YEARS:
      for (int i = 0; i < ISW_YEARS_CLASSES; i++)
        rectangle(pen, isw_chart_years_shade(i), 1, x + i * w / ISW_YEARS_CLASSES, y + 0.25 * h,
                  w / ISW_YEARS_CLASSES, 0.5 * h);
      frame(pen, false, x, y + 0.25 * h, w, 0.5 * h);
      break;
    case SIGN_REAL_YEARS: isw_chart_draw_record_sign(pen, x, y, w, h); break;
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
  char *types = isw_chart_word_types(view);
  y += paragraph(drawing, heading_style, x, y, width, isw_words_text(ISW_SAY_YEAR_TYPES), draw);
  y += paragraph(drawing, text_style, x, y, width, types, draw) + gap;
  g_free(types);
  for (int c = 0; c < view->n_crops; c++) {
    const struct isw_year_crop *crop = &view->crops[c];
    char *lines[ISW_CROP_LINES_MAX + 1], *heading = isw_chart_word_crop_heading(view, crop);
    y += paragraph(drawing, heading_style, x, y, width, heading, draw);
    g_free(heading);
    isw_chart_word_crop(view, crop, lines);
    for (int i = 0; lines[i] != NULL; i++) {
      y += paragraph(drawing, text_style, x, y, width, lines[i], draw);
      g_free(lines[i]);
    }
    if (crop->panel < 0)
      y += paragraph(drawing, text_style, x, y, width, isw_words_text(ISW_SAY_YEAR_NO_ROOM), draw);
    y += gap;
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
  if (swing >= 1) return g_strdup(isw_words_text(ISW_SAY_SIGN_GETS));
  if (!(swing > 0)) return g_strdup(isw_words_text(ISW_SAY_SIGN_GETS_MEAN));
  char per_cent[16];
  g_snprintf(per_cent, sizeof per_cent, "%.0f", 100 * swing);
  return isw_words_say(ISW_SAY_SIGN_GETS_SWING, per_cent);
}

static char *word_stages(const struct isw_year_view *view) {
  const struct isw_sheet *sheet = view->plan->sheet;
  char *list = NULL;
  for (int k = 0; k < sheet->n_stages; k++) {
    char *stage = g_strdup_printf("%d\u00a0%s", k + 1, sheet->varieties[0].stages[k].title);
    char *longer = list == NULL ? g_strdup(stage) : isw_words_say(ISW_SAY_LIST_MORE, list, stage);
    g_free(stage);
    g_free(list);
    list = longer;
  }
  char *text = isw_words_say(ISW_SAY_SIGN_STAGES, list);
  g_free(list);
  return text;
}

static char *word_good(const struct isw_year_view *view) {
  char good[32], very_good[32];
  g_snprintf(good, sizeof good, "%.3g", view->plan->conditions.good_score);
  g_snprintf(very_good, sizeof very_good, "%d", ISW_YEAR_VERY_GOOD_TENTHS / 10);
  return isw_words_say(ISW_SAY_SIGN_GOOD, good, very_good);
}

static double lay_word_sign(struct isw_year_drawing *drawing, enum sign sign, double x, double y,
                            double width, enum isw_sentence sentence, bool draw) {
  return lay_sign(drawing, sign, x, y, width, isw_words_text(sentence), draw);
}

static double lay_signs(struct isw_year_drawing *drawing, double x, double y, double width,
                        bool draw) {
  const struct isw_year_view *view = drawing->view;
  double start = y;
  char *stages = word_stages(view);
  y += paragraph(drawing, text_style, x, y, width, stages, draw) + 1.8 * drawing->pen.scale;
  g_free(stages);
  y += lay_word_sign(drawing, SIGN_RIBBON, x, y, width, ISW_SAY_SIGN_NORMALS, draw);
  if (view->n_crops > 0) {
    y += lay_word_sign(drawing, SIGN_WANTS, x, y, width, ISW_SAY_SIGN_WANTS, draw);
    if (any_shelter(view))
      y += lay_word_sign(drawing, SIGN_SHELTER, x, y, width, ISW_SAY_SIGN_SHELTER, draw);
    char *seen = word_seen(view);
    y += lay_sign(drawing, SIGN_SEEN, x, y, width, seen, draw);
    g_free(seen);
    y += lay_word_sign(drawing, SIGN_DIES, x, y, width, ISW_SAY_SIGN_FREEZES, draw);
    y += lay_word_sign(drawing, SIGN_WINDOW, x, y, width, ISW_SAY_SIGN_WINDOW, draw);
    y += lay_word_sign(drawing, SIGN_BEST_DAY, x, y, width, ISW_SAY_SIGN_BEST_DAY, draw);
  }
  char *good = word_good(view);
  y += lay_sign(drawing, SIGN_GOOD, x, y, width, good, draw);
  g_free(good);
  y += lay_word_sign(drawing, SIGN_NOT_GOOD, x, y, width, ISW_SAY_SIGN_NOT_GOOD, draw);
  if (view->plan->conditions.least_years > 0)
    y += lay_word_sign(drawing, SIGN_YEARS, x, y, width, ISW_SAY_SIGN_YEARS, draw);
  if (isw_chart_year_record_mm(view) > 0) {
    const char *makes = view->plan->sheet->chilling_makes;
    char *years = isw_words_say(ISW_SAY_SIGN_REAL_YEARS,
                                makes != NULL ? makes : isw_words_text(ISW_SAY_BOLTING));
    y += lay_sign(drawing, SIGN_REAL_YEARS, x, y, width, years, draw);
    g_free(years);
  }
  if (view->n_rows < view->plan->n_varieties) {
    char *more = isw_words_count(ISW_SAY_MORE_VARIETIES, view->plan->n_varieties - view->n_rows);
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

#include "guide/print_page.h"

#include <cairo-pdf.h>
#include <glib.h>
#include <math.h>

static const double points_per_mm = 72.0 / 25.4;
static const double least_width_mm = 210.0, least_height_mm = 279.4; /* of A4, of Letter */
static const double top_mm = 16.0, under_text_mm = 20.0, under_foot_mm = 13.0;
const double isw_guide_print_width_mm = 178.0;
static const double gap_mm = 1.8, usual_pad_mm = 1.2, usual_cell_mm = 2.65;
static const double note_line_mm = 9.0, notes_least_mm = 40.0;

static const struct {
  struct isw_text text;
  double before_mm, keep_mm; /* room above; room wanted below on the same page */
} styles[] = {
    [ISW_PRINT_TITLE] = {{.size_mm = 7.2, .bold = true, .ink = {0.04, 0.35, 0.26}}, 0.0, 40.0},
    [ISW_PRINT_SUBTITLE] = {{.size_mm = 5.2, .bold = true, .ink = {0.1, 0.12, 0.14}}, 0.0, 30.0},
    [ISW_PRINT_HEADING] = {{.size_mm = 5.2, .bold = true, .ink = {0.04, 0.35, 0.26}}, 3.0, 30.0},
    [ISW_PRINT_SUBHEADING] = {{.size_mm = 3.6, .bold = true, .ink = {0.1, 0.12, 0.14}}, 2.5, 20.0},
    [ISW_PRINT_LEAD] = {{.size_mm = 3.5, .ink = {0.25, 0.28, 0.31}}, 0.0, 0.0},
    [ISW_PRINT_BODY] = {{.size_mm = 3.2, .ink = {0.1, 0.12, 0.14}}, 0.0, 0.0},
    [ISW_PRINT_SMALL] = {{.size_mm = 2.6, .ink = {0.25, 0.28, 0.31}}, 0.0, 0.0},
};
static const struct isw_colour cell_ink = {0.1, 0.12, 0.14};

/* Titles and headings are the file's bookmarks. (No structure tags: cairo 1.16 puts only the first
 * line of a wrapped paragraph inside them, which is worse than none.) */
static void add_bookmark(struct isw_print *print, enum isw_print_style style, const char *text) {
  if (print->endless || (style != ISW_PRINT_TITLE && style != ISW_PRINT_HEADING)) return;
  char target[64];
  g_snprintf(target, sizeof target, "page=%d pos=[0 0]", print->page);
  cairo_pdf_surface_add_outline(print->surface, CAIRO_PDF_OUTLINE_ROOT, text, target,
                                (cairo_pdf_outline_flags_t)0);
}

static void begin_page(struct isw_print *print) {
  print->page++;
  print->y_mm = top_mm;
}

static void draw_foot(struct isw_print *print) {
  struct isw_text style = styles[ISW_PRINT_SMALL].text;
  char number[16];
  g_snprintf(number, sizeof number, "%d", print->page);
  style.wrap_mm = isw_guide_print_width_mm - 14.0;
  isw_chart_draw_text(&print->pen, &style, print->left_mm, print->foot_mm, print->foot);
  style.wrap_mm = 0.0;
  style.across = 1.0;
  isw_chart_draw_text(&print->pen, &style, print->left_mm + isw_guide_print_width_mm,
                      print->foot_mm, number);
}

static void describe_file(cairo_surface_t *surface, const struct isw_print_paper *paper) {
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, paper->title);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, paper->subject);
  if (paper->author != NULL)
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_AUTHOR, paper->author);
  cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "isosow " ISOSOW_VERSION);
  GDateTime *time = g_date_time_new_from_unix_utc(paper->now);
  char *stamp = time != NULL ? g_date_time_format(time, "%Y-%m-%dT%H:%M:%SZ") : NULL;
  if (stamp != NULL) cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, stamp);
  g_free(stamp);
  if (time != NULL) g_date_time_unref(time);
}

enum isw_status isw_guide_open_print(const char *path, const struct isw_print_paper *paper,
                                     const char *foot, struct isw_print *print,
                                     struct isw_error *error) {
  double width_mm = fmin(paper->width_mm, paper->height_mm);
  double height_mm = fmax(paper->width_mm, paper->height_mm);
  double scale = fmin(width_mm / least_width_mm, height_mm / least_height_mm);
  *print = (struct isw_print){.foot = foot,
                              .shrink = 1.0,
                              .left_mm = (width_mm / scale - isw_guide_print_width_mm) / 2.0,
                              .bottom_mm = height_mm / scale - under_text_mm,
                              .foot_mm = height_mm / scale - under_foot_mm};
  print->surface =
      cairo_pdf_surface_create(path, width_mm * points_per_mm, height_mm * points_per_mm);
  describe_file(print->surface, paper);
  print->cr = cairo_create(print->surface);
  if (cairo_status(print->cr) != CAIRO_STATUS_SUCCESS)
    return isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path,
                         cairo_status_to_string(cairo_status(print->cr)));
  cairo_scale(print->cr, scale * points_per_mm, scale * points_per_mm);
  isw_chart_init_pen(&print->pen, print->cr, 1.0);
  begin_page(print);
  return ISW_OK;
}

enum isw_status isw_guide_close_print(struct isw_print *print, const char *path,
                                      struct isw_error *error) {
  if (print->pen.layout != NULL) {
    draw_foot(print);
    cairo_show_page(print->cr);
    isw_chart_clear_pen(&print->pen);
  }
  cairo_destroy(print->cr);
  cairo_surface_finish(print->surface);
  cairo_status_t answer = cairo_surface_status(print->surface);
  cairo_surface_destroy(print->surface);
  if (answer == CAIRO_STATUS_SUCCESS) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT,
                       "%s: cannot be written completely (%s); is the disk full?", path,
                       cairo_status_to_string(answer));
}

void isw_guide_next_page(struct isw_print *print) {
  draw_foot(print);
  cairo_show_page(print->cr);
  begin_page(print);
}

double isw_guide_room_left(const struct isw_print *print) {
  return print->endless ? HUGE_VAL : print->bottom_mm - print->y_mm;
}

void isw_guide_shrink_page(struct isw_print *print, double share) {
  double middle_mm = print->left_mm + isw_guide_print_width_mm / 2.0;
  double turn = share / print->shrink;
  cairo_translate(print->cr, middle_mm, top_mm);
  cairo_scale(print->cr, turn, turn);
  cairo_translate(print->cr, -middle_mm, -top_mm);
  print->bottom_mm = top_mm + (print->bottom_mm - top_mm) / turn;
  print->y_mm = top_mm + (print->y_mm - top_mm) / turn;
  print->shrink = share;
}

void isw_guide_need_room(struct isw_print *print, double height_mm) {
  if (isw_guide_room_left(print) < height_mm && print->y_mm > top_mm) isw_guide_next_page(print);
}

double isw_guide_measure_print(const struct isw_print *print, isw_print_draw *draw,
                               const void *self) {
  struct isw_print dry = *print;
  dry.surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
  dry.cr = cairo_create(dry.surface);
  cairo_scale(dry.cr, points_per_mm, points_per_mm);
  isw_chart_init_pen(&dry.pen, dry.cr, print->pen.scale);
  dry.endless = true;
  draw(&dry, self);
  isw_chart_clear_pen(&dry.pen);
  cairo_destroy(dry.cr);
  cairo_surface_destroy(dry.surface);
  return dry.y_mm - print->y_mm;
}

void isw_guide_print_whole(struct isw_print *print, isw_print_draw *draw, const void *self) {
  isw_guide_need_room(print, isw_guide_measure_print(print, draw, self));
  draw(print, self);
}

void isw_guide_print_notes(struct isw_print *print, const char *heading) {
  if (isw_guide_room_left(print) < notes_least_mm) return;
  isw_guide_print_text(print, ISW_PRINT_HEADING, heading);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.65, 0.68, 0.71);
  for (double y = print->y_mm + note_line_mm; y <= print->bottom_mm; y += note_line_mm) {
    cairo_move_to(print->cr, print->left_mm, y);
    cairo_rel_line_to(print->cr, isw_guide_print_width_mm, 0.0);
    cairo_stroke(print->cr);
  }
  print->y_mm = print->bottom_mm;
}

static void print_at(struct isw_print *print, enum isw_print_style kind, double indent_mm,
                     const char *sign, const char *text) {
  struct isw_text style = styles[kind].text;
  style.wrap_mm = isw_guide_print_width_mm - indent_mm - print->taken_mm;
  double height = isw_chart_measure_text(&print->pen, &style, text).height_mm;
  double before = print->y_mm > top_mm ? styles[kind].before_mm : 0.0;
  isw_guide_need_room(print, before + height + styles[kind].keep_mm);
  if (print->y_mm > top_mm) print->y_mm += before;
  add_bookmark(print, kind, text);
  if (sign != NULL)
    isw_chart_draw_text(&print->pen, &styles[kind].text, print->left_mm, print->y_mm, sign);
  isw_chart_draw_text(&print->pen, &style, print->left_mm + indent_mm, print->y_mm, text);
  print->y_mm += height + gap_mm;
}

void isw_guide_print_text(struct isw_print *print, enum isw_print_style style, const char *text) {
  print_at(print, style, 0.0, NULL, text);
}

void isw_guide_print_beside(struct isw_print *print, enum isw_print_style style, double x_mm,
                            double width_mm, const char *text) {
  struct isw_text drawn = styles[style].text;
  drawn.wrap_mm = width_mm;
  isw_chart_draw_text(&print->pen, &drawn, x_mm, print->y_mm, text);
}

void isw_guide_print_item(struct isw_print *print, enum isw_print_style style, const char *text) {
  print_at(print, style, 4.0, "•", text);
}

static double table_pad(const struct isw_print_table *table) {
  return table->pad_mm > 0.0 ? table->pad_mm : usual_pad_mm;
}

static double lay_row(struct isw_print *print, const struct isw_print_table *table, bool bold,
                      const char *const *texts, bool draw) {
  double x = print->left_mm, tallest = 0.0, pad = table_pad(table);
  for (int i = 0; i < table->n; i++) {
    struct isw_text style = {.size_mm = table->size_mm > 0.0 ? table->size_mm : usual_cell_mm,
                             .bold = bold,
                             .ink = cell_ink,
                             .wrap_mm = table->width_mm[i] - 2.0 * usual_pad_mm};
    struct isw_extent extent = draw ? isw_chart_draw_text(&print->pen, &style, x + usual_pad_mm,
                                                          print->y_mm + pad, texts[i])
                                    : isw_chart_measure_text(&print->pen, &style, texts[i]);
    tallest = MAX(tallest, extent.height_mm);
    x += table->width_mm[i];
  }
  return tallest + 2.0 * pad;
}

static double table_width(const struct isw_print_table *table) {
  double sum = 0.0;
  for (int i = 0; i < table->n; i++) sum += table->width_mm[i];
  return sum;
}

void isw_guide_print_head(struct isw_print *print, const struct isw_print_table *table) {
  double height = lay_row(print, table, true, table->heads, false);
  isw_guide_need_room(print, 3.0 * height);
  cairo_rectangle(print->cr, print->left_mm, print->y_mm, table_width(table), height);
  cairo_set_source_rgb(print->cr, 0.92, 0.95, 0.93);
  cairo_fill(print->cr);
  lay_row(print, table, true, table->heads, true);
  print->y_mm += height;
}

double isw_guide_row_height(struct isw_print *print, const struct isw_print_table *table,
                            const char *const *texts) {
  return lay_row(print, table, false, texts, false);
}

void isw_guide_print_row(struct isw_print *print, const struct isw_print_table *table,
                         const char *const *texts) {
  double height = isw_guide_row_height(print, table, texts);
  if (isw_guide_room_left(print) < height) {
    isw_guide_next_page(print);
    isw_guide_print_head(print, table);
  }
  lay_row(print, table, false, texts, true);
  print->y_mm += height;
  cairo_move_to(print->cr, print->left_mm, print->y_mm);
  cairo_rel_line_to(print->cr, table_width(table), 0.0);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.65, 0.68, 0.71);
  cairo_stroke(print->cr);
}

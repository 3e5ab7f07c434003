#include "guide/print_page.h"

#include <cairo-pdf.h>
#include <glib.h>
#include <math.h>

#include "guide/print_file.h"
#include "words/say.h"

static const double points_per_mm = 72.0 / 25.4;
static const double least_width_mm = 210.0, least_height_mm = 279.4; /* of A4, of Letter */
static const double usual_top_mm = 16.0, under_text_mm = 20.0, under_foot_mm = 13.0;
const double isw_guide_table_width_mm = 178.0;
static const double usual_width_mm = 178.0;
static const double gap_mm = 1.8, usual_pad_mm = 1.2, usual_cell_mm = 2.65;
static const double group_scale = 1.12; /* letters of a group's line against those of its rows */
static const double note_line_mm = 9.0, notes_least_mm = 40.0;

static const struct {
  struct isw_text text;
  double before_mm, keep_mm; /* room above; room wanted below on the same page */
  const char *tag;           /* in the file's structure */
} styles[] = {
    [ISW_PRINT_TITLE] = {{.size_mm = 7.2, .bold = true, .ink = {0.04, 0.35, 0.26}},
                         0.0,
                         40.0,
                         "H1"},
    [ISW_PRINT_SUBTITLE] = {{.size_mm = 5.2, .bold = true, .ink = {0.1, 0.12, 0.14}},
                            0.0,
                            30.0,
                            "P"},
    [ISW_PRINT_HEADING] = {{.size_mm = 5.2, .bold = true, .ink = {0.04, 0.35, 0.26}},
                           3.0,
                           30.0,
                           "H2"},
    [ISW_PRINT_PLACE] = {{.size_mm = 4.4, .bold = true, .ink = {0.04, 0.35, 0.26}},
                         3.0,
                         30.0,
                         "H3"},
    [ISW_PRINT_STRONG] = {{.size_mm = 3.6, .bold = true, .ink = {0.1, 0.12, 0.14}}, 0.0, 0.0, "P"},
    [ISW_PRINT_SUBHEADING] = {{.size_mm = 3.6, .bold = true, .ink = {0.1, 0.12, 0.14}},
                              2.5,
                              20.0,
                              "H3"},
    [ISW_PRINT_LEAD] = {{.size_mm = 3.5, .ink = {0.25, 0.28, 0.31}}, 0.0, 0.0, "P"},
    [ISW_PRINT_BODY] = {{.size_mm = 3.2, .ink = {0.1, 0.12, 0.14}}, 0.0, 0.0, "P"},
    [ISW_PRINT_SMALL] = {{.size_mm = 2.6, .ink = {0.25, 0.28, 0.31}}, 0.0, 0.0, "P"},
};
static const struct isw_colour cell_ink = {0.1, 0.12, 0.14};

/* Titles and headings are the file's bookmarks, places below the last of them. */
static void add_bookmark(struct isw_print *print, enum isw_print_style style, const char *text) {
  bool below = style == ISW_PRINT_PLACE;
  if (print->endless || (!below && style != ISW_PRINT_TITLE && style != ISW_PRINT_HEADING)) return;
  char target[64];
  g_snprintf(target, sizeof target, "page=%d pos=[0 0]", print->page);
  int id = cairo_pdf_surface_add_outline(
      print->surface, below ? print->bookmark : CAIRO_PDF_OUTLINE_ROOT, text, target,
      below ? (cairo_pdf_outline_flags_t)0 : CAIRO_PDF_OUTLINE_FLAG_OPEN);
  if (!below) print->bookmark = id;
}

static void begin_page(struct isw_print *print) {
  print->page++;
  print->y_mm = print->top_mm;
}

/* Outside the structure: it is no part of the text. */
static void draw_foot(struct isw_print *print) {
  isw_guide_leave_part(&print->structure);
  bool spans = print->pen.spans;
  print->pen.spans = false;
  struct isw_text style = styles[ISW_PRINT_SMALL].text;
  char number[16];
  g_snprintf(number, sizeof number, "%d", print->page);
  style.wrap_mm = print->width_mm - 14.0;
  isw_chart_draw_text(&print->pen, &style, print->left_mm, print->foot_mm, print->foot);
  style.wrap_mm = 0.0;
  style.across = 1.0;
  isw_chart_draw_text(&print->pen, &style, print->left_mm + print->width_mm, print->foot_mm,
                      number);
  print->pen.spans = spans;
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
                              .scale = scale,
                              .shrink = 1.0,
                              .top_mm = usual_top_mm,
                              .left_mm = (width_mm / scale - usual_width_mm) / 2.0,
                              .width_mm = usual_width_mm,
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
  print->pen.spans = print->pen.unjoined = true;
  isw_guide_begin_structure(&print->structure, print->cr);
  begin_page(print);
  return ISW_OK;
}

enum isw_status isw_guide_close_print(struct isw_print *print, const char *path,
                                      struct isw_error *error) {
  if (print->pen.layout != NULL) {
    draw_foot(print);
    isw_guide_end_structure(&print->structure);
    cairo_show_page(print->cr);
    isw_chart_clear_pen(&print->pen);
  }
  cairo_destroy(print->cr);
  cairo_surface_finish(print->surface);
  cairo_status_t answer = cairo_surface_status(print->surface);
  cairo_surface_destroy(print->surface);
  enum isw_status status =
      answer == CAIRO_STATUS_SUCCESS
          ? isw_guide_complete_pdf(path, isw_words_text(ISW_SAY_LANGUAGE),
                                   print->structure.alternatives, error)
          : isw_base_fail(error, ISW_OUTPUT,
                          "%s: cannot be written completely (%s); is the disk full?", path,
                          cairo_status_to_string(answer));
  isw_guide_clear_structure(&print->structure);
  return status;
}

void isw_guide_next_page(struct isw_print *print) {
  draw_foot(print);
  cairo_show_page(print->cr);
  begin_page(print);
}

double isw_guide_room_left(const struct isw_print *print) {
  return print->endless ? HUGE_VAL : print->bottom_mm - print->y_mm;
}

/* The page's measures in units of a size drawn at this share; the foot's stay. */
static void set_share(struct isw_print *print, double share) {
  double turn = print->shrink / share;
  print->top_mm *= turn;
  print->left_mm *= turn;
  print->width_mm *= turn;
  print->bottom_mm *= turn;
  print->y_mm *= turn;
  print->shrink = share;
}

static void shrink_page(struct isw_print *print, double share) {
  cairo_scale(print->cr, share / print->shrink, share / print->shrink);
  set_share(print, share);
}

void isw_guide_shrink_to_fit(struct isw_print *print, isw_print_draw *draw, const void *self) {
  static const double least = 0.5, fine = 0.005;
  double small = least, large = 1.0;
  for (double share = large; large - small > fine; share = (small + large) / 2.0) {
    struct isw_print tried = *print;
    set_share(&tried, share);
    bool fits = isw_guide_measure_print(&tried, draw, self) <= isw_guide_room_left(&tried);
    if (fits && share == 1.0) return;
    *(fits ? &small : &large) = share;
  }
  shrink_page(print, small);
}

void isw_guide_unshrink(struct isw_print *print) {
  shrink_page(print, 1.0);
}

bool isw_guide_page_begun(const struct isw_print *print) {
  return print->y_mm > print->top_mm;
}

double isw_guide_print_true_mm(const struct isw_print *print, double paper_mm) {
  return paper_mm / (print->scale * print->shrink);
}

void isw_guide_need_room(struct isw_print *print, double height_mm) {
  if (isw_guide_room_left(print) < height_mm && isw_guide_page_begun(print))
    isw_guide_next_page(print);
}

double isw_guide_measure_print(const struct isw_print *print, isw_print_draw *draw,
                               const void *self) {
  struct isw_print dry = *print;
  dry.surface = cairo_recording_surface_create(CAIRO_CONTENT_COLOR, NULL);
  dry.cr = cairo_create(dry.surface);
  cairo_scale(dry.cr, points_per_mm, points_per_mm);
  isw_chart_init_pen(&dry.pen, dry.cr, print->pen.scale);
  dry.pen.unjoined = print->pen.unjoined;
  dry.endless = true;
  dry.structure = (struct isw_structure){.cr = NULL};
  draw(&dry, self);
  isw_chart_clear_pen(&dry.pen);
  cairo_destroy(dry.cr);
  cairo_surface_destroy(dry.surface);
  return dry.y_mm - print->y_mm;
}

void isw_guide_print_whole(struct isw_print *print, isw_print_draw *draw, const void *self) {
  double height_mm = isw_guide_measure_print(print, draw, self);
  if (height_mm <= print->bottom_mm - print->top_mm) isw_guide_need_room(print, height_mm);
  draw(print, self);
}

void isw_guide_print_notes(struct isw_print *print, const char *heading) {
  if (isw_guide_room_left(print) < notes_least_mm || !isw_guide_page_begun(print)) return;
  isw_guide_print_text(print, ISW_PRINT_HEADING, heading);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.65, 0.68, 0.71);
  for (double y = print->y_mm + note_line_mm; y <= print->bottom_mm; y += note_line_mm) {
    cairo_move_to(print->cr, print->left_mm, y);
    cairo_rel_line_to(print->cr, print->width_mm, 0.0);
    cairo_stroke(print->cr);
  }
  print->y_mm = print->bottom_mm;
}

static void print_at(struct isw_print *print, enum isw_print_style kind, double indent_mm,
                     const char *sign, const char *text) {
  struct isw_text style = styles[kind].text;
  style.wrap_mm = print->width_mm - indent_mm - print->taken_mm;
  double height = isw_chart_measure_text(&print->pen, &style, text).height_mm;
  double before = isw_guide_page_begun(print) ? styles[kind].before_mm : 0.0;
  isw_guide_need_room(print, before + height + styles[kind].keep_mm);
  if (isw_guide_page_begun(print)) print->y_mm += before;
  add_bookmark(print, kind, text);
  struct isw_structure *structure = &print->structure;
  isw_guide_enter_part(structure, sign != NULL ? ISW_PART_LIST : ISW_PART_NONE);
  if (sign != NULL) {
    isw_guide_begin_tag(structure, "LI");
    isw_guide_begin_tag(structure, "Lbl");
    isw_chart_draw_text(&print->pen, &styles[kind].text, print->left_mm, print->y_mm, sign);
    isw_guide_end_tag(structure, "Lbl");
  }
  const char *tag = sign != NULL ? "LBody" : styles[kind].tag;
  isw_guide_begin_tag(structure, tag);
  isw_chart_draw_text(&print->pen, &style, print->left_mm + indent_mm, print->y_mm, text);
  isw_guide_end_tag(structure, tag);
  if (sign != NULL) isw_guide_end_tag(structure, "LI");
  print->y_mm += height + gap_mm;
}

void isw_guide_print_text(struct isw_print *print, enum isw_print_style style, const char *text) {
  print_at(print, style, 0.0, NULL, text);
}

double isw_guide_print_beside(struct isw_print *print, enum isw_print_style style, double x_mm,
                              double width_mm, const char *text) {
  struct isw_text drawn = styles[style].text;
  drawn.wrap_mm = width_mm;
  isw_guide_leave_part(&print->structure);
  isw_guide_begin_tag(&print->structure, styles[style].tag);
  const double height_mm =
      isw_chart_draw_text(&print->pen, &drawn, x_mm, print->y_mm, text).height_mm;
  isw_guide_end_tag(&print->structure, styles[style].tag);
  return height_mm;
}

void isw_guide_print_item(struct isw_print *print, enum isw_print_style style, const char *text) {
  print_at(print, style, 4.0, "•", text);
}

static double table_pad(const struct isw_print_table *table) {
  return table->pad_mm > 0.0 ? table->pad_mm : usual_pad_mm;
}

static double column_mm(const struct isw_print *print, double width_mm) {
  return width_mm * print->width_mm / isw_guide_table_width_mm;
}

static struct isw_text cell_style(const struct isw_print_table *table, bool bold) {
  return (struct isw_text){.size_mm = table->size_mm > 0.0 ? table->size_mm : usual_cell_mm,
                           .bold = bold,
                           .ink = cell_ink};
}

/* Height of the row; drawn with this tag around each cell, or only measured where that is NULL. */
static double lay_row(struct isw_print *print, const struct isw_print_table *table, bool bold,
                      const char *const *texts, const char *tag) {
  double x = print->left_mm, tallest = 0.0, pad = table_pad(table);
  if (tag != NULL) {
    isw_guide_enter_part(&print->structure, ISW_PART_TABLE);
    isw_guide_begin_tag(&print->structure, "TR");
  }
  for (int i = 0; i < table->n; i++) {
    struct isw_text style = cell_style(table, bold);
    style.wrap_mm = column_mm(print, table->width_mm[i]) - 2.0 * usual_pad_mm;
    struct isw_extent extent;
    if (tag == NULL) {
      extent = isw_chart_measure_text(&print->pen, &style, texts[i]);
    } else {
      isw_guide_begin_tag(&print->structure, tag);
      extent =
          isw_chart_draw_text(&print->pen, &style, x + usual_pad_mm, print->y_mm + pad, texts[i]);
      isw_guide_end_tag(&print->structure, tag);
    }
    tallest = MAX(tallest, extent.height_mm);
    x += column_mm(print, table->width_mm[i]);
  }
  if (tag != NULL) isw_guide_end_tag(&print->structure, "TR");
  return tallest + 2.0 * pad;
}

static double table_width(const struct isw_print *print, const struct isw_print_table *table) {
  double sum = 0.0;
  for (int i = 0; i < table->n; i++) sum += column_mm(print, table->width_mm[i]);
  return sum;
}

void isw_guide_print_head(struct isw_print *print, const struct isw_print_table *table) {
  double height = lay_row(print, table, true, table->heads, NULL);
  isw_guide_need_room(print, 3.0 * height);
  isw_guide_leave_part(&print->structure);
  cairo_rectangle(print->cr, print->left_mm, print->y_mm, table_width(print, table), height);
  cairo_set_source_rgb(print->cr, 0.92, 0.95, 0.93);
  cairo_fill(print->cr);
  lay_row(print, table, true, table->heads, "TH");
  print->y_mm += height;
}

static void draw_group(struct isw_print *print, const struct isw_print_table *table) {
  struct isw_text style = cell_style(table, true);
  style.size_mm *= group_scale;
  style.wrap_mm = table_width(print, table) - 2.0 * usual_pad_mm;
  isw_guide_enter_part(&print->structure, ISW_PART_TABLE);
  isw_guide_begin_tag(&print->structure, "TR");
  isw_guide_begin_tag(&print->structure, "TH");
  struct isw_extent extent =
      isw_chart_draw_text(&print->pen, &style, print->left_mm + usual_pad_mm,
                          print->y_mm + usual_pad_mm + table_pad(table), table->group);
  isw_guide_end_tag(&print->structure, "TH");
  isw_guide_end_tag(&print->structure, "TR");
  print->y_mm += extent.height_mm + usual_pad_mm + 2.0 * table_pad(table);
}

void isw_guide_print_group(struct isw_print *print, struct isw_print_table *table, const char *text,
                           double need_mm) {
  table->group = NULL;
  struct isw_text style = cell_style(table, true);
  style.size_mm *= group_scale;
  style.wrap_mm = table_width(print, table) - 2.0 * usual_pad_mm;
  double height_mm = isw_chart_measure_text(&print->pen, &style, text).height_mm + usual_pad_mm +
                     2.0 * table_pad(table);
  if (isw_guide_room_left(print) < height_mm + need_mm) {
    isw_guide_next_page(print);
    isw_guide_print_head(print, table);
  }
  table->group = text;
  draw_group(print, table);
}

double isw_guide_row_height(struct isw_print *print, const struct isw_print_table *table,
                            const char *const *texts) {
  return lay_row(print, table, false, texts, NULL);
}

void isw_guide_print_row(struct isw_print *print, const struct isw_print_table *table,
                         const char *const *texts) {
  double height = isw_guide_row_height(print, table, texts);
  if (isw_guide_room_left(print) < height) {
    isw_guide_next_page(print);
    isw_guide_print_head(print, table);
    if (table->group != NULL) draw_group(print, table);
  }
  lay_row(print, table, false, texts, "TD");
  print->y_mm += height;
  cairo_move_to(print->cr, print->left_mm, print->y_mm);
  cairo_rel_line_to(print->cr, table_width(print, table), 0.0);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.65, 0.68, 0.71);
  cairo_stroke(print->cr);
}

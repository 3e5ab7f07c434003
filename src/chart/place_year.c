/* DESIGN: the page is drawn the same way on every kind of surface. PDF and SVG are gathered in
 * memory, so that one write and one close say whether the disk took them; a file takes its name
 * only when it is whole. */
#include "chart/place_year.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <errno.h>
#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "chart/map_layout.h"
#include "chart/place_year_words.h"
#include "chart/png_file.h"
#include "chart/year_drawings.h"
#include "output/whole_file.h"
#include "words/say.h"

static const double page_width = 297, page_height = 210, margin = 9, dpi = 300;
static const double points_per_mm = 72 / 25.4;
static const double axis_room = 11, column_width = 62, column_gap = 5;
static const double gap = 1.4;

enum kind { KIND_PNG, KIND_PDF, KIND_SVG, KINDS };
static const char *const endings[KINDS] = {".png", ".pdf", ".svg"};

static int find_kind(const char *path) {
  size_t length = strlen(path);
  for (int k = 0; k < KINDS; k++)
    if (length > 4 && g_ascii_strcasecmp(path + length - 4, endings[k]) == 0) return k;
  return -1;
}

enum isw_status isw_chart_check_year_path(const char *path, struct isw_error *error) {
  if (find_kind(path) >= 0) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE, "%s: a chart's file name ends in .png, .pdf or .svg",
                       path);
}

/* Title lines; returns where they end. */
static double draw_title(struct isw_pen *pen, const struct isw_year_words *words) {
  struct isw_text title = {.size_mm = 6.2, .bold = true, .ink = isw_year_ink};
  struct isw_text subtitle = {.size_mm = 3.1, .ink = {0.25, 0.25, 0.28}};
  double width = page_width - 2 * margin, y = margin;
  double wanted = isw_chart_measure_text(pen, &title, words->title).width_mm;
  if (wanted > width) title.size_mm *= fmax(width / wanted, 0.6) * 0.995;
  title.wrap_mm = subtitle.wrap_mm = width;
  title.shorten = true;
  y += isw_chart_draw_text(pen, &title, margin, y, words->title).height_mm + 0.3;
  return y + isw_chart_draw_text(pen, &subtitle, margin, y, words->subtitle).height_mm;
}

/* Caution, source and software, from the page's lower edge up; returns where they start. */
static double draw_foot(struct isw_pen *pen, const struct isw_year_words *words,
                        const char *software) {
  struct isw_text caution = {.size_mm = 2.5, .ink = {0.15, 0.15, 0.17}};
  struct isw_text source = {.size_mm = 2.2, .ink = {0.35, 0.35, 0.38}};
  caution.wrap_mm = page_width - 2 * margin;
  struct isw_text right = source;
  right.across = 1;
  double room = caution.wrap_mm;
  if (software != NULL) room -= isw_chart_measure_text(pen, &right, software).width_mm + 6;
  source.wrap_mm = room;
  double source_y =
      page_height - 0.8 * margin - isw_chart_measure_text(pen, &source, words->source).height_mm;
  double caution_y =
      source_y - 0.5 -
      isw_chart_measure_text(pen, &caution, isw_words_text(ISW_SAY_MAP_CAUTION)).height_mm;
  isw_chart_draw_text(pen, &caution, margin, caution_y, isw_words_text(ISW_SAY_MAP_CAUTION));
  isw_chart_draw_text(pen, &source, margin, source_y, words->source);
  if (software != NULL) isw_chart_draw_text(pen, &right, page_width - margin, source_y, software);
  return caution_y;
}

static void draw_column(struct isw_year_drawing *drawing, double top, double bottom) {
  double x = page_width - margin - column_width;
  /* Many seasons and long names get smaller text rather than none. */
  while (drawing->pen.scale > 0.5 &&
         isw_chart_lay_year_column(drawing, x, top, column_width, false) > bottom - top)
    drawing->pen.scale *= 0.96;
  isw_chart_lay_year_column(drawing, x, top, column_width, true);
  drawing->pen.scale = 1;
}

static void draw_page(struct isw_year_drawing *drawing, const struct isw_year_words *words,
                      const char *software) {
  const struct isw_year_view *view = drawing->view;
  double top = draw_title(&drawing->pen, words) + 2.5;
  double bottom = draw_foot(&drawing->pen, words, software) - 2;
  drawing->left_mm = margin + axis_room;
  drawing->width_mm = page_width - 2 * margin - axis_room - column_gap - column_width;
  draw_column(drawing, top, bottom);
  isw_chart_draw_year_types(drawing, top);
  top += ISW_YEAR_TYPES_MM + gap;
  const double record = isw_chart_year_record_mm(view);
  double room = bottom - top - 2 * ISW_YEAR_MONTHS_MM - ISW_YEAR_SEASONS_MM - record;
  /* Temperatures first: rows give way to panels. */
  double row_most = view->n_panels < 3 ? 9 : 6.5;
  double row = ISW_YEAR_ROW_HEAD_MM +
               CLAMP(0.42 * room / view->n_rows - ISW_YEAR_ROW_HEAD_MM - gap, 4, row_most);
  double frost = ISW_YEAR_ROW_HEAD_MM + 7;
  double panel = (room - frost - gap - (row + gap) * view->n_rows) / view->n_panels - gap;
  double y = top;
  for (int p = 0; p < view->n_panels; p++, y += panel + gap)
    isw_chart_draw_year_panel(drawing, p, y, panel);
  isw_chart_draw_year_months(drawing, y - gap);
  y += ISW_YEAR_MONTHS_MM - gap;
  isw_chart_draw_year_frost(drawing, y, frost);
  y += frost + gap;
  isw_chart_draw_year_seasons(drawing, y);
  y += ISW_YEAR_SEASONS_MM;
  for (int r = 0; r < view->n_rows; r++, y += row + gap)
    isw_chart_draw_year_row(drawing, &view->rows[r], y, row);
  isw_chart_draw_year_months(drawing, y - gap);
  if (record > 0) isw_chart_draw_year_record(drawing, y - gap + ISW_YEAR_MONTHS_MM);
}

static void draw_all(cairo_t *cr, const struct isw_year_view *view, bool fahrenheit,
                     const struct isw_year_words *words, const char *software) {
  struct isw_year_drawing drawing = {.view = view, .fahrenheit = fahrenheit};
  isw_chart_init_pen(&drawing.pen, cr, 1);
  draw_page(&drawing, words, software);
  isw_chart_clear_pen(&drawing.pen);
}

static enum isw_status write_bytes(const GByteArray *bytes, FILE *file, const char *path,
                                   struct isw_error *error) {
  errno = 0;
  if (fwrite(bytes->data, 1, bytes->len, file) == bytes->len) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT, "cannot write %s: %s; is the disk full?", path,
                       g_strerror(errno));
}

static cairo_status_t gather(void *closure, const unsigned char *data, unsigned int length) {
  g_byte_array_append(closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

/* Cairo's SVG says nothing of itself: title and description go in as its first children. */
static void describe_svg(GByteArray *bytes, const struct isw_year_words *words) {
  const char *text = (const char *)bytes->data;
  const char *start = g_strstr_len(text, (gssize)bytes->len, "<svg ");
  const char *end = start != NULL ? memchr(start, '>', bytes->len - (gsize)(start - text)) : NULL;
  if (end == NULL) return;
  char *insert = g_markup_printf_escaped("\n<title>%s</title>\n<desc>%s</desc>", words->title,
                                         words->description);
  guint head = (guint)(end + 1 - text), size = (guint)strlen(insert), old = bytes->len;
  g_byte_array_set_size(bytes, old + size);
  memmove(bytes->data + head + size, bytes->data + head, old - head);
  memcpy(bytes->data + head, insert, size);
  g_free(insert);
}

static enum isw_status write_vector(enum kind kind, const struct isw_year_view *view,
                                    bool fahrenheit, const struct isw_year_words *words,
                                    const char *software, FILE *file, const char *path,
                                    struct isw_error *error) {
  GByteArray *bytes = g_byte_array_new();
  double width = page_width * points_per_mm, height = page_height * points_per_mm;
  cairo_surface_t *surface =
      kind == KIND_PDF ? cairo_pdf_surface_create_for_stream(gather, bytes, width, height)
                       : cairo_svg_surface_create_for_stream(gather, bytes, width, height);
  if (kind == KIND_PDF) {
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, words->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_SUBJECT, words->description);
    if (software != NULL)
      cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, software);
  }
  cairo_t *cr = cairo_create(surface);
  cairo_scale(cr, points_per_mm, points_per_mm);
  draw_all(cr, view, fahrenheit, words, software);
  cairo_status_t drawn = cairo_status(cr);
  cairo_destroy(cr);
  cairo_surface_finish(surface);
  if (drawn == CAIRO_STATUS_SUCCESS) drawn = cairo_surface_status(surface);
  cairo_surface_destroy(surface);
  enum isw_status status = ISW_OK;
  if (drawn != CAIRO_STATUS_SUCCESS)
    status = isw_base_fail(error, ISW_RESOURCES, "cannot draw %s: %s", path,
                           cairo_status_to_string(drawn));
  if (status == ISW_OK && kind == KIND_SVG) describe_svg(bytes, words);
  if (status == ISW_OK) status = write_bytes(bytes, file, path, error);
  g_byte_array_unref(bytes);
  return status;
}

static enum isw_status write_image(const struct isw_year_view *view, bool fahrenheit,
                                   const struct isw_year_words *words, const char *software,
                                   FILE *file, const char *path, struct isw_error *error) {
  cairo_surface_t *surface;
  cairo_t *cr;
  enum isw_status status = isw_chart_new_image(page_width, page_height, dpi, &surface, &cr, error);
  if (status != ISW_OK) return status;
  draw_all(cr, view, fahrenheit, words, software);
  cairo_status_t drawn = cairo_status(cr);
  cairo_destroy(cr);
  struct isw_png_texts texts = {words->title, words->description, software, words->source};
  status = drawn == CAIRO_STATUS_SUCCESS
               ? isw_chart_write_png_stream(surface, dpi, &texts, file, path, error)
               : isw_base_fail(error, ISW_RESOURCES, "cannot draw %s: %s", path,
                               cairo_status_to_string(drawn));
  cairo_surface_destroy(surface);
  return status;
}

enum isw_status isw_chart_draw_place_year(const struct isw_place *place,
                                          const struct isw_plan *plan, const char *path,
                                          const char *software, bool fahrenheit,
                                          struct isw_error *error) {
  enum isw_status status = isw_chart_check_year_path(path, error);
  if (status != ISW_OK) return status;
  enum kind kind = (enum kind)find_kind(path);
  struct isw_year_view *view = isw_chart_new_year_view(plan, place);
  struct isw_year_words words;
  isw_chart_word_year(view, fahrenheit, &words);
  struct isw_whole_file *whole;
  status = isw_output_start_file(path, &whole, error);
  if (status == ISW_OK) {
    FILE *file = isw_output_file_stream(whole);
    status = kind == KIND_PNG
                 ? write_image(view, fahrenheit, &words, software, file, path, error)
                 : write_vector(kind, view, fahrenheit, &words, software, file, path, error);
    if (status == ISW_OK)
      status = isw_output_finish_file(whole, error);
    else
      isw_output_drop_file(whole);
  }
  isw_chart_clear_year_words(&words);
  g_free(view);
  return status;
}

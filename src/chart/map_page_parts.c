/* DESIGN: a sheet is drawn in this order: legend and words decide the layout, the layout decides
 * which cells are read and how finely; then fills, graticule, district outlines, lines, names,
 * frame, and what stands around it. The fills go straight into the pixels, everything else through
 * cairo. */
#include "chart/map_page_parts.h"

#include <glib.h>
#include <math.h>

#include "chart/districts.h"
#include "chart/graticule.h"
#include "chart/isolines.h"
#include "chart/palette.h"
#include "chart/png_file.h"
#include "chart/scale_bar.h"

static double pixels_per_mm(const struct isw_map_page_parts *sheet) {
  return sheet->page->dpi / 25.4;
}

enum isw_status isw_chart_begin_sheet(struct isw_map_page_parts *sheet,
                                      const struct isw_map_page *page, const char *raster,
                                      int n_bands, const int *bands, int nodata,
                                      struct isw_error *error) {
  *sheet = (struct isw_map_page_parts){.page = page, .edged = ISW_CLASS_NONE};
  sheet->legend = g_new0(struct isw_legend, 1);
  for (int i = 0; i < ISW_CLASSES_MAX; i++) sheet->fills[i] = isw_chart_empty_fill();
  enum isw_status status =
      isw_chart_open_source_bands(raster, n_bands, bands, nodata, &sheet->source, error);
  if (status == ISW_OK)
    status = isw_chart_new_image(page->width_mm, page->height_mm, page->dpi, &sheet->surface,
                                 &sheet->cr, error);
  if (status == ISW_OK) isw_chart_init_pen(&sheet->pen, sheet->cr, 1);
  return status;
}

void isw_chart_end_sheet(struct isw_map_page_parts *sheet) {
  if (sheet->pen.layout != NULL) isw_chart_clear_pen(&sheet->pen);
  if (sheet->cr != NULL) cairo_destroy(sheet->cr);
  if (sheet->surface != NULL) cairo_surface_destroy(sheet->surface);
  isw_chart_close_source(&sheet->source);
  isw_chart_free_class_grid(&sheet->grid);
  isw_chart_clear_words(&sheet->words);
  g_free(sheet->legend);
  g_free(sheet->after);
}

void isw_chart_settle_sheet(struct isw_map_page_parts *sheet) {
  struct isw_sheet_words words = {sheet->words.title, sheet->words.subtitle};
  sheet->legend->heading = sheet->words.heading;
  sheet->legend->note = sheet->words.note;
  isw_chart_lay_out_sheet(&sheet->pen, sheet->page, &words, &sheet->source, sheet->legend,
                          &sheet->layout);
  sheet->pen.scale = sheet->layout.scale;
  sheet->grid = isw_chart_new_class_grid(&sheet->layout.frame, pixels_per_mm(sheet));
  for (int i = 0; i < ISW_CLASSES_MAX; i++) {
    sheet->fills[i].spacing_mm *= sheet->layout.scale;
    sheet->fills[i].width_mm *= sheet->layout.scale;
  }
  for (int i = 0; i < sheet->legend->n_entries; i++) {
    sheet->legend->entries[i].fill.spacing_mm *= sheet->layout.scale;
    sheet->legend->entries[i].fill.width_mm *= sheet->layout.scale;
  }
}

int16_t *isw_chart_new_samples(const struct isw_map_page_parts *sheet) {
  return g_new(int16_t, (gsize)sheet->grid.width * (gsize)sheet->grid.height);
}

enum isw_status isw_chart_read_samples(const struct isw_map_page_parts *sheet, int n_bands,
                                       const int *bands, int16_t *const *values,
                                       struct isw_error *error) {
  return isw_chart_read_window(&sheet->source, n_bands, bands, sheet->layout.frame.window,
                               sheet->grid.width, sheet->grid.height, values, error);
}

static enum isw_status draw_lines(struct isw_map_page_parts *sheet, struct isw_label_space *space,
                                  struct isw_error *error) {
  struct isw_day_surface surface = {sheet->grid.width, sheet->grid.height, sheet->after,
                                    sheet->start_day};
  GPtrArray *lines;
  enum isw_status status =
      isw_chart_make_isolines(&sheet->layout.frame, &surface, sheet->layout.scale, &lines, error);
  if (status != ISW_OK) return status;
  cairo_save(sheet->cr);
  isw_chart_clip_box(&sheet->pen, sheet->layout.frame.box);
  isw_chart_draw_isolines(&sheet->pen, lines, space);
  cairo_restore(sheet->cr);
  g_ptr_array_unref(lines);
  return ISW_OK;
}

static void draw_frame(struct isw_map_page_parts *sheet) {
  const struct isw_box *box = &sheet->layout.frame.box;
  cairo_rectangle(sheet->cr, box->x_mm, box->y_mm, box->width_mm, box->height_mm);
  cairo_set_line_width(sheet->cr, 0.28 * sheet->layout.scale);
  cairo_set_source_rgb(sheet->cr, 0.2, 0.2, 0.23);
  cairo_stroke(sheet->cr);
}

static enum isw_status draw_map(struct isw_map_page_parts *sheet, struct isw_error *error) {
  const struct isw_map_page *page = sheet->page;
  const struct isw_map_frame *frame = &sheet->layout.frame;
  struct isw_pen *pen = &sheet->pen;
  isw_chart_paint_classes(sheet->surface, pixels_per_mm(sheet), frame, &sheet->grid,
                          ISW_CLASSES_MAX, sheet->fills, sheet->edged);
  isw_chart_draw_graticule(pen, &sheet->source, frame);
  struct isw_box inner = frame->box;
  double inset = sheet->layout.scale;
  inner.x_mm += inset;
  inner.y_mm += inset;
  inner.width_mm -= 2 * inset;
  inner.height_mm -= 2 * inset;
  struct isw_label_space space;
  isw_chart_init_label_space(&space, inner);
  enum isw_status status = ISW_OK;
  if (page->districts != NULL)
    status = isw_chart_draw_district_outlines(pen, &sheet->source, frame, &sheet->grid,
                                              page->districts, error);
  /* Names take their places before the lines' labels do, but lie on top of the lines. */
  GPtrArray *names = NULL;
  if (status == ISW_OK && page->districts != NULL && page->district_name != NULL)
    status = isw_chart_place_district_names(pen, &sheet->source, frame, page->districts,
                                            page->district_name, &space, &names, error);
  if (status == ISW_OK && sheet->after != NULL) status = draw_lines(sheet, &space, error);
  if (names != NULL) {
    isw_chart_draw_district_names(pen, names);
    g_ptr_array_unref(names);
  }
  isw_chart_clear_label_space(&space);
  if (status == ISW_OK) draw_frame(sheet);
  return status;
}

static void draw_around(struct isw_map_page_parts *sheet) {
  const struct isw_sheet_layout *layout = &sheet->layout;
  struct isw_sheet_words words = {sheet->words.title, sheet->words.subtitle};
  const struct isw_box *box = &layout->legend;
  isw_chart_draw_sheet_text(&sheet->pen, sheet->page, &words, layout);
  if (layout->legend_below)
    isw_chart_lay_legend_band(&sheet->pen, sheet->legend, box->x_mm, box->y_mm, box->width_mm,
                              true);
  else
    isw_chart_lay_legend_column(&sheet->pen, sheet->legend, box->x_mm, box->y_mm, box->width_mm,
                                box->height_mm, true);
  if (layout->m_per_mm > 0)
    isw_chart_draw_scale_bar(&sheet->pen, layout->m_per_mm, layout->scale_bar.x_mm,
                             layout->scale_bar.y_mm, layout->scale_bar.width_mm);
}

enum isw_status isw_chart_finish_sheet(struct isw_map_page_parts *sheet, const char *png_path,
                                       struct isw_error *error) {
  enum isw_status status = draw_map(sheet, error);
  if (status != ISW_OK) return status;
  draw_around(sheet);
  struct isw_png_texts texts = {sheet->words.title, sheet->words.description, sheet->page->software,
                                sheet->page->source_line};
  return isw_chart_write_png(sheet->surface, sheet->page->dpi, &texts, png_path, error);
}

void isw_chart_add_ground_entries(struct isw_map_page_parts *sheet) {
  if (sheet->page->districts != NULL)
    isw_chart_add_entry(sheet->legend, "district border")->sign = ISW_SIGN_BORDER;
  if (sheet->source.has_holes)
    isw_chart_add_entry(sheet->legend, "no climate data")->sign = ISW_SIGN_PAPER;
}

void isw_chart_add_class_entry(struct isw_legend *legend, const char *label, struct isw_fill fill,
                               double area_m2) {
  struct isw_legend_entry *entry = isw_chart_add_entry(legend, label);
  entry->fill = fill;
  entry->has_share = true;
  entry->area_m2 = area_m2;
  legend->whole_m2 += area_m2;
}

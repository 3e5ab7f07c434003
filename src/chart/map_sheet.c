/* DESIGN: legend and words decide the layout, the layout decides which cells are read and how
 * finely; then the map's body is drawn, and what stands around it. */
#include "chart/map_sheet.h"

#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_layout.h"
#include "chart/map_theme.h"
#include "chart/png_file.h"
#include "chart/scale_bar.h"

void isw_chart_set_hemispheres(struct isw_map_page *page, long long south_cells,
                               long long valid_cells) {
  page->south = 2 * south_cells > valid_cells;
  page->both_hemispheres = south_cells > 0 && south_cells < valid_cells;
}

/* What is neither class nor line. */
static void add_ground_entries(struct isw_map_body *body) {
  struct isw_legend *legend = &body->legend;
  static const enum isw_sentence names[ISW_LAYER_KINDS] = {
      [ISW_LAYER_WATER] = ISW_SAY_LEGEND_WATER,
      [ISW_LAYER_BORDER] = ISW_SAY_LEGEND_BORDER,
      [ISW_LAYER_ROAD] = ISW_SAY_LEGEND_ROAD};
  for (int kind = 0; kind < ISW_LAYER_KINDS && body->page->layers != NULL; kind++) {
    if (isw_regions_count_shapes(body->page->layers, (enum isw_layer_kind)kind) == 0) continue;
    struct isw_legend_entry *entry = isw_chart_add_entry(legend, isw_words_text(names[kind]));
    entry->sign = ISW_SIGN_LAYER;
    entry->layer = (enum isw_layer_kind)kind;
  }
  if (body->page->districts != NULL)
    isw_chart_add_entry(legend, isw_words_text(ISW_SAY_LEGEND_DISTRICT))->sign = ISW_SIGN_BORDER;
  if (body->source.has_holes)
    isw_chart_add_entry(legend, isw_words_text(ISW_SAY_LEGEND_NO_DATA))->sign = ISW_SIGN_PAPER;
}

static void draw_around(const struct isw_map_body *body, struct isw_pen *pen,
                        const struct isw_sheet_layout *layout) {
  struct isw_sheet_words words = {body->words.title, body->words.subtitle};
  const struct isw_box *box = &layout->legend;
  isw_chart_draw_sheet_text(pen, body->page, &words, layout);
  if (layout->legend_below)
    isw_chart_lay_legend_band(pen, &body->legend, box->x_mm, box->y_mm, box->width_mm, true);
  else
    isw_chart_lay_legend_column(pen, &body->legend, box->x_mm, box->y_mm, box->width_mm,
                                box->height_mm, true);
  if (layout->m_per_mm > 0)
    isw_chart_draw_scale_bar(pen, layout->m_per_mm, layout->scale_bar.x_mm, layout->scale_bar.y_mm,
                             layout->scale_bar.width_mm);
}

static enum isw_status draw_page(struct isw_map_body *body, struct isw_pen *pen,
                                 struct isw_error *error) {
  struct isw_sheet_words words = {body->words.title, body->words.subtitle};
  struct isw_sheet_layout layout;
  add_ground_entries(body);
  if (body->page->slide) body->legend.note = isw_words_text(ISW_SAY_MAP_NOTE_SHARE);
  isw_chart_lay_out_sheet(pen, body->page, &words, &body->source, &body->legend, &layout);
  pen->scale = layout.scale;
  enum isw_status status = isw_chart_set_body_frame(body, layout.frame, layout.scale, error);
  if (status == ISW_OK) status = isw_chart_draw_body(body, pen, error);
  if (status == ISW_OK) draw_around(body, pen, &layout);
  return status;
}

static enum isw_status draw_sheet(const struct isw_map_page *page,
                                  const struct isw_map_theme *theme, const char *raster,
                                  const char *png_path, struct isw_error *error) {
  struct isw_map_body *body;
  cairo_surface_t *surface = NULL;
  cairo_t *cr = NULL;
  enum isw_status status =
      isw_chart_begin_body(page, theme, raster, page->dpi / 25.4, &body, error);
  if (status == ISW_OK)
    status = isw_chart_new_image(page->width_mm, page->height_mm, page->dpi, &surface, &cr, error);
  if (status == ISW_OK) {
    struct isw_pen pen;
    isw_chart_init_pen(&pen, cr, 1);
    status = draw_page(body, &pen, error);
    isw_chart_clear_pen(&pen);
  }
  if (status == ISW_OK) {
    struct isw_png_texts texts = {body->words.title, body->words.description, page->software,
                                  page->source_line};
    status = isw_chart_write_png(surface, page->dpi, &texts, png_path, error);
  }
  if (cr != NULL) cairo_destroy(cr);
  if (surface != NULL) cairo_surface_destroy(surface);
  isw_chart_end_body(body);
  return status;
}

enum isw_status isw_chart_draw_sowing_map(const struct isw_map_page *page, const char *raster,
                                          const struct isw_variety *variety,
                                          const struct isw_season *season,
                                          const struct isw_result_tally *tally,
                                          const char *png_path, struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_sowing_theme(variety, season, tally);
  return draw_sheet(page, &theme, raster, png_path, error);
}

enum isw_status isw_chart_draw_score_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_variety *variety,
                                         const struct isw_season *season,
                                         const struct isw_result_tally *tally, const char *png_path,
                                         struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_score_theme(variety, season, tally);
  return draw_sheet(page, &theme, raster, png_path, error);
}

enum isw_status isw_chart_draw_years_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_variety *variety,
                                         const struct isw_season *season,
                                         const struct isw_result_tally *tally, const char *png_path,
                                         struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_years_theme(variety, season, tally);
  return draw_sheet(page, &theme, raster, png_path, error);
}

enum isw_status isw_chart_draw_span_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_season *season,
                                        const struct isw_span_tally *tally, bool last,
                                        const char *png_path, struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_span_theme(season, tally, last);
  return draw_sheet(page, &theme, raster, png_path, error);
}

enum isw_status isw_chart_draw_pick_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_plan *plan, int season_index,
                                        const struct isw_pick_tally *tally, const char *png_path,
                                        struct isw_error *error) {
  struct isw_map_theme theme =
      isw_chart_pick_theme(plan, &plan->sheet->seasons[plan->seasons[season_index]], tally);
  return draw_sheet(page, &theme, raster, png_path, error);
}

enum isw_status isw_chart_draw_opens_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_plan *plan, int season_index,
                                         const struct isw_opens_tally *tally, const char *png_path,
                                         struct isw_error *error) {
  struct isw_map_theme theme =
      isw_chart_opens_theme(plan, &plan->sheet->seasons[plan->seasons[season_index]], tally);
  return draw_sheet(page, &theme, raster, png_path, error);
}

enum isw_status isw_chart_draw_compare_map(const struct isw_map_page *page, const char *raster,
                                           const struct isw_compare_titles *titles,
                                           const struct isw_season *season,
                                           const struct isw_compare_tally *tally,
                                           const char *png_path, struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_compare_theme(titles, season, tally);
  return draw_sheet(page, &theme, raster, png_path, error);
}

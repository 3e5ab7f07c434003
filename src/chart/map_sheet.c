/* DESIGN: legend and words decide the layout, the layout decides which cells are read and how
 * finely; then the map's body is drawn, and what stands around it. */
#include "chart/map_sheet.h"

#include <glib.h>

#include "chart/isolines.h"
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
    isw_chart_add_entry(legend,
                        isw_words_text(body->page->mask_line != NULL ? ISW_SAY_LEGEND_NOT_COUNTED
                                                                     : ISW_SAY_LEGEND_NO_DATA))
        ->sign = ISW_SIGN_PAPER;
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

/* Where everything comes to lie; then the cells are read. */
static enum isw_status lay_out(struct isw_map_body *body, struct isw_pen *pen,
                               struct isw_sheet_layout *layout, struct isw_error *error) {
  struct isw_sheet_words words = {body->words.title, body->words.subtitle};
  add_ground_entries(body);
  if (body->page->slide) body->legend.note = isw_words_text(ISW_SAY_MAP_NOTE_SHARE);
  isw_chart_lay_out_sheet(pen, body->page, &words, &body->source, &body->legend, layout);
  pen->scale = layout->scale;
  return isw_chart_set_body_frame(body, layout->frame, layout->scale, error);
}

static enum isw_status draw_page(struct isw_map_body *body, struct isw_pen *pen,
                                 struct isw_error *error) {
  struct isw_sheet_layout layout;
  enum isw_status status = lay_out(body, pen, &layout, error);
  if (status == ISW_OK) status = isw_chart_draw_body(body, pen, error);
  if (status == ISW_OK) draw_around(body, pen, &layout);
  return status;
}

/* A body and its page. */
struct sheet {
  struct isw_map_body *body;
  cairo_surface_t *surface;
  cairo_t *cr;
  struct isw_pen pen;
};

/* To be ended, also after a failure. */
static enum isw_status begin_sheet(const struct isw_map_page *page,
                                   const struct isw_map_theme *theme, const char *raster,
                                   struct sheet *sheet, struct isw_error *error) {
  *sheet = (struct sheet){.body = NULL};
  enum isw_status status =
      isw_chart_begin_body(page, theme, raster, page->dpi / 25.4, &sheet->body, error);
  if (status == ISW_OK)
    status = isw_chart_new_image(page->width_mm, page->height_mm, page->dpi, &sheet->surface,
                                 &sheet->cr, error);
  if (status == ISW_OK) isw_chart_init_pen(&sheet->pen, sheet->cr, 1);
  return status;
}

static void end_sheet(struct sheet *sheet) {
  if (sheet->cr != NULL) {
    isw_chart_clear_pen(&sheet->pen);
    cairo_destroy(sheet->cr);
  }
  if (sheet->surface != NULL) cairo_surface_destroy(sheet->surface);
  isw_chart_end_body(sheet->body);
}

static enum isw_status draw_sheet(const struct isw_map_page *page,
                                  const struct isw_map_theme *theme, const char *raster,
                                  const char *png_path, struct isw_error *error) {
  struct sheet sheet;
  enum isw_status status = begin_sheet(page, theme, raster, &sheet, error);
  if (status == ISW_OK) status = draw_page(sheet.body, &sheet.pen, error);
  if (status == ISW_OK) {
    struct isw_png_texts texts = {sheet.body->words.title, sheet.body->words.description,
                                  page->software, page->source_line};
    status = isw_chart_write_png(sheet.surface, page->dpi, &texts, png_path, error);
  }
  end_sheet(&sheet);
  return status;
}

/* From the page to where the raster's cells lie. */
static struct isw_date_line *take_line(const struct isw_map_body *body,
                                       const struct isw_isoline *line) {
  const struct isw_map_source *source = &body->source;
  struct isw_date_line *taken = g_new0(struct isw_date_line, 1);
  taken->day = line->day;
  taken->n = (int)line->points->len;
  taken->x = g_new(double, (gsize)taken->n);
  taken->y = g_new(double, (gsize)taken->n);
  for (int i = 0; i < taken->n; i++) {
    const struct isw_point *point = &g_array_index(line->points, struct isw_point, i);
    double col, row;
    isw_chart_find_cell(&body->frame, point->x_mm, point->y_mm, &col, &row);
    if (source->warp == NULL)
      isw_climate_grid_point(&source->grid, col, row, &taken->x[i], &taken->y[i]);
    else
      taken->x[i] = col, taken->y[i] = row;
  }
  if (source->warp != NULL)
    isw_chart_find_raster_places(source->warp, taken->n, taken->x, taken->y);
  return taken;
}

static void free_line(gpointer data) {
  struct isw_date_line *line = data;
  g_free(line->x);
  g_free(line->y);
  g_free(line);
}

enum isw_status isw_chart_find_sowing_lines(const struct isw_map_page *page, const char *raster,
                                            const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally, GPtrArray **out,
                                            struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_sowing_theme(variety, season, tally);
  struct isw_map_page bare = *page;
  bare.relief = NULL; /* no line depends on it */
  struct sheet sheet;
  struct isw_sheet_layout layout;
  GPtrArray *drawn = NULL;
  enum isw_status status = begin_sheet(&bare, &theme, raster, &sheet, error);
  if (status == ISW_OK) status = lay_out(sheet.body, &sheet.pen, &layout, error);
  if (status == ISW_OK)
    status = isw_chart_make_body_isolines(sheet.body, sheet.pen.scale, &drawn, error);
  if (status == ISW_OK) {
    *out = g_ptr_array_new_with_free_func(free_line);
    for (guint i = 0; i < drawn->len; i++)
      g_ptr_array_add(*out, take_line(sheet.body, g_ptr_array_index(drawn, i)));
    g_ptr_array_unref(drawn);
  }
  end_sheet(&sheet);
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

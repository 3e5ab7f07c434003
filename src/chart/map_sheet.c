/* DESIGN: a sheet is drawn in this order: legend and words decide the layout, the layout decides
 * which cells are read and how finely; then fills, graticule, district outlines, lines, names,
 * frame, and what stands around it. The fills go straight into the pixels, everything else through
 * cairo. */
#include "chart/map_sheet.h"

#include <glib.h>
#include <math.h>

#include "chart/districts.h"
#include "chart/graticule.h"
#include "chart/isolines.h"
#include "chart/map_layout.h"
#include "chart/map_words.h"
#include "chart/palette.h"
#include "chart/png_file.h"
#include "chart/scale_bar.h"
#include "chart/shares.h"
#include "growth/pick.h"
#include "growth/windows.h"
#include "survey/cell_bands.h"

enum { CLASS_EMPTY = 254 };

/* A sheet in the making. */
struct sheet {
  const struct isw_map_page *page;
  struct isw_map_source source;
  struct isw_map_words words;
  struct isw_legend *legend;
  struct isw_sheet_layout layout;
  cairo_surface_t *surface;
  cairo_t *cr;
  struct isw_pen pen;
  struct isw_class_grid grid;
  struct isw_fill fills[ISW_CLASSES_MAX];
  int edged;      /* class whose edges get a thin line */
  int16_t *after; /* days since the season's start per sample, for isolines; NULL: none */
  int start_day;
};

static double pixels_per_mm(const struct sheet *sheet) {
  return sheet->page->dpi / 25.4;
}

static enum isw_status begin_sheet(struct sheet *sheet, const struct isw_map_page *page,
                                   const char *raster, int band, int nodata,
                                   struct isw_error *error) {
  *sheet = (struct sheet){.page = page, .edged = ISW_CLASS_NONE};
  sheet->legend = g_new0(struct isw_legend, 1);
  for (int i = 0; i < ISW_CLASSES_MAX; i++) sheet->fills[i] = isw_chart_empty_fill();
  enum isw_status status = isw_chart_open_source(raster, band, nodata, &sheet->source, error);
  if (status == ISW_OK)
    status = isw_chart_new_image(page->width_mm, page->height_mm, page->dpi, &sheet->surface,
                                 &sheet->cr, error);
  if (status == ISW_OK) isw_chart_init_pen(&sheet->pen, sheet->cr, 1);
  return status;
}

static void end_sheet(struct sheet *sheet) {
  if (sheet->pen.layout != NULL) isw_chart_clear_pen(&sheet->pen);
  if (sheet->cr != NULL) cairo_destroy(sheet->cr);
  if (sheet->surface != NULL) cairo_surface_destroy(sheet->surface);
  isw_chart_close_source(&sheet->source);
  isw_chart_free_class_grid(&sheet->grid);
  isw_chart_clear_words(&sheet->words);
  g_free(sheet->legend);
  g_free(sheet->after);
}

/* Layout, once words and legend stand; then the class grid has its size. */
static void lay_out(struct sheet *sheet) {
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

static int16_t *new_samples(const struct sheet *sheet) {
  return g_new(int16_t, (gsize)sheet->grid.width * (gsize)sheet->grid.height);
}

/* values[i]: new_samples */
static enum isw_status read_samples(const struct sheet *sheet, int n_bands, const int *bands,
                                    int16_t *const *values, struct isw_error *error) {
  return isw_chart_read_window(&sheet->source, n_bands, bands, sheet->layout.frame.window,
                               sheet->grid.width, sheet->grid.height, values, error);
}

static enum isw_status draw_lines(struct sheet *sheet, struct isw_label_space *space,
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

static void draw_frame(struct sheet *sheet) {
  const struct isw_box *box = &sheet->layout.frame.box;
  cairo_rectangle(sheet->cr, box->x_mm, box->y_mm, box->width_mm, box->height_mm);
  cairo_set_line_width(sheet->cr, 0.28 * sheet->layout.scale);
  cairo_set_source_rgb(sheet->cr, 0.2, 0.2, 0.23);
  cairo_stroke(sheet->cr);
}

static enum isw_status draw_map(struct sheet *sheet, struct isw_error *error) {
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
    status = isw_chart_draw_district_outlines(pen, &sheet->source, frame, page->districts, error);
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

static void draw_around(struct sheet *sheet) {
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

static enum isw_status finish_sheet(struct sheet *sheet, const char *png_path,
                                    struct isw_error *error) {
  enum isw_status status = draw_map(sheet, error);
  if (status != ISW_OK) return status;
  draw_around(sheet);
  struct isw_png_texts texts = {sheet->words.title, sheet->words.description, sheet->page->software,
                                sheet->page->source_line};
  return isw_chart_write_png(sheet->surface, sheet->page->dpi, &texts, png_path, error);
}

static void add_paper_entry(struct sheet *sheet) {
  if (sheet->source.has_holes)
    isw_chart_add_entry(sheet->legend, "no climate data")->sign = ISW_SIGN_PAPER;
}

static void add_class_entry(struct isw_legend *legend, const char *label, struct isw_fill fill,
                            double area_m2, int percent) {
  struct isw_legend_entry *entry = isw_chart_add_entry(legend, label);
  entry->fill = fill;
  entry->has_share = true;
  entry->area_m2 = area_m2;
  entry->percent = percent;
}

static void legend_of_sowing(struct isw_legend *legend, const struct isw_result_tally *tally,
                             int start_day) {
  double areas[ISW_TEN_DAY_PERIODS + 1];
  int percent[ISW_TEN_DAY_PERIODS + 1];
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) areas[i] = tally->period_m2[i];
  areas[ISW_TEN_DAY_PERIODS] = tally->no_window_m2;
  isw_chart_share_areas(ISW_TEN_DAY_PERIODS + 1, areas, percent);
  legend->has_calendar = true;
  legend->first_period = isw_base_ten_day_period(start_day);
  isw_chart_period_colours(legend->period_colours);
  double with_m2 = 0;
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    legend->period_m2[i] = areas[i];
    legend->period_percent[i] = percent[i];
    with_m2 += areas[i];
  }
  add_class_entry(legend, "no window", isw_chart_empty_fill(), tally->no_window_m2,
                  percent[ISW_TEN_DAY_PERIODS]);
  if (with_m2 > 0)
    isw_chart_add_entry(legend, "line of equal sowing date; heavy: first of a month")->sign =
        ISW_SIGN_ISOLINE;
}

/* Classes and days since the season's start from the two bands that matter. */
static enum isw_status read_sowing(struct sheet *sheet, struct isw_error *error) {
  static const int bands[2] = {ISW_BAND_BEST_SOW, ISW_BAND_WINDOW_DAYS};
  int16_t *sow = new_samples(sheet), *window = new_samples(sheet);
  int16_t *const values[2] = {sow, window};
  enum isw_status status = read_samples(sheet, 2, bands, values, error);
  if (status == ISW_OK) {
    size_t n = (size_t)sheet->grid.width * (size_t)sheet->grid.height;
    sheet->after = g_new(int16_t, n);
    for (size_t i = 0; i < n; i++) {
      bool has_window = window[i] > 0 && sow[i] > 0;
      sheet->after[i] =
          has_window ? (int16_t)isw_base_days_forward(sheet->start_day, sow[i] - 1) : -1;
      sheet->grid.classes[i] = sow[i] == ISW_BANDS_NODATA ? ISW_CLASS_NONE
                               : has_window ? (uint8_t)isw_base_ten_day_period(sow[i] - 1)
                                            : CLASS_EMPTY;
    }
  }
  g_free(sow);
  g_free(window);
  return status;
}

enum isw_status isw_chart_draw_sowing_map(const struct isw_map_page *page, const char *raster,
                                          const struct isw_variety *variety,
                                          const struct isw_season *season,
                                          const struct isw_result_tally *tally,
                                          const char *png_path, struct isw_error *error) {
  struct sheet *sheet = g_new(struct sheet, 1);
  enum isw_status status =
      begin_sheet(sheet, page, raster, ISW_BAND_BEST_SOW, ISW_BANDS_NODATA, error);
  if (status == ISW_OK) {
    sheet->start_day = isw_chart_season_days(page, season).from_day;
    struct isw_colour colours[ISW_TEN_DAY_PERIODS];
    isw_chart_period_colours(colours);
    for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++)
      sheet->fills[i] = isw_chart_plain_fill(colours[i]);
    sheet->edged = CLASS_EMPTY;
    isw_chart_word_sowing_map(page, variety, season, tally, &sheet->words);
    legend_of_sowing(sheet->legend, tally, sheet->start_day);
    add_paper_entry(sheet);
    lay_out(sheet);
    status = read_sowing(sheet, error);
  }
  if (status == ISW_OK) status = finish_sheet(sheet, png_path, error);
  end_sheet(sheet);
  g_free(sheet);
  return status;
}

enum isw_status isw_chart_draw_score_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_variety *variety,
                                         const struct isw_season *season,
                                         const struct isw_result_tally *tally, const char *png_path,
                                         struct isw_error *error) {
  static const char *const labels[ISW_SCORE_CLASSES] = {"poor, below 50", "risky, 50–69",
                                                        "good, 70–84", "very good, 85 or more"};
  struct sheet *sheet = g_new(struct sheet, 1);
  enum isw_status status =
      begin_sheet(sheet, page, raster, ISW_BAND_SCORE, ISW_BANDS_NODATA, error);
  if (status == ISW_OK) {
    int percent[ISW_SCORE_CLASSES];
    isw_chart_share_areas(ISW_SCORE_CLASSES, tally->score_m2, percent);
    for (int i = ISW_SCORE_CLASSES - 1; i >= 0; i--) {
      sheet->fills[i] = isw_chart_score_fill(i);
      add_class_entry(sheet->legend, labels[i], sheet->fills[i], tally->score_m2[i], percent[i]);
    }
    add_paper_entry(sheet);
    isw_chart_word_score_map(page, variety, season, tally, &sheet->words);
    lay_out(sheet);
    static const int band = ISW_BAND_SCORE;
    int16_t *scores = new_samples(sheet);
    status = read_samples(sheet, 1, &band, &scores, error);
    size_t n = (size_t)sheet->grid.width * (size_t)sheet->grid.height;
    for (size_t i = 0; status == ISW_OK && i < n; i++)
      sheet->grid.classes[i] = scores[i] == ISW_BANDS_NODATA
                                   ? ISW_CLASS_NONE
                                   : (uint8_t)isw_survey_score_class(scores[i]);
    g_free(scores);
  }
  if (status == ISW_OK) status = finish_sheet(sheet, png_path, error);
  end_sheet(sheet);
  g_free(sheet);
  return status;
}

static void legend_of_picks(struct isw_legend *legend, const struct isw_sheet *crop,
                            const struct isw_pick_tally *tally) {
  enum { AREAS = 2 * ISW_VARIETIES_MAX + 1 };
  double areas[AREAS] = {0};
  int percent[AREAS];
  for (int v = 0; v < crop->n_varieties; v++) {
    areas[2 * v] = tally->variety_m2[v];
    areas[2 * v + 1] = tally->risky_m2[v];
  }
  areas[AREAS - 1] = tally->none_m2;
  isw_chart_share_areas(AREAS, areas, percent);
  for (int v = 0; v < crop->n_varieties; v++)
    for (int risky = 0; risky < 2; risky++) {
      int i = 2 * v + risky;
      if (!(areas[i] > 0)) continue;
      char label[ISW_LEGEND_LABEL_SIZE];
      g_snprintf(label, sizeof label, "%s%s", crop->varieties[v].title, risky ? ", risky" : "");
      add_class_entry(legend, label, isw_chart_variety_fill(v, risky), areas[i], percent[i]);
    }
  add_class_entry(legend, "none", isw_chart_empty_fill(), areas[AREAS - 1], percent[AREAS - 1]);
}

enum isw_status isw_chart_draw_pick_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_plan *plan, int season_index,
                                        const struct isw_pick_tally *tally, const char *png_path,
                                        struct isw_error *error) {
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[season_index]];
  struct sheet *sheet = g_new(struct sheet, 1);
  enum isw_status status = begin_sheet(sheet, page, raster, 0, ISW_PICK_NODATA, error);
  if (status == ISW_OK) {
    for (int v = 0; v < plan->sheet->n_varieties; v++)
      for (int risky = 0; risky < 2; risky++)
        sheet->fills[v + 1 + risky * ISW_PICK_RISKY_CODE] = isw_chart_variety_fill(v, risky);
    legend_of_picks(sheet->legend, plan->sheet, tally);
    add_paper_entry(sheet);
    isw_chart_word_pick_map(page, plan->sheet, season, tally, &sheet->words);
    lay_out(sheet);
    static const int band = 0;
    int16_t *codes = new_samples(sheet);
    status = read_samples(sheet, 1, &band, &codes, error);
    size_t n = (size_t)sheet->grid.width * (size_t)sheet->grid.height;
    for (size_t i = 0; status == ISW_OK && i < n; i++) sheet->grid.classes[i] = (uint8_t)codes[i];
    g_free(codes);
  }
  if (status == ISW_OK) status = finish_sheet(sheet, png_path, error);
  end_sheet(sheet);
  g_free(sheet);
  return status;
}

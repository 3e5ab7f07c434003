/* DESIGN: fills are pixels, as on map sheets, made in an image of the frame's size and laid onto
 * the page; everything else is drawn by the pen and stays vectors on a PDF. */
#include "chart/map_panel.h"

#include <glib.h>

#include "chart/class_grid.h"
#include "chart/districts.h"
#include "chart/graticule.h"
#include "chart/isolines.h"
#include "chart/legend.h"
#include "chart/palette.h"
#include "growth/pick.h"
#include "words/date_words.h"

enum { CLASS_EMPTY = 254, FILL_DPI = 200 };
/* The legend takes what the map leaves of the room, within these. */
static const double legend_width_mm = 50.0, legend_most_mm = 66.0, legend_gap_mm = 4.0;
static const double date_legend_mm = 40.0; /* dates are short: shares stay near them */
static const double pixels_per_mm = FILL_DPI / 25.4;

struct panel {
  struct isw_pen *pen;
  const struct isw_map_page *page;
  struct isw_map_source source;
  struct isw_map_frame frame;
  struct isw_class_grid grid;
  struct isw_fill fills[ISW_CLASSES_MAX];
  struct isw_legend legend;
  int16_t *after; /* for isolines, or NULL */
  int start_day;
  double right_mm; /* of the room */
};

static enum isw_status begin_panel(struct panel *panel, struct isw_pen *pen,
                                   const struct isw_map_page *page, const char *raster, int band,
                                   int nodata, struct isw_box room, struct isw_error *error) {
  *panel = (struct panel){.pen = pen, .page = page, .right_mm = room.x_mm + room.width_mm};
  for (int i = 0; i < ISW_CLASSES_MAX; i++) panel->fills[i] = isw_chart_empty_fill();
  enum isw_status status = isw_chart_open_source(raster, band, nodata, &panel->source, error);
  if (status != ISW_OK) return status;
  double s = pen->scale;
  room.x_mm += ISW_GRATICULE_LEFT_MM * s;
  room.width_mm -= (ISW_GRATICULE_LEFT_MM + legend_gap_mm + legend_width_mm) * s;
  room.height_mm -= ISW_GRATICULE_BELOW_MM * s;
  panel->frame = isw_chart_fit_frame(&panel->source, room, pixels_per_mm);
  panel->grid = isw_chart_new_class_grid(&panel->frame, pixels_per_mm);
  return ISW_OK;
}

static void end_panel(struct panel *panel) {
  isw_chart_close_source(&panel->source);
  isw_chart_free_class_grid(&panel->grid);
  g_free(panel->after);
}

/* Bands of the frame's window, values[i] new. */
static enum isw_status read_bands(const struct panel *panel, int n, const int *bands,
                                  int16_t **values, struct isw_error *error) {
  for (int i = 0; i < n; i++)
    values[i] = g_new(int16_t, (gsize)panel->grid.width * (gsize)panel->grid.height);
  return isw_chart_read_window(&panel->source, n, bands, panel->frame.window, panel->grid.width,
                               panel->grid.height, values, error);
}

static enum isw_status lay_fills(struct panel *panel, struct isw_error *error) {
  struct isw_map_frame frame = panel->frame;
  frame.box.x_mm = frame.box.y_mm = 0.0;
  int width = (int)(frame.box.width_mm * pixels_per_mm + 1.5);
  int height = (int)(frame.box.height_mm * pixels_per_mm + 1.5);
  cairo_surface_t *image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
  if (cairo_surface_status(image) != CAIRO_STATUS_SUCCESS) {
    cairo_surface_destroy(image);
    return isw_base_fail(error, ISW_RESOURCES, "no memory for a map of %d x %d pixels", width,
                         height);
  }
  cairo_t *on_image = cairo_create(image);
  cairo_set_source_rgb(on_image, 1.0, 1.0, 1.0);
  cairo_paint(on_image);
  cairo_destroy(on_image);
  isw_chart_paint_classes(image, pixels_per_mm, &frame, &panel->grid, ISW_CLASSES_MAX, panel->fills,
                          ISW_CLASS_NONE);
  cairo_t *cr = panel->pen->cr;
  cairo_save(cr);
  isw_chart_clip_box(panel->pen, panel->frame.box);
  cairo_translate(cr, panel->frame.box.x_mm, panel->frame.box.y_mm);
  cairo_scale(cr, 1.0 / pixels_per_mm, 1.0 / pixels_per_mm);
  cairo_set_source_surface(cr, image, 0.0, 0.0);
  cairo_pattern_set_filter(cairo_get_source(cr), CAIRO_FILTER_NEAREST);
  cairo_paint(cr);
  cairo_restore(cr);
  cairo_surface_destroy(image);
  return ISW_OK;
}

static enum isw_status draw_lines(const struct panel *panel, struct isw_label_space *space,
                                  struct isw_error *error) {
  struct isw_day_surface surface = {panel->grid.width, panel->grid.height, panel->after,
                                    panel->start_day};
  GPtrArray *lines;
  enum isw_status status =
      isw_chart_make_isolines(&panel->frame, &surface, panel->pen->scale, &lines, error);
  if (status != ISW_OK) return status;
  cairo_save(panel->pen->cr);
  isw_chart_clip_box(panel->pen, panel->frame.box);
  isw_chart_draw_isolines(panel->pen, lines, space);
  cairo_restore(panel->pen->cr);
  g_ptr_array_unref(lines);
  return ISW_OK;
}

static enum isw_status finish_panel(struct panel *panel, struct isw_error *error) {
  const struct isw_map_page *page = panel->page;
  struct isw_pen *pen = panel->pen;
  const struct isw_box *box = &panel->frame.box;
  enum isw_status status = lay_fills(panel, error);
  if (status != ISW_OK) return status;
  isw_chart_draw_graticule(pen, &panel->source, &panel->frame);
  struct isw_label_space space;
  isw_chart_init_label_space(&space, *box);
  GPtrArray *names = NULL;
  if (page->districts != NULL)
    status = isw_chart_draw_district_outlines(pen, &panel->source, &panel->frame, &panel->grid,
                                              page->districts, error);
  if (status == ISW_OK && page->districts != NULL && page->district_name != NULL)
    status = isw_chart_place_district_names(pen, &panel->source, &panel->frame, page->districts,
                                            page->district_name, &space, &names, error);
  if (status == ISW_OK && panel->after != NULL) status = draw_lines(panel, &space, error);
  if (names != NULL) {
    isw_chart_draw_district_names(pen, names);
    g_ptr_array_unref(names);
  }
  isw_chart_clear_label_space(&space);
  if (status != ISW_OK) return status;
  cairo_rectangle(pen->cr, box->x_mm, box->y_mm, box->width_mm, box->height_mm);
  cairo_set_line_width(pen->cr, 0.25 * pen->scale);
  cairo_set_source_rgb(pen->cr, 0.2, 0.2, 0.23);
  cairo_stroke(pen->cr);
  double legend_x = box->x_mm + box->width_mm + legend_gap_mm * pen->scale;
  double legend_width = panel->after != NULL
                            ? date_legend_mm * pen->scale
                            : CLAMP(panel->right_mm - legend_x, legend_width_mm * pen->scale,
                                    legend_most_mm * pen->scale);
  isw_chart_lay_legend_column(pen, &panel->legend, legend_x, box->y_mm, legend_width,
                              box->height_mm, true);
  return ISW_OK;
}

static void add_entry(struct panel *panel, const char *label, struct isw_fill fill,
                      double area_m2) {
  if (!(area_m2 > 0.0)) return;
  struct isw_legend_entry *entry = isw_chart_add_entry(&panel->legend, label);
  entry->fill = fill;
  entry->has_share = true;
  entry->area_m2 = area_m2;
  panel->legend.whole_m2 += area_m2;
}

static void legend_of_dates(struct panel *panel, const struct isw_result_tally *tally) {
  int first = isw_base_ten_day_period(panel->start_day);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    int period = (first + i) % ISW_TEN_DAY_PERIODS;
    char label[ISW_DATE_SIZE];
    add_entry(panel, isw_words_period(period, label), panel->fills[period],
              tally->period_m2[period]);
  }
  add_entry(panel, "no window", isw_chart_empty_fill(), tally->no_window_m2);
  panel->legend.note = "share of the area";
}

enum isw_status isw_chart_draw_sowing_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                            const char *raster, const struct isw_season *season,
                                            const struct isw_result_tally *tally,
                                            struct isw_box room, struct isw_error *error) {
  static const int bands[2] = {ISW_BAND_BEST_SOW, ISW_BAND_WINDOW_DAYS};
  struct panel *panel = g_new(struct panel, 1);
  enum isw_status status =
      begin_panel(panel, pen, page, raster, ISW_BAND_BEST_SOW, ISW_BANDS_NODATA, room, error);
  int16_t *values[2] = {NULL, NULL};
  if (status == ISW_OK) status = read_bands(panel, 2, bands, values, error);
  if (status == ISW_OK) {
    struct isw_colour colours[ISW_TEN_DAY_PERIODS];
    isw_chart_period_colours(colours);
    for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++)
      panel->fills[i] = isw_chart_plain_fill(colours[i]);
    panel->start_day = isw_growth_season_days(season, page->south).from_day;
    panel->legend.heading = "Best sowing day";
    legend_of_dates(panel, tally);
    size_t n = (size_t)panel->grid.width * (size_t)panel->grid.height;
    panel->after = g_new(int16_t, n);
    for (size_t i = 0; i < n; i++) {
      bool has = values[1][i] > 0;
      panel->after[i] =
          has ? (int16_t)isw_base_days_forward(panel->start_day, values[0][i] - 1) : -1;
      panel->grid.classes[i] = values[0][i] == ISW_BANDS_NODATA ? ISW_CLASS_NONE
                               : has ? (uint8_t)isw_base_ten_day_period(values[0][i] - 1)
                                     : CLASS_EMPTY;
    }
    status = finish_panel(panel, error);
  }
  g_free(values[0]);
  g_free(values[1]);
  end_panel(panel);
  g_free(panel);
  return status;
}

static void legend_of_types(struct panel *panel, const struct isw_plan *plan,
                            const struct isw_pick_tally *tally) {
  const struct isw_sheet *sheet = plan->sheet;
  for (int i = 0; i < 2 * sheet->n_varieties; i++) {
    bool risky = i % 2 == 1;
    char *label = g_strconcat(sheet->varieties[i / 2].title, risky ? ", risky" : "", NULL);
    add_entry(panel, label, isw_chart_variety_fill(i / 2, risky),
              risky ? tally->risky_m2[i / 2] : tally->variety_m2[i / 2]);
    g_free(label);
  }
  add_entry(panel, "none", isw_chart_empty_fill(), tally->none_m2);
  panel->legend.note = "share of the area";
}

enum isw_status isw_chart_draw_pick_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                          const char *raster, const struct isw_plan *plan,
                                          const struct isw_pick_tally *tally, struct isw_box room,
                                          struct isw_error *error) {
  static const int band = 0;
  struct panel *panel = g_new(struct panel, 1);
  enum isw_status status =
      begin_panel(panel, pen, page, raster, band, ISW_PICK_NODATA, room, error);
  int16_t *codes = NULL;
  if (status == ISW_OK) status = read_bands(panel, 1, &band, &codes, error);
  if (status == ISW_OK) {
    for (int v = 0; v < plan->sheet->n_varieties; v++)
      for (int risky = 0; risky < 2; risky++)
        panel->fills[v + 1 + risky * ISW_PICK_RISKY_CODE] = isw_chart_variety_fill(v, risky);
    panel->legend.heading = "Type to choose";
    legend_of_types(panel, plan, tally);
    size_t n = (size_t)panel->grid.width * (size_t)panel->grid.height;
    for (size_t i = 0; i < n; i++)
      panel->grid.classes[i] = codes[i] == ISW_PICK_NODATA ? ISW_CLASS_NONE
                               : codes[i] == 0             ? CLASS_EMPTY
                                                           : (uint8_t)codes[i];
    status = finish_panel(panel, error);
  }
  g_free(codes);
  end_panel(panel);
  g_free(panel);
  return status;
}

#include "chart/map_sheet.h"

#include <glib.h>

#include "chart/map_page_parts.h"
#include "chart/palette.h"
#include "growth/pick.h"
#include "growth/windows.h"
#include "survey/cell_bands.h"

enum { CLASS_EMPTY = 254 };

void isw_chart_set_hemispheres(struct isw_map_page *page, long long south_cells,
                               long long valid_cells) {
  page->south = 2 * south_cells > valid_cells;
  page->both_hemispheres = south_cells > 0 && south_cells < valid_cells;
}

static void legend_of_sowing(struct isw_legend *legend, const struct isw_result_tally *tally,
                             int start_day) {
  legend->has_calendar = true;
  legend->first_period = isw_base_ten_day_period(start_day);
  isw_chart_period_colours(legend->period_colours);
  double with_m2 = 0;
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    legend->period_m2[i] = tally->period_m2[i];
    with_m2 += tally->period_m2[i];
  }
  legend->whole_m2 = with_m2;
  isw_chart_add_class_entry(legend, "no window", isw_chart_empty_fill(), tally->no_window_m2);
  if (with_m2 > 0)
    isw_chart_add_entry(legend, "line of equal sowing date; heavy: first of a month")->sign =
        ISW_SIGN_ISOLINE;
}

static const int sowing_bands[2] = {ISW_BAND_BEST_SOW, ISW_BAND_WINDOW_DAYS};
static const int score_band = ISW_BAND_SCORE, pick_band = 0;

/* Classes and days since the season's start from the two bands that matter. */
static enum isw_status read_sowing(struct isw_map_page_parts *sheet, struct isw_error *error) {
  int16_t *sow = isw_chart_new_samples(sheet), *window = isw_chart_new_samples(sheet);
  int16_t *const values[2] = {sow, window};
  enum isw_status status = isw_chart_read_samples(sheet, 2, sowing_bands, values, error);
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
  struct isw_map_page_parts *sheet = g_new(struct isw_map_page_parts, 1);
  enum isw_status status =
      isw_chart_begin_sheet(sheet, page, raster, 2, sowing_bands, ISW_BANDS_NODATA, error);
  if (status == ISW_OK) {
    sheet->start_day = isw_chart_season_days(page, season).from_day;
    struct isw_colour colours[ISW_TEN_DAY_PERIODS];
    isw_chart_period_colours(colours);
    for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++)
      sheet->fills[i] = isw_chart_plain_fill(colours[i]);
    sheet->edged = CLASS_EMPTY;
    isw_chart_word_sowing_map(page, variety, season, tally, &sheet->words);
    legend_of_sowing(sheet->legend, tally, sheet->start_day);
    isw_chart_add_ground_entries(sheet);
    isw_chart_settle_sheet(sheet);
    status = read_sowing(sheet, error);
  }
  if (status == ISW_OK) status = isw_chart_finish_sheet(sheet, png_path, error);
  isw_chart_end_sheet(sheet);
  g_free(sheet);
  return status;
}

enum isw_status isw_chart_draw_score_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_variety *variety,
                                         const struct isw_season *season,
                                         const struct isw_result_tally *tally, const char *png_path,
                                         struct isw_error *error) {
  static const char *const labels[ISW_SCORE_CLASSES] = {"poor, below 50", "risky, 50–69",
                                                        "good, 70–84", "very good, 85–100"};
  struct isw_map_page_parts *sheet = g_new(struct isw_map_page_parts, 1);
  enum isw_status status =
      isw_chart_begin_sheet(sheet, page, raster, 1, &score_band, ISW_BANDS_NODATA, error);
  if (status == ISW_OK) {
    for (int i = ISW_SCORE_CLASSES - 1; i >= 0; i--) {
      sheet->fills[i] = isw_chart_score_fill(i);
      isw_chart_add_class_entry(sheet->legend, labels[i], sheet->fills[i], tally->score_m2[i]);
    }
    isw_chart_add_ground_entries(sheet);
    isw_chart_word_score_map(page, variety, season, tally, &sheet->words);
    isw_chart_settle_sheet(sheet);
    int16_t *scores = isw_chart_new_samples(sheet);
    status = isw_chart_read_samples(sheet, 1, &score_band, &scores, error);
    size_t n = (size_t)sheet->grid.width * (size_t)sheet->grid.height;
    for (size_t i = 0; status == ISW_OK && i < n; i++)
      sheet->grid.classes[i] = scores[i] == ISW_BANDS_NODATA
                                   ? ISW_CLASS_NONE
                                   : (uint8_t)isw_survey_score_class(scores[i]);
    g_free(scores);
  }
  if (status == ISW_OK) status = isw_chart_finish_sheet(sheet, png_path, error);
  isw_chart_end_sheet(sheet);
  g_free(sheet);
  return status;
}

static void legend_of_picks(struct isw_legend *legend, const struct isw_sheet *crop,
                            const struct isw_pick_tally *tally) {
  for (int v = 0; v < crop->n_varieties; v++)
    for (int risky = 0; risky < 2; risky++) {
      double area_m2 = risky ? tally->risky_m2[v] : tally->variety_m2[v];
      if (!(area_m2 > 0)) continue;
      char label[ISW_LEGEND_LABEL_SIZE];
      g_snprintf(label, sizeof label, "%s%s", crop->varieties[v].title, risky ? ", risky" : "");
      isw_chart_add_class_entry(legend, label, isw_chart_variety_fill(v, risky), area_m2);
    }
  isw_chart_add_class_entry(legend, "none", isw_chart_empty_fill(), tally->none_m2);
}

enum isw_status isw_chart_draw_pick_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_plan *plan, int season_index,
                                        const struct isw_pick_tally *tally, const char *png_path,
                                        struct isw_error *error) {
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[season_index]];
  struct isw_map_page_parts *sheet = g_new(struct isw_map_page_parts, 1);
  enum isw_status status =
      isw_chart_begin_sheet(sheet, page, raster, 1, &pick_band, ISW_PICK_NODATA, error);
  if (status == ISW_OK) {
    for (int v = 0; v < plan->sheet->n_varieties; v++)
      for (int risky = 0; risky < 2; risky++)
        sheet->fills[v + 1 + risky * ISW_PICK_RISKY_CODE] = isw_chart_variety_fill(v, risky);
    legend_of_picks(sheet->legend, plan->sheet, tally);
    isw_chart_add_ground_entries(sheet);
    isw_chart_word_pick_map(page, plan->sheet, season, tally, &sheet->words);
    isw_chart_settle_sheet(sheet);
    int16_t *codes = isw_chart_new_samples(sheet);
    status = isw_chart_read_samples(sheet, 1, &pick_band, &codes, error);
    size_t n = (size_t)sheet->grid.width * (size_t)sheet->grid.height;
    for (size_t i = 0; status == ISW_OK && i < n; i++) sheet->grid.classes[i] = (uint8_t)codes[i];
    g_free(codes);
  }
  if (status == ISW_OK) status = isw_chart_finish_sheet(sheet, png_path, error);
  isw_chart_end_sheet(sheet);
  g_free(sheet);
  return status;
}

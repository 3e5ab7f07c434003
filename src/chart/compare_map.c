#include "chart/compare_map.h"

#include <glib.h>

#include "chart/condition_words.h"
#include "chart/map_page_parts.h"
#include "chart/palette.h"
#include "words/date_words.h"
#include "words/shares.h"

/* A to the left is orange, B to the right is blue, which readers without red-green vision tell
 * apart; what only one side has is hatched, each side its own way, so that grey tells too. */
static const struct {
  uint32_t ground, ink;
  enum isw_hatch hatch;
} class_looks[ISW_GAIN_CLASSES] = {
    [ISW_GAIN_ONLY_A_MUCH] = {0xb35806, 0x5e2d02, ISW_HATCH_FALLING},
    [ISW_GAIN_ONLY_A] = {0xf1a340, 0x8c4a08, ISW_HATCH_FALLING},
    [ISW_GAIN_BOTH_A] = {0xfddcb0, 0, ISW_HATCH_NONE},
    [ISW_GAIN_BOTH_LIKE] = {0xf7f3e8, 0, ISW_HATCH_NONE},
    [ISW_GAIN_BOTH_B] = {0xc9dcf2, 0, ISW_HATCH_NONE},
    [ISW_GAIN_ONLY_B] = {0x6aa2d8, 0x1b4a80, ISW_HATCH_RISING},
    [ISW_GAIN_ONLY_B_MUCH] = {0x1f5a9c, 0x9cc4ec, ISW_HATCH_RISING},
};

static struct isw_fill class_fill(enum isw_gain_class gain) {
  if (gain == ISW_GAIN_NONE) return isw_chart_empty_fill();
  struct isw_fill fill = isw_chart_plain_fill(isw_chart_colour_of_hex(class_looks[gain].ground));
  if (class_looks[gain].hatch == ISW_HATCH_NONE) return fill;
  fill.hatch = class_looks[gain].hatch;
  fill.ink = isw_chart_colour_of_hex(class_looks[gain].ink);
  fill.spacing_mm = 1.5;
  fill.width_mm = 0.18;
  return fill;
}

static const char *const class_labels[ISW_GAIN_CLASSES] = {
    [ISW_GAIN_NONE] = "neither has a window",
    [ISW_GAIN_ONLY_A_MUCH] = "only A, by 25 points or more",
    [ISW_GAIN_ONLY_A] = "only A, by fewer points",
    [ISW_GAIN_BOTH_A] = "both, A better by 5 or more",
    [ISW_GAIN_BOTH_LIKE] = "both, about alike",
    [ISW_GAIN_BOTH_B] = "both, B better by 5 or more",
    [ISW_GAIN_ONLY_B] = "only B, by fewer points",
    [ISW_GAIN_ONLY_B_MUCH] = "only B, by 25 points or more",
};

/* From what B opens down to what only A has. */
static const enum isw_gain_class legend_order[] = {
    ISW_GAIN_ONLY_B_MUCH, ISW_GAIN_ONLY_B, ISW_GAIN_BOTH_B,      ISW_GAIN_BOTH_LIKE,
    ISW_GAIN_BOTH_A,      ISW_GAIN_ONLY_A, ISW_GAIN_ONLY_A_MUCH, ISW_GAIN_NONE};

static void fill_legend(struct isw_map_page_parts *sheet, const struct isw_compare_tally *tally) {
  for (size_t i = 0; i < G_N_ELEMENTS(legend_order); i++) {
    enum isw_gain_class gain = legend_order[i];
    sheet->fills[gain] = class_fill(gain);
    isw_chart_add_class_entry(sheet->legend, class_labels[gain], sheet->fills[gain],
                              tally->class_m2[gain]);
  }
  isw_chart_add_ground_entries(sheet);
}

static void word_map(const struct isw_map_page *page, const struct isw_compare_titles *titles,
                     const struct isw_season *season, const struct isw_compare_tally *tally,
                     struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  char both[ISW_SHARE_SIZE], only_a[ISW_SHARE_SIZE], only_b[ISW_SHARE_SIZE];
  double all_m2 = isw_survey_compared_m2(tally);
  isw_words_format_share(tally->verdict_m2[ISW_VERDICT_BOTH], all_m2, both);
  isw_words_format_share(tally->verdict_m2[ISW_VERDICT_ONLY_A], all_m2, only_a);
  isw_words_format_share(tally->verdict_m2[ISW_VERDICT_ONLY_B], all_m2, only_b);
  bool placed = page->region_title != NULL && page->region_title[0] != '\0';
  char *place = placed ? g_strdup_printf("%s. ", page->region_title) : g_strdup("");
  char *dates = isw_chart_season_date_words(page, season);
  out->title = g_strdup_printf("What B gains over A, %s", season->name);
  GString *subtitle = g_string_new(NULL);
  g_string_printf(subtitle, "%s%s. A: %s. B: %s. Who has a window of good days, sown from %s.",
                  place, page->crop_title, titles->a, titles->b, dates);
  g_free(dates);
  isw_chart_append_conditions(subtitle, page->plan, false);
  out->subtitle = g_string_free(subtitle, FALSE);
  out->heading =
      g_strdup_printf("Only B has a window on %s of the area, only A on %s", only_b, only_a);
  out->note = g_strdup_printf(
      "A: %s\nB: %s\nPoints: score of B's best day less that of A's. Per cent: share of the area "
      "with climate data.",
      titles->a, titles->b);
  out->description = g_strdup_printf(
      "%sMap comparing A, %s, with B, %s, of %s in %s. Both have a window on %s of the area, only "
      "A "
      "on %s, only B on %s.",
      place, titles->a, titles->b, page->crop_title, season->name, both, only_a, only_b);
  g_free(place);
}

static const int compare_bands[2] = {ISW_COMPARE_VERDICT, ISW_COMPARE_SCORE_GAIN};

static enum isw_status classify(struct isw_map_page_parts *sheet, struct isw_error *error) {
  int16_t *gain = isw_chart_new_samples(sheet), *verdict = isw_chart_new_samples(sheet);
  int16_t *const values[2] = {verdict, gain};
  enum isw_status status = isw_chart_read_samples(sheet, 2, compare_bands, values, error);
  size_t n = (size_t)sheet->grid.width * (size_t)sheet->grid.height;
  for (size_t i = 0; i < n && status == ISW_OK; i++)
    sheet->grid.classes[i] = verdict[i] == ISW_BANDS_NODATA
                                 ? ISW_CLASS_NONE
                                 : (uint8_t)isw_survey_gain_class(verdict[i], gain[i]);
  g_free(gain);
  g_free(verdict);
  return status;
}

enum isw_status isw_chart_draw_compare_map(const struct isw_map_page *page, const char *raster,
                                           const struct isw_compare_titles *titles,
                                           const struct isw_season *season,
                                           const struct isw_compare_tally *tally,
                                           const char *png_path, struct isw_error *error) {
  struct isw_map_page_parts *sheet = g_new(struct isw_map_page_parts, 1);
  enum isw_status status =
      isw_chart_begin_sheet(sheet, page, raster, 2, compare_bands, ISW_BANDS_NODATA, error);
  if (status == ISW_OK) {
    sheet->edged = ISW_GAIN_NONE;
    word_map(page, titles, season, tally, &sheet->words);
    fill_legend(sheet, tally);
    isw_chart_settle_sheet(sheet);
    status = classify(sheet, error);
  }
  if (status == ISW_OK) status = isw_chart_finish_sheet(sheet, png_path, error);
  isw_chart_end_sheet(sheet);
  g_free(sheet);
  return status;
}

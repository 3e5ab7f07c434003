#include <glib.h>

#include "chart/map_theme.h"
#include "chart/palette.h"

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  const struct isw_result_tally *tally = theme->result;
  struct isw_legend *legend = &body->legend;
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) body->fills[i] = isw_chart_plain_fill(colours[i]);
  body->edged = ISW_CLASS_EMPTY;
  body->start_day = isw_chart_season_days(body->page, theme->season).from_day;
  isw_chart_word_sowing_map(body->page, theme->variety, theme->season, tally, &body->words);
  isw_chart_set_calendar(legend, isw_base_ten_day_period(body->start_day), tally->period_m2);
  bool any = legend->whole_m2 > 0;
  isw_chart_add_class_entry(legend, isw_words_text(ISW_SAY_LEGEND_NO_WINDOW),
                            isw_chart_empty_fill(), tally->no_window_m2);
  if (any)
    isw_chart_add_entry(legend, isw_words_text(ISW_SAY_LEGEND_ISOLINE))->sign = ISW_SIGN_ISOLINE;
}

/* samples: best_sow, window_days */
static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  body->after = g_new(int16_t, n);
  for (size_t i = 0; i < n; i++) {
    int sow = samples[0][i];
    bool has_window = samples[1][i] > 0 && sow > 0;
    body->after[i] = has_window ? (int16_t)isw_base_days_forward(body->start_day, sow - 1) : -1;
    body->grid.classes[i] = sow == ISW_BANDS_NODATA ? ISW_CLASS_NONE
                            : has_window            ? (uint8_t)isw_base_ten_day_period(sow - 1)
                                                    : ISW_CLASS_EMPTY;
  }
}

struct isw_map_theme isw_chart_sowing_theme(const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally) {
  return (struct isw_map_theme){.n_bands = 2,
                                .bands = {ISW_BAND_BEST_SOW, ISW_BAND_WINDOW_DAYS},
                                .nodata = ISW_BANDS_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .variety = variety,
                                .season = season,
                                .result = tally};
}

#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  struct isw_legend *legend = &body->legend;
  const double *period_m2 =
      theme->last ? theme->span->last_period_m2 : theme->span->first_period_m2;
  isw_chart_start_dates(body, theme->season);
  isw_chart_word_span_map(body->page, theme->season, theme->span, theme->last, &body->words);
  isw_chart_set_calendar(legend, isw_base_ten_day_period(body->start_day), period_m2);
  bool any = legend->whole_m2 > 0;
  isw_chart_add_class_entry(legend, isw_words_text(ISW_SAY_LEGEND_NO_SPAN), isw_chart_empty_fill(),
                            theme->span->none_m2);
  if (any)
    isw_chart_add_entry(legend, isw_words_text(theme->last ? ISW_SAY_LEGEND_ISOLINE_LAST
                                                           : ISW_SAY_LEGEND_ISOLINE_FIRST))
        ->sign = ISW_SIGN_ISOLINE;
}

/* samples: span_days, the day */
static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++) isw_chart_set_date(body, i, samples[1][i], samples[0][i]);
}

struct isw_map_theme isw_chart_span_theme(const struct isw_season *season,
                                          const struct isw_span_tally *tally, bool last) {
  return (struct isw_map_theme){
      .n_bands = 2,
      .bands = {ISW_SPAN_DAYS, last ? ISW_SPAN_SOW_TO : ISW_SPAN_SOW_FROM},
      .nodata = ISW_BANDS_NODATA,
      .describe = describe,
      .classify = classify,
      .season = season,
      .span = tally,
      .last = last};
}

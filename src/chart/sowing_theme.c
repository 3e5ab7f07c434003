/* DESIGN: a class is a ten-day period and what lies beyond the season there: period + 36 * marks,
 * so that a flank's hatch costs no pass of its own. */
#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"

/* Bits of marks, and how they follow from a cell's edge. */
enum { BETTER_EARLIER = 1, BETTER_LATER = 2, MARKS = 4 };

static int marks_of_edge(int edge) {
  return (edge & ISW_EDGE_BETTER_BEFORE ? BETTER_EARLIER : 0) |
         (edge & ISW_EDGE_BETTER_AFTER ? BETTER_LATER : 0);
}

static void add_mark_entries(struct isw_legend *legend, const struct isw_result_tally *tally) {
  static const enum isw_sentence labels[MARKS] = {
      [BETTER_EARLIER] = ISW_SAY_LEGEND_BETTER_EARLIER,
      [BETTER_LATER] = ISW_SAY_LEGEND_BETTER_LATER,
      [BETTER_EARLIER | BETTER_LATER] = ISW_SAY_LEGEND_BETTER_BOTH};
  double marked_m2[MARKS] = {0};
  for (int edge = 0; edge < ISW_EDGES; edge++)
    marked_m2[marks_of_edge(edge)] += tally->edge_m2[edge];
  for (int marks = 1; marks < MARKS; marks++) {
    if (!(marked_m2[marks] > 0)) continue;
    struct isw_legend_entry *entry = isw_chart_add_entry(legend, isw_words_text(labels[marks]));
    entry->fill = isw_chart_flank_fill(isw_chart_colour_of_hex(0xFFFFFF), marks & BETTER_EARLIER,
                                       marks & BETTER_LATER);
    entry->has_share = true; /* of the area, beside its colour's */
    entry->area_m2 = marked_m2[marks];
  }
}

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  const struct isw_result_tally *tally = theme->result;
  struct isw_legend *legend = &body->legend;
  isw_chart_start_dates(body, theme->season);
  for (int marks = 1; marks < MARKS; marks++)
    for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++)
      body->fills[i + ISW_TEN_DAY_PERIODS * marks] =
          isw_chart_flank_fill(body->fills[i].ground, marks & BETTER_EARLIER, marks & BETTER_LATER);
  isw_chart_word_sowing_map(body->page, theme->variety, theme->season, tally, &body->words);
  isw_chart_set_calendar(legend, isw_base_ten_day_period(body->start_day), tally->period_m2);
  bool any = legend->whole_m2 > 0;
  isw_chart_add_class_entry(legend, isw_words_text(ISW_SAY_LEGEND_NO_WINDOW),
                            isw_chart_empty_fill(), tally->no_window_m2);
  add_mark_entries(legend, tally);
  if (any)
    isw_chart_add_entry(legend, isw_words_text(ISW_SAY_LEGEND_ISOLINE))->sign = ISW_SIGN_ISOLINE;
}

/* samples: window_days, best_sow, edge */
static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++)
    if (isw_chart_set_date(body, i, samples[1][i], samples[0][i]))
      body->grid.classes[i] =
          (uint8_t)(body->grid.classes[i] + ISW_TEN_DAY_PERIODS * marks_of_edge(samples[2][i]));
}

struct isw_map_theme isw_chart_sowing_theme(const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally) {
  return (struct isw_map_theme){.n_bands = 3,
                                .bands = {ISW_BAND_WINDOW_DAYS, ISW_BAND_BEST_SOW, ISW_BAND_EDGE},
                                .nodata = ISW_BANDS_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .variety = variety,
                                .season = season,
                                .result = tally};
}

#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"
#include "growth/pick.h"

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  const struct isw_sheet *crop = theme->plan->sheet;
  for (int v = 0; v < crop->n_varieties; v++)
    for (int risky = 0; risky < 2; risky++) {
      struct isw_fill fill = isw_chart_variety_fill(v, risky);
      body->fills[v + 1 + risky * ISW_PICK_RISKY_CODE] = fill;
      double area_m2 = risky ? theme->picks->risky_m2[v] : theme->picks->variety_m2[v];
      if (!(area_m2 > 0)) continue;
      char *label = risky ? isw_words_say(ISW_SAY_LEGEND_RISKY_TYPE, crop->varieties[v].title)
                          : g_strdup(crop->varieties[v].title);
      isw_chart_add_class_entry(&body->legend, label, fill, area_m2);
      g_free(label);
    }
  isw_chart_add_class_entry(&body->legend, isw_words_text(ISW_SAY_LEGEND_NONE),
                            isw_chart_empty_fill(), theme->picks->none_m2);
  isw_chart_word_pick_map(body->page, crop, theme->season, theme->picks, &body->words);
}

static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++)
    body->grid.classes[i] = samples[0][i] == ISW_PICK_NODATA ? ISW_CLASS_NONE
                            : samples[0][i] == 0             ? ISW_CLASS_EMPTY
                                                             : (uint8_t)samples[0][i];
}

struct isw_map_theme isw_chart_pick_theme(const struct isw_plan *plan,
                                          const struct isw_season *season,
                                          const struct isw_pick_tally *tally) {
  return (struct isw_map_theme){.n_bands = 1,
                                .bands = {0},
                                .nodata = ISW_PICK_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .plan = plan,
                                .season = season,
                                .picks = tally};
}

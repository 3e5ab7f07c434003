#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"
#include "words/classes.h"

/* "good, 70–84" */
static char *word_class(int score_class) {
  char from[16], to[16];
  g_snprintf(from, sizeof from, "%d", isw_survey_score_class_from(score_class));
  g_snprintf(to, sizeof to, "%d", isw_survey_score_class_from(score_class + 1) - 1);
  const char *class = isw_words_score_class(score_class);
  if (score_class > 0) return isw_words_say(ISW_SAY_LEGEND_SCORE, class, from, to);
  g_snprintf(to, sizeof to, "%d", isw_survey_score_class_from(score_class + 1));
  return isw_words_say(ISW_SAY_LEGEND_SCORE_BELOW, class, to);
}

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  const struct isw_result_tally *tally = theme->result;
  for (int i = ISW_SCORE_CLASSES - 1; i >= 0; i--) {
    char *label = word_class(i);
    body->fills[i] = isw_chart_score_fill(i);
    isw_chart_add_class_entry(&body->legend, label, body->fills[i], tally->score_m2[i]);
    g_free(label);
  }
  isw_chart_word_score_map(body->page, theme->variety, theme->season, tally, &body->words);
}

static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++)
    body->grid.classes[i] = samples[0][i] == ISW_BANDS_NODATA
                                ? ISW_CLASS_NONE
                                : (uint8_t)isw_survey_score_class(samples[0][i]);
}

struct isw_map_theme isw_chart_score_theme(const struct isw_variety *variety,
                                           const struct isw_season *season,
                                           const struct isw_result_tally *tally) {
  return (struct isw_map_theme){.n_bands = 1,
                                .bands = {ISW_BAND_SCORE},
                                .nodata = ISW_BANDS_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .variety = variety,
                                .season = season,
                                .result = tally};
}

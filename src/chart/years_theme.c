#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"

/* "7–8 of 10 years" */
static char *word_class(int class) {
  char from[16], to[16], all[16];
  g_snprintf(from, sizeof from, "%d", isw_survey_years_class_from(class));
  g_snprintf(to, sizeof to, "%d", isw_survey_years_class_from(class + 1) - 1);
  g_snprintf(all, sizeof all, "%d", ISW_YEARS_OF_TEN);
  return isw_words_say(ISW_SAY_LEGEND_YEARS, from, to, all);
}

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  double class_m2[ISW_YEARS_CLASSES] = {0};
  for (int years = 0; years <= ISW_YEARS_OF_TEN; years++)
    class_m2[isw_survey_years_class(years)] += theme->result->years_m2[years];
  for (int i = ISW_YEARS_CLASSES - 1; i >= 0; i--) {
    char *label = word_class(i);
    body->fills[i] = isw_chart_years_fill(i);
    isw_chart_add_class_entry(&body->legend, label, body->fills[i], class_m2[i]);
    g_free(label);
  }
  isw_chart_word_years_map(body->page, theme->variety, theme->season, theme->result, &body->words);
}

static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++)
    body->grid.classes[i] = samples[0][i] == ISW_BANDS_NODATA
                                ? ISW_CLASS_NONE
                                : (uint8_t)isw_survey_years_class(samples[0][i]);
}

struct isw_map_theme isw_chart_years_theme(const struct isw_variety *variety,
                                           const struct isw_season *season,
                                           const struct isw_result_tally *tally) {
  return (struct isw_map_theme){.n_bands = 1,
                                .bands = {ISW_BAND_YEARS},
                                .nodata = ISW_BANDS_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .variety = variety,
                                .season = season,
                                .result = tally};
}

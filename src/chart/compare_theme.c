#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/palette.h"

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

static char *word_class(enum isw_gain_class gain, const struct isw_compare_titles *titles) {
  char much[16], some[16];
  g_snprintf(much, sizeof much, "%d", ISW_GAIN_MUCH);
  g_snprintf(some, sizeof some, "%d", ISW_GAIN_SOME);
  switch (gain) {
    case ISW_GAIN_ONLY_A_MUCH: return isw_words_say(ISW_SAY_GAIN_ONLY_MUCH, titles->a, much);
    case ISW_GAIN_ONLY_A: return isw_words_say(ISW_SAY_GAIN_ONLY, titles->a);
    case ISW_GAIN_BOTH_A: return isw_words_say(ISW_SAY_GAIN_BOTH, titles->a, some);
    case ISW_GAIN_BOTH_LIKE: return g_strdup(isw_words_text(ISW_SAY_GAIN_BOTH_LIKE));
    case ISW_GAIN_BOTH_B: return isw_words_say(ISW_SAY_GAIN_BOTH, titles->b, some);
    case ISW_GAIN_ONLY_B: return isw_words_say(ISW_SAY_GAIN_ONLY, titles->b);
    case ISW_GAIN_ONLY_B_MUCH: return isw_words_say(ISW_SAY_GAIN_ONLY_MUCH, titles->b, much);
    default: return g_strdup(isw_words_text(ISW_SAY_GAIN_NONE));
  }
}

/* From what B opens down to what only A has. */
static const enum isw_gain_class legend_order[] = {
    ISW_GAIN_ONLY_B_MUCH, ISW_GAIN_ONLY_B, ISW_GAIN_BOTH_B,      ISW_GAIN_BOTH_LIKE,
    ISW_GAIN_BOTH_A,      ISW_GAIN_ONLY_A, ISW_GAIN_ONLY_A_MUCH, ISW_GAIN_NONE};

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  body->edged = ISW_GAIN_NONE;
  isw_chart_word_compare_map(body->page, theme->titles, theme->season, theme->compared,
                             &body->words);
  for (size_t i = 0; i < G_N_ELEMENTS(legend_order); i++) {
    enum isw_gain_class gain = legend_order[i];
    char *label = word_class(gain, theme->titles);
    body->fills[gain] = class_fill(gain);
    isw_chart_add_class_entry(&body->legend, label, body->fills[gain],
                              theme->compared->class_m2[gain]);
    g_free(label);
  }
}

/* samples: verdict, score_gain */
static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++)
    body->grid.classes[i] = samples[0][i] == ISW_BANDS_NODATA
                                ? ISW_CLASS_NONE
                                : (uint8_t)isw_survey_gain_class(samples[0][i], samples[1][i]);
}

struct isw_map_theme isw_chart_compare_theme(const struct isw_compare_titles *titles,
                                             const struct isw_season *season,
                                             const struct isw_compare_tally *tally) {
  return (struct isw_map_theme){.n_bands = 2,
                                .bands = {ISW_COMPARE_VERDICT, ISW_COMPARE_SCORE_GAIN},
                                .nodata = ISW_BANDS_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .season = season,
                                .titles = titles,
                                .compared = tally};
}

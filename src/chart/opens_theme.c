#include <glib.h>

#include "chart/map_body.h"
#include "chart/map_theme.h"
#include "chart/map_words.h"
#include "chart/palette.h"
#include "words/shares.h"

struct isw_fill isw_chart_opens_fill(int code) {
  static const uint32_t already = 0xDCE6D3;
  if (code == ISW_OPENS_CODE_NOTHING) return isw_chart_empty_fill();
  if (code == ISW_OPENS_CODE_ALREADY) return isw_chart_plain_fill(isw_chart_colour_of_hex(already));
  return isw_chart_variety_fill(code - ISW_OPENS_CODE_FIRST_SHELTER, false);
}

static int code_count(const struct isw_plan *plan) {
  return ISW_OPENS_CODE_FIRST_SHELTER + plan->sheet->n_shelters;
}

void isw_chart_opens_colours(const struct isw_plan *plan, uint8_t colours[256][4]) {
  for (int code = 0; code < 256; code++) {
    const bool used = code < code_count(plan);
    const uint32_t hex = used ? isw_chart_hex_of_colour(isw_chart_opens_fill(code).ground) : 0;
    colours[code][0] = (uint8_t)(hex >> 16);
    colours[code][1] = (uint8_t)(hex >> 8);
    colours[code][2] = (uint8_t)hex;
    colours[code][3] = used ? 255 : 0;
  }
}

static char *share_of(double part_m2, double all_m2) {
  char share[ISW_SHARE_SIZE];
  return g_strdup(isw_words_word_share(part_m2, all_m2, share));
}

static void word(const struct isw_map_theme *theme, const struct isw_map_page *page,
                 struct isw_map_words *out) {
  const struct isw_opens_tally *tally = theme->opens;
  double all_m2 = 0;
  for (int code = 0; code < code_count(theme->plan); code++) all_m2 += tally->code_m2[code];
  const double already_m2 = tally->code_m2[ISW_OPENS_CODE_ALREADY];
  const double nothing_m2 = tally->code_m2[ISW_OPENS_CODE_NOTHING];
  *out = (struct isw_map_words){0};
  out->title = isw_words_say(ISW_SAY_MAP_OPENS_TITLE, page->crop_title, theme->season->name);
  out->subtitle =
      isw_chart_word_subtitle(page, theme->season, isw_words_text(ISW_SAY_MAP_OPENS_WHAT));
  out->note = g_strdup(isw_words_text(ISW_SAY_MAP_NOTE_SHARE));
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(text,
                         isw_words_say(ISW_SAY_ALT_OPENS, page->crop_title, theme->season->name));
  if (all_m2 > 0) {
    char *already = share_of(already_m2, all_m2), *nothing = share_of(nothing_m2, all_m2);
    char *sheltered = share_of(all_m2 - already_m2 - nothing_m2, all_m2);
    out->heading = isw_words_say(ISW_SAY_MAP_OPENS_HEADING, sheltered);
    isw_chart_add_sentence(text,
                           isw_words_say(ISW_SAY_ALT_OPENS_SHARES, already, sheltered, nothing));
    g_free(already);
    g_free(nothing);
    g_free(sheltered);
  } else {
    out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_NO_DATA_HEADING));
    isw_chart_add_sentence(text, g_strdup(isw_words_text(ISW_SAY_MAP_NO_DATA)));
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_opens_map(const struct isw_map_page *page, const struct isw_plan *plan,
                              const struct isw_season *season, const struct isw_opens_tally *tally,
                              struct isw_map_words *out) {
  const struct isw_map_theme theme = isw_chart_opens_theme(plan, season, tally);
  word(&theme, page, out);
}

static void add_entry(const struct isw_map_theme *theme, struct isw_map_body *body, int code,
                      const char *label) {
  if (theme->opens->code_m2[code] > 0)
    isw_chart_add_class_entry(&body->legend, label, isw_chart_opens_fill(code),
                              theme->opens->code_m2[code]);
}

static void describe(const struct isw_map_theme *theme, struct isw_map_body *body) {
  const struct isw_sheet *sheet = theme->plan->sheet;
  for (int code = ISW_OPENS_CODE_ALREADY; code < code_count(theme->plan); code++)
    body->fills[code] = isw_chart_opens_fill(code);
  add_entry(theme, body, ISW_OPENS_CODE_ALREADY, isw_words_text(ISW_SAY_LEGEND_OPEN_ALREADY));
  for (int i = 0; i < sheet->n_shelters; i++) {
    char *label = isw_words_say(ISW_SAY_LEGEND_OPENS_UNDER, sheet->shelters[i].title);
    add_entry(theme, body, ISW_OPENS_CODE_FIRST_SHELTER + i, label);
    g_free(label);
  }
  add_entry(theme, body, ISW_OPENS_CODE_NOTHING, isw_words_text(ISW_SAY_LEGEND_OPENS_NOT));
  word(theme, body->page, &body->words);
}

static void classify(const struct isw_map_theme *theme, struct isw_map_body *body,
                     int16_t *const *samples) {
  (void)theme;
  size_t n = (size_t)body->grid.width * (size_t)body->grid.height;
  for (size_t i = 0; i < n; i++)
    body->grid.classes[i] = samples[0][i] == ISW_PICK_NODATA          ? ISW_CLASS_NONE
                            : samples[0][i] == ISW_OPENS_CODE_NOTHING ? ISW_CLASS_EMPTY
                                                                      : (uint8_t)samples[0][i];
}

struct isw_map_theme isw_chart_opens_theme(const struct isw_plan *plan,
                                           const struct isw_season *season,
                                           const struct isw_opens_tally *tally) {
  return (struct isw_map_theme){.n_bands = 1,
                                .bands = {0},
                                .nodata = ISW_PICK_NODATA,
                                .describe = describe,
                                .classify = classify,
                                .plan = plan,
                                .season = season,
                                .opens = tally};
}

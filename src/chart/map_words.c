#include "chart/map_words.h"

#include <string.h>

#include "chart/condition_words.h"
#include "growth/windows.h"
#include "words/classes.h"
#include "words/date_words.h"
#include "words/shares.h"

void isw_chart_clear_words(struct isw_map_words *words) {
  g_free(words->title);
  g_free(words->subtitle);
  g_free(words->heading);
  g_free(words->note);
  g_free(words->description);
  *words = (struct isw_map_words){0};
}

struct isw_window isw_chart_season_days(const struct isw_map_page *page,
                                        const struct isw_season *season) {
  return isw_growth_season_days(season, page->south);
}

static void append_place(GString *text, const struct isw_map_page *page) {
  if (page->region_title != NULL && page->region_title[0] != '\0')
    g_string_append_printf(text, "%s. ", page->region_title);
}

char *isw_chart_season_date_words(const struct isw_map_page *page,
                                  const struct isw_season *season) {
  enum { NORTH, SOUTH, SIDES };
  char from[SIDES][ISW_DATE_SIZE], to[SIDES][ISW_DATE_SIZE];
  for (int side = 0; side < SIDES; side++) {
    struct isw_window days = isw_growth_season_days(season, side == SOUTH);
    isw_words_long_date(days.from_day, from[side]);
    isw_words_long_date(days.to_day, to[side]);
  }
  if (page->both_hemispheres)
    return g_strdup_printf("%s to %s north of the equator, %s to %s south of it", from[NORTH],
                           to[NORTH], from[SOUTH], to[SOUTH]);
  int side = page->south ? SOUTH : NORTH;
  return g_strdup_printf("%s to %s", from[side], to[side]);
}

static char *make_subtitle(const struct isw_map_page *page, const struct isw_season *season,
                           const char *what) {
  GString *text = g_string_new(NULL);
  append_place(text, page);
  char *dates = isw_chart_season_date_words(page, season);
  g_string_append_printf(text, "%s. %s Sowing dates looked at: %s.", page->crop_title, what, dates);
  g_free(dates);
  isw_chart_append_conditions(text, page->plan, false);
  return g_string_free(text, FALSE);
}

void isw_chart_word_sowing_map(const struct isw_map_page *page, const struct isw_variety *variety,
                               const struct isw_season *season,
                               const struct isw_result_tally *tally, struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  out->title = g_strdup_printf("When to sow: %s, %s", variety->title, season->name);
  out->subtitle =
      make_subtitle(page, season, "Best sowing day where there is a window of good days.");
  double with_m2 = 0;
  int most = 0, first = -1, last = -1;
  int start = isw_base_ten_day_period(isw_chart_season_days(page, season).from_day);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    int period = (start + i) % ISW_TEN_DAY_PERIODS;
    with_m2 += tally->period_m2[period];
    if (tally->period_m2[period] > tally->period_m2[most]) most = period;
    if (tally->period_m2[period] > 0 && first < 0) first = period;
    if (tally->period_m2[period] > 0) last = period;
  }
  double all_m2 = with_m2 + tally->no_window_m2;
  char period_text[ISW_DATE_SIZE], first_text[ISW_DATE_SIZE], last_text[ISW_DATE_SIZE];
  isw_words_period(most, period_text);
  GString *text = g_string_new(NULL);
  append_place(text, page);
  g_string_append_printf(text, "Map of the best day to sow %s, %s, in %s. ", page->crop_title,
                         variety->title, season->name);
  if (!(all_m2 > 0)) {
    out->heading = g_strdup("No climate data");
    g_string_append(text, "There are no climate data.");
  } else if (!(with_m2 > 0)) {
    out->heading = g_strdup("No window anywhere in this season");
    g_string_append(text, "There is no sowing window anywhere.");
  } else {
    char with[ISW_SHARE_SIZE];
    isw_words_word_share(with_m2, all_m2, with);
    char without[ISW_SHARE_SIZE];
    isw_words_word_share(tally->no_window_m2, all_m2, without);
    char share[ISW_SHARE_SIZE];
    isw_words_word_share(tally->period_m2[most], all_m2, share);
    out->heading =
        tally->no_window_m2 > 0
            ? g_strdup_printf("A window on %s of the area, most often %s", with, period_text)
            : g_strdup_printf("A window everywhere, most often %s", period_text);
    g_string_append_printf(text, "Most often it is %s (%s of the area)", period_text, share);
    if (first != last)
      g_string_append_printf(text, ", with dates from %s to %s",
                             isw_words_period(first, first_text),
                             isw_words_period(last, last_text));
    if (tally->no_window_m2 > 0)
      g_string_append_printf(text, "; %s has no sowing window.", without);
    else
      g_string_append(text, "; every place has a sowing window.");
    out->note = g_strdup(
        "Per cent: share of the area with climate data. Lines are generalised: small loops are "
        "left "
        "out, and where the date jumps no line is drawn; the colours show every cell.");
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_score_map(const struct isw_map_page *page, const struct isw_variety *variety,
                              const struct isw_season *season, const struct isw_result_tally *tally,
                              struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  out->title = g_strdup_printf("How good it gets: %s, %s", variety->title, season->name);
  out->subtitle = make_subtitle(page, season, "Score of the best sowing day, 0 to 100.");
  out->heading = g_strdup("Score of the best day");
  out->note = g_strdup("Per cent: share of the area with climate data.");
  double all_m2 = 0;
  int most = 0;
  for (int i = 0; i < ISW_SCORE_CLASSES; i++) {
    all_m2 += tally->score_m2[i];
    if (tally->score_m2[i] > tally->score_m2[most]) most = i;
  }
  GString *text = g_string_new(NULL);
  append_place(text, page);
  g_string_append_printf(text, "Map of the score of the best day to sow %s, %s, in %s. ",
                         page->crop_title, variety->title, season->name);
  if (all_m2 > 0) {
    char share[ISW_SHARE_SIZE];
    isw_words_word_share(tally->score_m2[most], all_m2, share);
    char fine[ISW_SHARE_SIZE];
    isw_words_word_share(tally->score_m2[2] + tally->score_m2[3], all_m2, fine);
    g_string_append_printf(text,
                           "Most often it is %s (%s of the area); %s of the area scores 70 or "
                           "more.",
                           isw_words_score_class(most), share, fine);
  } else {
    g_string_append(text, "There are no climate data.");
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_pick_map(const struct isw_map_page *page, const struct isw_sheet *sheet,
                             const struct isw_season *season, const struct isw_pick_tally *tally,
                             struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  out->title = g_strdup_printf("Which type to choose: %s", season->name);
  out->subtitle = make_subtitle(
      page, season, "The first type in order of preference that has a window of a week or more.");
  out->heading = g_strdup("Type to choose");
  out->note = g_strdup(
      "Per cent: share of the area with climate data. Risky: no type has a window, this one comes "
      "nearest.");
  double all_m2 = tally->none_m2;
  int most = -1;
  for (int v = 0; v < sheet->n_varieties; v++) {
    double both = tally->variety_m2[v] + tally->risky_m2[v];
    all_m2 += both;
    if (both > 0 && (most < 0 || both > tally->variety_m2[most] + tally->risky_m2[most])) most = v;
  }
  GString *text = g_string_new(NULL);
  append_place(text, page);
  g_string_append_printf(text, "Map of the type of %s to choose in %s. ", page->crop_title,
                         season->name);
  if (most >= 0) {
    char share[ISW_SHARE_SIZE];
    isw_words_word_share(tally->variety_m2[most] + tally->risky_m2[most], all_m2, share);
    char none[ISW_SHARE_SIZE];
    isw_words_word_share(tally->none_m2, all_m2, none);
    g_string_append_printf(text, "Most often it is %s (%s of the area); ",
                           sheet->varieties[most].title, share);
    if (tally->none_m2 > 0)
      g_string_append_printf(text, "%s of the area has none.", none);
    else
      g_string_append(text, "every place has one.");
  } else {
    g_string_append(
        text, all_m2 > 0 ? "No type is worth sowing anywhere." : "There are no climate data.");
  }
  out->description = g_string_free(text, FALSE);
}

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

static char *make_subtitle(const struct isw_map_page *page, const struct isw_season *season,
                           const char *what) {
  GString *text = g_string_new(NULL);
  append_place(text, page);
  struct isw_window days = isw_chart_season_days(page, season);
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  g_string_append_printf(text, "%s. %s Sowing dates looked at: %s to %s.", page->crop_title, what,
                         isw_words_long_date(days.from_day, from),
                         isw_words_long_date(days.to_day, to));
  isw_chart_append_conditions(text, page->plan, false);
  return g_string_free(text, FALSE);
}

static char *share_words(double part_m2, double whole_m2) {
  double percent = whole_m2 > 0 ? 100 * part_m2 / whole_m2 : 0;
  if (percent <= 0) return g_strdup("none");
  if (percent < 1) return g_strdup("less than 1 %");
  if (percent >= 99.5 && part_m2 < whole_m2) return g_strdup("more than 99 %");
  return g_strdup_printf("%.0f %%", percent);
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
    char *with = share_words(with_m2, all_m2);
    char *without = share_words(tally->no_window_m2, all_m2);
    char *share = share_words(tally->period_m2[most], all_m2);
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
    g_free(with);
    g_free(without);
    g_free(share);
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
    char *share = share_words(tally->score_m2[most], all_m2);
    char *fine = share_words(tally->score_m2[2] + tally->score_m2[3], all_m2);
    g_string_append_printf(text,
                           "Most often it is %s (%s of the area); %s of the area scores 70 or "
                           "more.",
                           isw_words_score_class(most), share, fine);
    g_free(share);
    g_free(fine);
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
    char *share = share_words(tally->variety_m2[most] + tally->risky_m2[most], all_m2);
    char *none = share_words(tally->none_m2, all_m2);
    g_string_append_printf(text, "Most often it is %s (%s of the area); ",
                           sheet->varieties[most].title, share);
    if (tally->none_m2 > 0)
      g_string_append_printf(text, "%s of the area has none.", none);
    else
      g_string_append(text, "every place has one.");
    g_free(share);
    g_free(none);
  } else {
    g_string_append(
        text, all_m2 > 0 ? "No type is worth sowing anywhere." : "There are no climate data.");
  }
  out->description = g_string_free(text, FALSE);
}

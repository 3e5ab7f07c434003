#include "chart/map_words.h"

#include "growth/windows.h"
#include "words/classes.h"
#include "words/condition_words.h"
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

void isw_chart_add_sentence(GString *text, char *sentence) {
  if (text->len > 0) g_string_append_c(text, ' ');
  g_string_append(text, sentence);
  g_free(sentence);
}

static void add_fixed(GString *text, enum isw_sentence sentence) {
  isw_chart_add_sentence(text, g_strdup(isw_words_text(sentence)));
}

GString *isw_chart_start_with_region(const struct isw_map_page *page) {
  GString *text = g_string_new(NULL);
  if (page->region_title != NULL && page->region_title[0] != '\0')
    isw_chart_add_sentence(text, isw_words_say(ISW_SAY_MAP_REGION, page->region_title));
  return text;
}

char *isw_chart_word_season_dates(const struct isw_map_page *page, const struct isw_season *season,
                                  enum isw_sentence one, enum isw_sentence both) {
  enum { NORTH, SOUTH, SIDES };
  char from[SIDES][ISW_DATE_SIZE], to[SIDES][ISW_DATE_SIZE];
  for (int side = 0; side < SIDES; side++) {
    struct isw_window days = isw_growth_season_days(season, side == SOUTH);
    isw_words_long_date(days.from_day, from[side]);
    isw_words_long_date(days.to_day, to[side]);
  }
  if (page->both_hemispheres)
    return isw_words_say(both, from[NORTH], to[NORTH], from[SOUTH], to[SOUTH]);
  int side = page->south ? SOUTH : NORTH;
  return isw_words_say(one, from[side], to[side]);
}

char *isw_chart_word_subtitle(const struct isw_map_page *page, const struct isw_season *season,
                              const char *what) {
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(text, g_strdup(what));
  isw_chart_add_sentence(text, isw_chart_word_season_dates(page, season, ISW_SAY_MAP_DATES,
                                                           ISW_SAY_MAP_DATES_OF_BOTH));
  isw_words_append_conditions(text, page->plan, page->fahrenheit);
  if (page->mask_line != NULL) isw_chart_add_sentence(text, g_strdup(page->mask_line));
  return g_string_free(text, FALSE);
}

/* What the periods of a map of dates come to. */
struct date_sums {
  double with_m2, all_m2;
  int most, first, last; /* periods; first and last in the season's order, -1: none */
};

static struct date_sums sum_dates(const struct isw_map_page *page, const struct isw_season *season,
                                  const double *period_m2, double none_m2) {
  struct date_sums sums = {.first = -1, .last = -1};
  int start = isw_base_ten_day_period(isw_chart_season_days(page, season).from_day);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    int period = (start + i) % ISW_TEN_DAY_PERIODS;
    sums.with_m2 += period_m2[period];
    if (period_m2[period] > period_m2[sums.most]) sums.most = period;
    if (period_m2[period] > 0 && sums.first < 0) sums.first = period;
    if (period_m2[period] > 0) sums.last = period;
  }
  sums.all_m2 = sums.with_m2 + none_m2;
  return sums;
}

static char *describe_dates(const struct date_sums *sums, const double *period_m2, double none_m2) {
  char most[ISW_DATE_SIZE], first[ISW_DATE_SIZE], last[ISW_DATE_SIZE];
  char share[ISW_SHARE_SIZE], without[ISW_SHARE_SIZE];
  isw_words_period(sums->most, most);
  isw_words_period(sums->first, first);
  isw_words_period(sums->last, last);
  isw_words_word_share(period_m2[sums->most], sums->all_m2, share);
  isw_words_word_share(none_m2, sums->all_m2, without);
  bool everywhere = !(none_m2 > 0), one = sums->first == sums->last;
  if (everywhere)
    return one ? isw_words_say(ISW_SAY_ALT_SOWING_ONE_EVERYWHERE, most, share)
               : isw_words_say(ISW_SAY_ALT_SOWING_MORE_EVERYWHERE, most, share, first, last);
  return one ? isw_words_say(ISW_SAY_ALT_SOWING_ONE, most, share, without)
             : isw_words_say(ISW_SAY_ALT_SOWING_MORE, most, share, without, first, last);
}

static char *head_sowing(const struct date_sums *sums, const struct isw_result_tally *tally) {
  char most[ISW_DATE_SIZE], with[ISW_SHARE_SIZE];
  isw_words_period(sums->most, most);
  if (!(tally->no_window_m2 > 0)) return isw_words_say(ISW_SAY_MAP_SOWING_EVERYWHERE, most);
  isw_words_word_share(sums->with_m2, sums->all_m2, with);
  return isw_words_say(ISW_SAY_MAP_SOWING_HEADING, with, most);
}

void isw_chart_word_sowing_map(const struct isw_map_page *page, const struct isw_variety *variety,
                               const struct isw_season *season,
                               const struct isw_result_tally *tally, struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  out->title =
      isw_words_say(ISW_SAY_MAP_SOWING_TITLE, page->crop_title, variety->title, season->title);
  out->subtitle = isw_chart_word_subtitle(page, season, isw_words_text(ISW_SAY_MAP_SOWING_WHAT));
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(
      text, isw_words_say(ISW_SAY_ALT_SOWING, page->crop_title, variety->title, season->title));
  struct date_sums sums = sum_dates(page, season, tally->period_m2, tally->no_window_m2);
  if (!(sums.all_m2 > 0)) {
    out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_NO_DATA_HEADING));
    add_fixed(text, ISW_SAY_MAP_NO_DATA);
  } else if (!(sums.with_m2 > 0)) {
    out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_SOWING_NOWHERE));
    add_fixed(text, ISW_SAY_ALT_SOWING_NOWHERE);
  } else {
    out->heading = head_sowing(&sums, tally);
    out->note = g_strdup(isw_words_text(ISW_SAY_MAP_SOWING_NOTE));
    isw_chart_add_sentence(text, describe_dates(&sums, tally->period_m2, tally->no_window_m2));
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_score_map(const struct isw_map_page *page, const struct isw_variety *variety,
                              const struct isw_season *season, const struct isw_result_tally *tally,
                              struct isw_map_words *out) {
  enum { GOOD = 2, VERY_GOOD = 3 };
  *out = (struct isw_map_words){0};
  out->title =
      isw_words_say(ISW_SAY_MAP_SCORE_TITLE, page->crop_title, variety->title, season->title);
  out->subtitle = isw_chart_word_subtitle(page, season, isw_words_text(ISW_SAY_MAP_SCORE_WHAT));
  out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_SCORE_HEADING));
  out->note = g_strdup(isw_words_text(ISW_SAY_MAP_NOTE_SHARE));
  double all_m2 = 0;
  int most = 0;
  for (int i = 0; i < ISW_SCORE_CLASSES; i++) {
    all_m2 += tally->score_m2[i];
    if (tally->score_m2[i] > tally->score_m2[most]) most = i;
  }
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(
      text, isw_words_say(ISW_SAY_ALT_SCORE, page->crop_title, variety->title, season->title));
  if (all_m2 > 0) {
    char share[ISW_SHARE_SIZE], fine[ISW_SHARE_SIZE], good_from[16];
    isw_words_word_share(tally->score_m2[most], all_m2, share);
    isw_words_word_share(tally->score_m2[GOOD] + tally->score_m2[VERY_GOOD], all_m2, fine);
    g_snprintf(good_from, sizeof good_from, "%d", isw_survey_score_class_from(GOOD));
    isw_chart_add_sentence(text, isw_words_say(ISW_SAY_ALT_SCORE_MOST, isw_words_score_class(most),
                                               share, fine, good_from));
  } else {
    add_fixed(text, ISW_SAY_MAP_NO_DATA);
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_years_map(const struct isw_map_page *page, const struct isw_variety *variety,
                              const struct isw_season *season, const struct isw_result_tally *tally,
                              struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  struct isw_conditions usual = isw_growth_default_conditions();
  int asked = page->plan != NULL ? page->plan->conditions.least_years : usual.least_years;
  double all_m2 = 0, good_m2 = 0;
  for (int years = 0; years <= ISW_YEARS_OF_TEN; years++) {
    all_m2 += tally->years_m2[years];
    if (years >= asked) good_m2 += tally->years_m2[years];
  }
  char least[16], ten[16], share[ISW_SHARE_SIZE];
  g_snprintf(least, sizeof least, "%d", asked);
  g_snprintf(ten, sizeof ten, "%d", ISW_YEARS_OF_TEN);
  isw_words_word_share(good_m2, all_m2, share);
  out->title =
      isw_words_say(ISW_SAY_MAP_YEARS_TITLE, page->crop_title, variety->title, season->title);
  out->subtitle = isw_chart_word_subtitle(page, season, isw_words_text(ISW_SAY_MAP_YEARS_WHAT));
  out->note = g_strdup(isw_words_text(ISW_SAY_MAP_YEARS_NOTE));
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(
      text, isw_words_say(ISW_SAY_ALT_YEARS, page->crop_title, variety->title, season->title));
  if (all_m2 > 0) {
    out->heading = isw_words_say(ISW_SAY_MAP_YEARS_HEADING, least, ten, share);
    isw_chart_add_sentence(text, isw_words_say(ISW_SAY_ALT_YEARS_SHARE, least, ten, share));
  } else {
    out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_NO_DATA_HEADING));
    add_fixed(text, ISW_SAY_MAP_NO_DATA);
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_span_map(const struct isw_map_page *page, const struct isw_season *season,
                             const struct isw_span_tally *tally, bool last,
                             struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  const double *period_m2 = last ? tally->last_period_m2 : tally->first_period_m2;
  struct date_sums sums = sum_dates(page, season, period_m2, tally->none_m2);
  out->title = isw_words_say(last ? ISW_SAY_MAP_LAST_TITLE : ISW_SAY_MAP_FIRST_TITLE,
                             page->crop_title, season->title);
  out->subtitle = isw_chart_word_subtitle(
      page, season, isw_words_text(last ? ISW_SAY_MAP_LAST_WHAT : ISW_SAY_MAP_FIRST_WHAT));
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(text, isw_words_say(last ? ISW_SAY_ALT_LAST : ISW_SAY_ALT_FIRST,
                                             page->crop_title, season->title));
  if (!(sums.all_m2 > 0)) {
    out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_NO_DATA_HEADING));
    add_fixed(text, ISW_SAY_MAP_NO_DATA);
  } else if (!(sums.with_m2 > 0)) {
    out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_SPAN_NOWHERE));
    add_fixed(text, ISW_SAY_ALT_SOWING_NOWHERE);
  } else {
    char most[ISW_DATE_SIZE], with[ISW_SHARE_SIZE];
    isw_words_period(sums.most, most);
    isw_words_word_share(sums.with_m2, sums.all_m2, with);
    out->heading =
        isw_words_say(last ? ISW_SAY_MAP_LAST_HEADING : ISW_SAY_MAP_FIRST_HEADING, with, most);
    out->note = g_strdup(isw_words_text(ISW_SAY_MAP_SOWING_NOTE));
    isw_chart_add_sentence(text, describe_dates(&sums, period_m2, tally->none_m2));
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_pick_map(const struct isw_map_page *page, const struct isw_sheet *sheet,
                             const struct isw_season *season, const struct isw_pick_tally *tally,
                             struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  out->title = isw_words_say(ISW_SAY_MAP_PICK_TITLE, page->crop_title, season->title);
  out->subtitle = isw_chart_word_subtitle(page, season, isw_words_text(ISW_SAY_MAP_PICK_WHAT));
  out->heading = g_strdup(isw_words_text(ISW_SAY_MAP_PICK_HEADING));
  out->note = g_strdup(isw_words_text(ISW_SAY_MAP_PICK_NOTE));
  double all_m2 = tally->none_m2, most_m2 = 0;
  int most = -1;
  for (int v = 0; v < sheet->n_varieties; v++) {
    double both_m2 = tally->variety_m2[v] + tally->risky_m2[v];
    all_m2 += both_m2;
    if (both_m2 > most_m2) {
      most = v;
      most_m2 = both_m2;
    }
  }
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(text, isw_words_say(ISW_SAY_ALT_PICK, page->crop_title, season->title));
  if (most >= 0) {
    char share[ISW_SHARE_SIZE], none[ISW_SHARE_SIZE];
    const char *title = sheet->varieties[most].title;
    isw_words_word_share(most_m2, all_m2, share);
    isw_words_word_share(tally->none_m2, all_m2, none);
    isw_chart_add_sentence(text, tally->none_m2 > 0
                                     ? isw_words_say(ISW_SAY_ALT_PICK_MOST, title, share, none)
                                     : isw_words_say(ISW_SAY_ALT_PICK_EVERYWHERE, title, share));
  } else {
    add_fixed(text, all_m2 > 0 ? ISW_SAY_ALT_PICK_NOWHERE : ISW_SAY_MAP_NO_DATA);
  }
  out->description = g_string_free(text, FALSE);
}

void isw_chart_word_compare_map(const struct isw_map_page *page,
                                const struct isw_compare_titles *titles,
                                const struct isw_season *season,
                                const struct isw_compare_tally *tally, struct isw_map_words *out) {
  *out = (struct isw_map_words){0};
  double all_m2 = isw_survey_compared_m2(tally);
  char both[ISW_SHARE_SIZE], only_a[ISW_SHARE_SIZE], only_b[ISW_SHARE_SIZE];
  isw_words_format_share(tally->verdict_m2[ISW_VERDICT_BOTH], all_m2, both);
  isw_words_format_share(tally->verdict_m2[ISW_VERDICT_ONLY_A], all_m2, only_a);
  isw_words_format_share(tally->verdict_m2[ISW_VERDICT_ONLY_B], all_m2, only_b);
  out->title = isw_words_say(ISW_SAY_MAP_COMPARE_TITLE, page->crop_title, titles->b, titles->a,
                             season->title);
  GString *subtitle = isw_chart_start_with_region(page);
  isw_chart_add_sentence(subtitle,
                         isw_chart_word_season_dates(page, season, ISW_SAY_MAP_COMPARE_WHAT,
                                                     ISW_SAY_MAP_COMPARE_WHAT_BOTH));
  isw_words_append_conditions(subtitle, page->plan, page->fahrenheit);
  out->subtitle = g_string_free(subtitle, FALSE);
  out->heading = isw_words_say(ISW_SAY_MAP_COMPARE_HEADING, titles->a, only_a, titles->b, only_b);
  out->note = g_strdup(isw_words_text(ISW_SAY_MAP_COMPARE_NOTE));
  GString *text = isw_chart_start_with_region(page);
  isw_chart_add_sentence(text, isw_words_say(ISW_SAY_ALT_COMPARE, titles->a, titles->b,
                                             page->crop_title, season->title));
  isw_chart_add_sentence(
      text, isw_words_say(ISW_SAY_ALT_COMPARE_SHARES, both, only_a, only_b, titles->a, titles->b));
  out->description = g_string_free(text, FALSE);
}

#include "chart/place_year_words.h"

#include "base/units.h"
#include "words/condition_words.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/quantities.h"
#include "words/say.h"

double isw_chart_show_temperature(double temp_C, bool fahrenheit) {
  return isw_base_from_celsius(temp_C, fahrenheit ? ISW_UNIT_F : ISW_UNIT_C);
}

const char *isw_chart_crop_title(const struct isw_year_view *view,
                                 const struct isw_place_crop *crop) {
  return view->plan->sheet->varieties[view->plan->varieties[crop->variety]].title;
}

static const char *season_name(const struct isw_year_view *view, int s) {
  return view->plan->sheet->seasons[view->plan->seasons[s]].title;
}

char *isw_chart_name_crop_seasons(const struct isw_year_view *view,
                                  const struct isw_place_crop *crop) {
  const char *names[ISW_SEASONS_MAX];
  for (int i = 0; i < crop->n_seasons; i++) names[i] = season_name(view, crop->seasons[i]);
  return isw_words_list(crop->n_seasons, names);
}

static char *capital_seasons(const struct isw_year_view *view, const struct isw_place_crop *crop) {
  char *seasons = isw_chart_name_crop_seasons(view, crop), *capital = isw_words_capital(seasons);
  g_free(seasons);
  return capital;
}

char *isw_chart_word_days(int from_day, int to_day) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE], first[16];
  int from_month, to_month, from_date, to_date;
  isw_base_date_of_day(from_day, &from_month, &from_date);
  isw_base_date_of_day(to_day, &to_month, &to_date);
  isw_words_short_date(from_day, from);
  isw_words_short_date(to_day, to);
  if (from_day == to_day) return g_strdup(from);
  g_snprintf(first, sizeof first, "%d", from_date);
  return isw_words_date_style() == ISW_DATES_DAY_FIRST && from_month == to_month &&
                 from_date < to_date
             ? isw_words_say(ISW_SAY_DAYS_OF_A_MONTH, first, to)
             : isw_words_say(ISW_SAY_DAYS_OF_MONTHS, from, to);
}

static char *word_sowing(const struct isw_result *r) {
  char best[ISW_DATE_SIZE];
  isw_words_short_date(r->best_sow_day, best);
  if (r->window.days >= ISW_YEAR_DAYS) return isw_words_say(ISW_SAY_YEAR_SOW_ALL_YEAR, best);
  if (r->window.days == 0) return isw_words_say(ISW_SAY_YEAR_SOW_RISKY, best);
  char *days = isw_chart_word_days(r->window.from_day, r->window.to_day);
  char *text = isw_words_say(ISW_SAY_YEAR_SOW, days, best);
  g_free(days);
  return text;
}

/* "Then: transplant 3 Sep, cut 21 Oct – 14 Nov." */
static char *word_cut(const struct isw_result *r) {
  char transplant[ISW_DATE_SIZE], date[ISW_DATE_SIZE];
  char *cut = r->window.days > 0 && r->window.days < ISW_YEAR_DAYS
                  ? isw_chart_word_days(r->cut_from_day, r->cut_to_day)
                  : g_strdup(isw_words_short_date(r->harvest_day, date));
  char *text = r->transplant_day < 0
                   ? isw_words_say(ISW_SAY_YEAR_CUT, cut)
                   : isw_words_say(ISW_SAY_YEAR_TRANSPLANT_CUT,
                                   isw_words_short_date(r->transplant_day, transplant), cut);
  g_free(cut);
  return text;
}

static struct isw_words_place about(const struct isw_year_view *view) {
  return (struct isw_words_place){view->plan, view->place, false};
}

void isw_chart_word_crop(const struct isw_year_view *view, const struct isw_year_crop *crop,
                         char *lines[ISW_CROP_LINES_MAX + 1]) {
  const struct isw_words_place place = about(view);
  const struct isw_result *r = &crop->result->result;
  int n = 0;
  lines[n++] = isw_words_join(word_sowing(r), isw_words_years(r));
  if (!crop->crop.risky) lines[n++] = word_cut(r);
  lines[n++] = isw_words_quality(&place, crop->programme, crop->result);
  lines[n++] = isw_words_risks(&place, crop->crop.variety, crop->crop.season);
  lines[n] = NULL;
}

char *isw_chart_word_types(const struct isw_year_view *view) {
  const struct isw_words_place place = about(view);
  return isw_words_types(&place, &view->types);
}

char *isw_chart_word_crop_heading(const struct isw_year_view *view,
                                  const struct isw_year_crop *crop) {
  char *seasons = capital_seasons(view, &crop->crop);
  char *text = isw_words_say(crop->crop.risky ? ISW_SAY_YEAR_PICK_RISKY : ISW_SAY_YEAR_PICK,
                             seasons, isw_chart_crop_title(view, &crop->crop));
  g_free(seasons);
  return text;
}

char *isw_chart_word_no_crop(const struct isw_year_view *view, int s) {
  for (int c = 0; c < view->n_crops; c++)
    for (int i = 0; i < view->crops[c].crop.n_seasons; i++)
      if (view->crops[c].crop.seasons[i] == s) return NULL;
  const struct isw_words_place place = about(view);
  char *season = isw_words_capital(season_name(view, s)), *none = isw_words_no_pick(&place, s);
  char *text = isw_words_say(ISW_SAY_YEAR_PICK, season, none);
  g_free(season);
  g_free(none);
  return text;
}

static char *word_subtitle(const struct isw_year_view *view, bool fahrenheit) {
  const struct isw_place *place = view->place;
  char *lat = isw_words_latitude(place->lat_text, place->lat_deg);
  char *lon = isw_words_longitude(place->lon_text, place->lon_deg);
  char *where = isw_words_say(place->south ? ISW_SAY_YEAR_SOUTHERN : ISW_SAY_YEAR_NORTHERN,
                              view->plan->sheet->title, lat, lon);
  GString *text = g_string_new(where);
  isw_words_append_conditions(text, view->plan, fahrenheit);
  g_free(where);
  g_free(lat);
  g_free(lon);
  return g_string_free(text, FALSE);
}

static char *word_description(const struct isw_year_view *view) {
  char *text = isw_words_say(ISW_SAY_YEAR_DESCRIPTION, view->place->name, view->plan->sheet->title);
  text = isw_words_join(text, isw_chart_word_types(view));
  for (int s = 0; s < view->plan->n_seasons; s++)
    text = isw_words_join(text, isw_chart_word_no_crop(view, s));
  for (int c = 0; c < view->n_crops; c++) {
    char *lines[ISW_CROP_LINES_MAX + 1];
    char *heading = isw_chart_word_crop_heading(view, &view->crops[c]);
    text = isw_words_join(text, g_strconcat(heading, ".", NULL));
    g_free(heading);
    isw_chart_word_crop(view, &view->crops[c], lines);
    for (int i = 0; lines[i] != NULL; i++) text = isw_words_join(text, lines[i]);
  }
  return text;
}

void isw_chart_word_year(const struct isw_year_view *view, bool fahrenheit,
                         struct isw_year_words *out) {
  const char *period = view->place->period;
  out->title = isw_words_say(ISW_SAY_YEAR_TITLE, view->place->name);
  out->subtitle = word_subtitle(view, fahrenheit);
  char *spread = isw_words_difference(view->plan->conditions.spread_K, fahrenheit);
  out->source = period != NULL ? isw_words_say(ISW_SAY_YEAR_SOURCE, spread, period)
                               : isw_words_say(ISW_SAY_YEAR_SOURCE_UNKNOWN, spread);
  g_free(spread);
  out->description = word_description(view);
}

void isw_chart_clear_year_words(struct isw_year_words *words) {
  g_free(words->title);
  g_free(words->subtitle);
  g_free(words->source);
  g_free(words->description);
  *words = (struct isw_year_words){0};
}

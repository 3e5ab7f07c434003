#include "chart/place_year_words.h"

#include "base/units.h"
#include "words/classes.h"
#include "words/condition_words.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/say.h"

double isw_chart_show_temperature(double temp_C, bool fahrenheit) {
  return isw_base_from_celsius(temp_C, fahrenheit ? ISW_UNIT_F : ISW_UNIT_C);
}

static double shown_difference(double difference_K, bool fahrenheit) {
  return fahrenheit ? difference_K / isw_base_difference_to_kelvin(1.0, ISW_UNIT_F) : difference_K;
}

const char *isw_chart_crop_title(const struct isw_year_view *view,
                                 const struct isw_place_crop *crop) {
  return view->plan->sheet->varieties[view->plan->varieties[crop->variety]].title;
}

static const char *season_name(const struct isw_year_view *view, int s) {
  return view->plan->sheet->seasons[view->plan->seasons[s]].name;
}

char *isw_chart_name_crop_seasons(const struct isw_year_view *view,
                                  const struct isw_place_crop *crop) {
  GString *text = g_string_new(NULL);
  for (int i = 0; i < crop->n_seasons; i++)
    g_string_append_printf(text, "%s%s",
                           i == 0                     ? ""
                           : i == crop->n_seasons - 1 ? " and "
                                                      : ", ",
                           season_name(view, crop->seasons[i]));
  char *capital = isw_words_capital(text->str);
  g_string_free(text, TRUE);
  return capital;
}

char *isw_chart_word_days(int from_day, int to_day) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  int from_month, to_month, from_date, to_date;
  isw_base_date_of_day(from_day, &from_month, &from_date);
  isw_base_date_of_day(to_day, &to_month, &to_date);
  isw_words_short_date(from_day, from);
  isw_words_short_date(to_day, to);
  if (from_day == to_day) return g_strdup(from);
  if (from_month == to_month && from_date < to_date) return g_strdup_printf("%d–%s", from_date, to);
  return g_strdup_printf("%s – %s", from, to);
}

static void append_span(GString *text, const char *what, int from_day, int to_day) {
  char *days = isw_chart_word_days(from_day, to_day);
  g_string_append_printf(text, "%s %s", what, days);
  g_free(days);
}

static char *limit_words(const struct isw_year_view *view, const struct isw_programme *programme,
                         const struct isw_place_result *result) {
  const struct isw_words_place about = {view->plan, view->place, false};
  return isw_words_limit(&about, programme, result);
}

char *isw_chart_word_crop(const struct isw_year_view *view, const struct isw_year_crop *crop) {
  const struct isw_place_result *place = crop->result;
  const struct isw_result *r = &place->result;
  GString *text = g_string_new(NULL);
  char date[ISW_DATE_SIZE];
  if (r->window.days >= ISW_YEAR_DAYS) {
    g_string_append_printf(text, "Sow all year, best %s",
                           isw_words_short_date(r->best_sow_day, date));
  } else if (r->window.days > 0) {
    append_span(text, "Sow", r->window.from_day, r->window.to_day);
    g_string_append_printf(text, ", best %s", isw_words_short_date(r->best_sow_day, date));
  } else {
    g_string_append_printf(text, "No good day; least risky: sow %s",
                           isw_words_short_date(r->best_sow_day, date));
  }
  if (r->harvest_day >= 0) g_string_append(text, "\nThen: ");
  if (r->transplant_day >= 0)
    g_string_append_printf(text, "transplant %s, ", isw_words_short_date(r->transplant_day, date));
  if (r->harvest_day >= 0)
    g_string_append_printf(text, "cut %s", isw_words_short_date(r->harvest_day, date));
  g_string_append_printf(text, "\nScore %d, %s; frost %s, bolting %s", (r->score_tenths + 5) / 10,
                         isw_words_score(r->score_tenths), isw_words_frost(r->frost_risk),
                         isw_words_bolting(r->bolt_risk));
  char *limit = limit_words(view, crop->programme, place);
  if (limit[0] != '\0') g_string_append_printf(text, "\nWeakest: %s", limit);
  g_free(limit);
  return g_string_free(text, FALSE);
}

char *isw_chart_word_no_crop(const struct isw_year_view *view, int s) {
  const struct isw_plan *plan = view->plan;
  for (int c = 0; c < view->n_crops; c++)
    for (int i = 0; i < view->crops[c].crop.n_seasons; i++)
      if (view->crops[c].crop.seasons[i] == s) return NULL;
  char *season = isw_words_capital(season_name(view, s));
  int best = 0;
  for (int v = 1; v < plan->n_varieties; v++)
    if (view->place->results[isw_growth_result_index(plan, v, s)].result.score_tenths >
        view->place->results[isw_growth_result_index(plan, best, s)].result.score_tenths)
      best = v;
  const struct isw_place_result *result =
      &view->place->results[isw_growth_result_index(plan, best, s)];
  char *limit = limit_words(view, &plan->programmes[plan->programme_of[best][s]], result);
  char *text =
      g_strdup_printf("%s: nothing to sow (highest score %d%s%s)", season,
                      (result->result.score_tenths + 5) / 10, limit[0] != '\0' ? "; " : "", limit);
  g_free(season);
  g_free(limit);
  return text;
}

static char *word_coordinate(const char *text, double value, char positive, char negative) {
  return g_strdup_printf("%s° %c", text + (text[0] == '-' || text[0] == '+'),
                         value < 0 ? negative : positive);
}

static char *word_subtitle(const struct isw_year_view *view, bool fahrenheit) {
  const struct isw_place *place = view->place;
  char *lat = word_coordinate(place->lat_text, place->lat_deg, 'N', 'S');
  char *lon = word_coordinate(place->lon_text, place->lon_deg, 'E', 'W');
  GString *text = g_string_new(NULL);
  g_string_printf(text, "%s. %s, %s; seasons of the %s hemisphere.", view->plan->sheet->title, lat,
                  lon, place->south ? "southern" : "northern");
  isw_words_append_conditions(text, view->plan, fahrenheit);
  g_free(lat);
  g_free(lon);
  return g_string_free(text, FALSE);
}

static char *word_description(const struct isw_year_view *view) {
  GString *text = g_string_new(NULL);
  g_string_printf(text,
                  "Chart of the year at %s for %s: daily normal temperatures, the stages of each "
                  "season's pick, frost odds and the score of every sowing day.",
                  view->place->name, view->plan->sheet->title);
  for (int s = 0; s < view->plan->n_seasons; s++) {
    char *none = isw_chart_word_no_crop(view, s);
    if (none != NULL) g_string_append_printf(text, " %s.", none);
    g_free(none);
  }
  for (int c = 0; c < view->n_crops; c++) {
    char *seasons = isw_chart_name_crop_seasons(view, &view->crops[c].crop);
    char *words = isw_chart_word_crop(view, &view->crops[c]);
    char **lines = g_strsplit(words, "\n", -1);
    char *line = g_strjoinv("; ", lines);
    g_string_append_printf(text, " %s: %s. %s.", seasons,
                           isw_chart_crop_title(view, &view->crops[c].crop), line);
    g_free(line);
    g_strfreev(lines);
    g_free(words);
    g_free(seasons);
  }
  return g_string_free(text, FALSE);
}

void isw_chart_word_year(const struct isw_year_view *view, bool fahrenheit,
                         struct isw_year_words *out) {
  const char *period = view->place->period;
  out->title = g_strdup_printf("The year at %s", view->place->name);
  out->subtitle = word_subtitle(view, fahrenheit);
  double spread = view->plan->conditions.spread_K;
  out->source = g_strdup_printf(
      "Monthly normals%s%s, drawn as days. Frost odds: single nights spread by %.3g °%c about "
      "their "
      "normal.",
      period != NULL ? " " : ", period not stated", period != NULL ? period : "",
      shown_difference(spread, fahrenheit), fahrenheit ? 'F' : 'C');
  out->description = word_description(view);
}

void isw_chart_clear_year_words(struct isw_year_words *words) {
  g_free(words->title);
  g_free(words->subtitle);
  g_free(words->source);
  g_free(words->description);
  *words = (struct isw_year_words){0};
}

#include "words/record_words.h"

#include <math.h>

#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

/* Years of one fault that are named one by one. */
enum { YEARS_NAMED_MOST = 8 };

static const struct isw_backtest_result *result_of(const struct isw_words_place *about, int v,
                                                   int s) {
  return &about->place->backtest->results[isw_growth_result_index(about->plan, v, s)];
}

static const struct isw_backtest_season *season_of(const struct isw_words_place *about, int s) {
  return &about->place->backtest->seasons[s];
}

char *isw_words_fault(const struct isw_sheet *sheet, int fault) {
  return fault == ISW_LIMIT_NOTHING ? g_strdup(isw_words_text(ISW_SAY_RECORD_FAULT_SCORE))
                                    : isw_words_short_limit(sheet, fault);
}

static char *count_text(const struct isw_words_place *about, int v, int s) {
  const struct isw_backtest_result *result = result_of(about, v, s);
  const struct isw_backtest_season *season = season_of(about, s);
  const int years = about->place->results[isw_growth_result_index(about->plan, v, s)].result.years;
  if (season->n_years == 0) return g_strdup(isw_words_text(ISW_SAY_RECORD_NO_YEARS));
  char date[ISW_DATE_SIZE], *good = isw_words_number(result->n_good), *promised = NULL;
  const char *title = about->plan->sheet->varieties[about->plan->varieties[v]].title;
  char *text =
      isw_words_say(ISW_SAY_RECORD_SOWN, title, isw_words_long_date(result->sow_day, date));
  text = isw_words_join(text, isw_words_count_with(ISW_SAY_RECORD_GOOD, season->n_years, good));
  if (years >= 0) {
    char *number = isw_words_number(years);
    promised = isw_words_say(ISW_SAY_RECORD_PROMISED, number);
    g_free(number);
  }
  g_free(good);
  text = isw_words_join(text, promised);
  return season->left_out == 0
             ? text
             : isw_words_join(text, isw_words_count(ISW_SAY_RECORD_LEFT_OUT, season->left_out));
}

/* "1965, 1971 and 1983" */
static char *years_of(const struct isw_backtest_season *season,
                      const struct isw_backtest_result *result, int fault) {
  GPtrArray *years = g_ptr_array_new_with_free_func(g_free);
  for (int y = 0; y < season->n_years; y++)
    if (!result->years[y].good && result->years[y].fault == fault)
      g_ptr_array_add(years, isw_words_number(season->years[y]));
  char *list = isw_words_list((int)years->len, (const char *const *)years->pdata);
  g_ptr_array_unref(years);
  return list;
}

static char *faults_text(const struct isw_words_place *about, int v, int s) {
  const struct isw_backtest_result *result = result_of(about, v, s);
  const struct isw_backtest_season *season = season_of(about, s);
  int faults[ISW_FAULTS_MAX], counts[ISW_FAULTS_MAX];
  const int n = isw_survey_count_faults(season, result, faults, counts);
  char *all = NULL;
  for (int i = 0; i < n; i++) {
    char *fault = isw_words_fault(about->plan->sheet, faults[i]), *item;
    if (counts[i] > YEARS_NAMED_MOST) {
      item = isw_words_count_with(ISW_SAY_RECORD_FAULT_OFTEN, counts[i], fault);
    } else {
      char *years = years_of(season, result, faults[i]);
      item = isw_words_say(ISW_SAY_RECORD_FAULT, years, fault);
      g_free(years);
    }
    g_free(fault);
    char *more =
        all == NULL ? g_strdup(item) : isw_words_say(ISW_SAY_RECORD_FAULTS_MORE, all, item);
    g_free(item);
    g_free(all);
    all = more;
  }
  if (all == NULL) return NULL;
  char *text = isw_words_say(ISW_SAY_RECORD_WRONG, all);
  g_free(all);
  return text;
}

static char *hindsight_text(const struct isw_words_place *about, int v, int s) {
  const struct isw_backtest_result *result = result_of(about, v, s);
  char date[ISW_DATE_SIZE];
  if (season_of(about, s)->n_years == 0) return NULL;
  if (result->hindsight_day < 0) return g_strdup(isw_words_text(ISW_SAY_RECORD_HINDSIGHT_NONE));
  if (result->hindsight_good <= result->n_good) return NULL;
  char *good = isw_words_number(result->hindsight_good);
  char *text = isw_words_say(ISW_SAY_RECORD_HINDSIGHT,
                             isw_words_long_date(result->hindsight_day, date), good);
  g_free(good);
  return text;
}

static char *shift_text(const struct isw_trend *trend) {
  if (isnan(trend->shift_days)) return NULL;
  char *recent = isw_words_number(trend->best_recent), *text;
  char *before = isw_words_number(trend->best_before);
  const int days = (int)floor(fabs(trend->shift_days) + 0.5);
  const bool clear = trend->shift_beyond_chance;
  if (days == 0)
    text = isw_words_say(ISW_SAY_RECORD_NO_SHIFT, recent, before);
  else if (trend->shift_days < 0.0)
    text = isw_words_count_with(clear ? ISW_SAY_RECORD_EARLIER : ISW_SAY_RECORD_EARLIER_BY_CHANCE,
                                days, recent, before);
  else
    text = isw_words_count_with(clear ? ISW_SAY_RECORD_LATER : ISW_SAY_RECORD_LATER_BY_CHANCE, days,
                                recent, before);
  g_free(recent);
  g_free(before);
  return text;
}

static char *trend_text(const struct isw_words_place *about, int v, int s) {
  const struct isw_trend *trend = &result_of(about, v, s)->trend;
  if (trend->n_recent == 0) return NULL;
  const bool better = trend->good_recent * trend->n_before > trend->good_before * trend->n_recent;
  char *n_recent = isw_words_number(trend->n_recent), *n_before = isw_words_number(trend->n_before);
  char *recent = isw_words_number(trend->good_recent),
       *before = isw_words_number(trend->good_before);
  char *text = isw_words_say(!trend->good_beyond_chance ? ISW_SAY_RECORD_ALIKE
                             : better                   ? ISW_SAY_RECORD_BETTER
                                                        : ISW_SAY_RECORD_WORSE,
                             n_recent, recent, n_before, before);
  g_free(n_recent);
  g_free(n_before);
  g_free(recent);
  g_free(before);
  return isw_words_join(text, shift_text(trend));
}

char *isw_words_record_lead(const struct isw_words_place *about) {
  const struct isw_backtest *backtest = about->place->backtest;
  char *from = isw_words_number(backtest->from_year), *to = isw_words_number(backtest->to_year);
  char *lead = isw_words_say(ISW_SAY_RECORD_LEAD, from, to);
  g_free(from);
  g_free(to);
  return lead;
}

char *isw_words_record_of(const struct isw_words_place *about) {
  const struct isw_backtest *backtest = about->place->backtest;
  const int away_km = (int)floor(backtest->away_km + 0.5);
  if (away_km == 0) return isw_words_say(ISW_SAY_RECORD_AT, backtest->station);
  char *number = isw_words_number(away_km);
  char *text = isw_words_say(ISW_SAY_RECORD_NEAR, backtest->station, number);
  g_free(number);
  return text;
}

void isw_words_record_lines(const struct isw_words_place *about, int v, int s,
                            char *lines[ISW_RECORD_LINES]) {
  lines[ISW_RECORD_COUNT] = count_text(about, v, s);
  lines[ISW_RECORD_FAULTS] = faults_text(about, v, s);
  lines[ISW_RECORD_HINDSIGHT] = hindsight_text(about, v, s);
  lines[ISW_RECORD_TREND] = trend_text(about, v, s);
}

char *isw_words_record(const struct isw_words_place *about, int v, int s, int n) {
  char *lines[ISW_RECORD_LINES], *text = NULL;
  isw_words_record_lines(about, v, s, lines);
  for (int i = 0; i < ISW_RECORD_LINES; i++) {
    if (i < n)
      text = isw_words_join(text, lines[i]);
    else
      g_free(lines[i]);
  }
  return text;
}

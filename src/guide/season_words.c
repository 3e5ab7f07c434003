#include "guide/season_words.h"

#include <math.h>

#include "guide/guide_words.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/say.h"
#include "words/shares.h"

static const char nothing[] = "–";

/* "Late storage type 26 Jul – 7 Aug; Standard type 8 Aug – 14 Aug"; of the type to choose alone,
 * the dates. */
static char *word_types(const struct isw_guide_facts *facts, int region, int s, int pick) {
  struct isw_table_type types[ISW_REGION_RUNS_MAX];
  int n = isw_guide_read_types(facts->table, region, s, types);
  if (n == 0) return g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_COMMON_DATE));
  if (n == 1 && types[0].variety == pick) return isw_guide_days_words(types[0].days);
  char *all = NULL;
  for (int i = 0; i < n; i++) {
    char *run = isw_guide_type_words(facts, types[i].variety, types[i].days);
    char *longer = all != NULL ? isw_words_say(ISW_SAY_GUIDE_MORE, all, run) : g_strdup(run);
    g_free(run);
    g_free(all);
    all = longer;
  }
  return all;
}

static void set_key(struct isw_season_words *out, enum isw_season_column column, int key) {
  out->keys[column] = key;
  out->has_key[column] = true;
}

static char *word_percent(int percent) {
  char number[16];
  g_snprintf(number, sizeof number, "%d", percent);
  return isw_words_say(ISW_SAY_SHARE, number);
}

/* Of the type to choose, which has a window. */
static void word_row(const struct isw_table_row *row, bool median_tells,
                     struct isw_season_words *out) {
  char years[16];
  const int *best = row->day[ISW_TABLE_BEST_SOW], *after = row->after[ISW_TABLE_BEST_SOW];
  struct isw_window half = {best[0], best[2], after[2] - after[0] + 1};
  out->texts[ISW_SEASON_BEST] =
      isw_guide_days_words(median_tells ? (struct isw_window){best[1], best[1], 1} : half);
  set_key(out, ISW_SEASON_BEST, row->after[ISW_TABLE_BEST_SOW][1]);
  if (row->median_years >= 0) {
    g_snprintf(years, sizeof years, "%d", row->median_years);
    out->texts[ISW_SEASON_YEARS] = isw_words_say(ISW_SAY_GUIDE_OF_TEN_YEARS, years);
    set_key(out, ISW_SEASON_YEARS, row->median_years);
  }
  struct isw_window cut = {row->day[ISW_TABLE_CUT_FROM][1], row->day[ISW_TABLE_CUT_TO][1], 2};
  if (cut.from_day == cut.to_day) cut.days = 1;
  out->texts[ISW_SEASON_CUT] = isw_guide_days_words(cut);
  set_key(out, ISW_SEASON_CUT, row->after[ISW_TABLE_CUT_FROM][1]);
  out->texts[ISW_SEASON_FROST] = word_percent(row->median_frost_percent);
  set_key(out, ISW_SEASON_FROST, row->median_frost_percent);
  out->texts[ISW_SEASON_BOLTING] = word_percent(row->median_bolting_percent);
  set_key(out, ISW_SEASON_BOLTING, row->median_bolting_percent);
}

void isw_guide_word_season(const struct isw_guide_facts *facts, int region, int s,
                           struct isw_season_words *out) {
  *out = (struct isw_season_words){.texts = {NULL}};
  struct isw_table_pick pick = isw_guide_read_pick(facts->table, region, s);
  int v = isw_guide_chosen_variety(facts->plan, pick.variety);
  struct isw_table_row row;
  isw_guide_read_row(facts->table, region, MAX(v, 0), s, &row);
  double share = isw_guide_read_span_share(facts->table, region, s);
  if (!(row.area_km2 > 0.0)) {
    out->texts[ISW_SEASON_TYPE] = g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_DATA));
  } else {
    char text[ISW_SHARE_SIZE];
    out->texts[ISW_SEASON_TYPE] = isw_guide_pick_words(facts, pick);
    out->texts[ISW_SEASON_SHARE] = g_strdup(isw_words_format_share(share, 1.0, text));
    set_key(out, ISW_SEASON_SHARE, (int)(1000.0 * share));
    if (v >= 0 && pick.risky)
      out->texts[ISW_SEASON_SOW] = g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_WINDOW));
    else if (v >= 0)
      out->texts[ISW_SEASON_SOW] = word_types(facts, region, s, pick.variety);
    if (v >= 0 && !pick.risky && row.has_dates)
      word_row(&row, isw_guide_can_sow(facts->table, region, s, row.day[ISW_TABLE_BEST_SOW][1]),
               out);
  }
  for (int i = 0; i < ISW_SEASON_COLUMNS; i++)
    if (out->texts[i] == NULL) out->texts[i] = g_strdup(nothing);
}

/* "Late storage type 26 Jul – 7 Aug; ..." of a place's own span. */
static char *word_span(const struct isw_guide_facts *facts, const struct isw_span *span, int pick) {
  char *all = NULL;
  for (int i = 0; i < span->n_runs; i++) {
    const struct isw_type_run *of = &span->runs[i];
    struct isw_window days = {of->from_day, of->to_day,
                              isw_base_days_forward(of->from_day, of->to_day) + 1};
    char *run = span->n_runs == 1 && of->variety == pick
                    ? isw_guide_days_words(days)
                    : isw_guide_type_words(facts, of->variety, days);
    char *longer = all != NULL ? isw_words_say(ISW_SAY_GUIDE_MORE, all, run) : g_strdup(run);
    g_free(run);
    g_free(all);
    all = longer;
  }
  return all;
}

static void word_place_result(const struct isw_result *result, struct isw_season_words *out) {
  char best[ISW_DATE_SIZE], years[16];
  out->texts[ISW_SEASON_BEST] = g_strdup(isw_words_short_date(result->best_sow_day, best));
  if (result->years >= 0) {
    g_snprintf(years, sizeof years, "%d", result->years);
    out->texts[ISW_SEASON_YEARS] = isw_words_say(ISW_SAY_GUIDE_OF_TEN_YEARS, years);
  }
  struct isw_window cut = {result->cut_from_day, result->cut_to_day, 2};
  if (cut.from_day == cut.to_day) cut.days = 1;
  out->texts[ISW_SEASON_CUT] = isw_guide_days_words(cut);
  out->texts[ISW_SEASON_FROST] = word_percent((int)floor(100.0 * result->frost_risk + 0.5));
  out->texts[ISW_SEASON_BOLTING] = word_percent((int)floor(100.0 * result->bolt_risk + 0.5));
}

void isw_guide_word_place_season(const struct isw_guide_facts *facts, const struct isw_place *place,
                                 int s, struct isw_season_words *out) {
  *out = (struct isw_season_words){.texts = {NULL}};
  if (place == NULL) {
    out->texts[ISW_SEASON_TYPE] = g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_DATA));
  } else {
    const struct isw_place_season *season = &place->seasons[s];
    int pick = season->pick.variety, v = isw_guide_chosen_variety(facts->plan, pick);
    out->texts[ISW_SEASON_TYPE] =
        isw_guide_pick_words(facts, (struct isw_table_pick){pick, season->pick.risky, 0.0});
    if (v >= 0 && season->pick.risky)
      out->texts[ISW_SEASON_SOW] = g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_WINDOW));
    else if (v >= 0)
      out->texts[ISW_SEASON_SOW] = word_span(facts, &season->span, pick);
    if (v >= 0 && !season->pick.risky)
      word_place_result(&place->results[isw_growth_result_index(facts->plan, v, s)].result, out);
  }
  for (int i = 0; i < ISW_SEASON_COLUMNS; i++)
    if (out->texts[i] == NULL) out->texts[i] = g_strdup(nothing);
}

void isw_guide_clear_season_words(struct isw_season_words *words) {
  for (int i = 0; i < ISW_SEASON_COLUMNS; i++) g_free(words->texts[i]);
}

bool isw_guide_has_season_column(const struct isw_sheet *sheet, enum isw_season_column column) {
  return column != ISW_SEASON_BOLTING || sheet->has_chilling;
}

static const char *chilling_head(const struct isw_sheet *sheet) {
  char *capital = isw_words_capital(isw_words_chilling_makes(sheet));
  const char *head = g_intern_string(capital);
  g_free(capital);
  return head;
}

const char *isw_guide_season_head(const struct isw_sheet *sheet, enum isw_season_column column) {
  switch (column) {
    case ISW_SEASON_TYPE: return isw_words_text(ISW_SAY_GUIDE_HEAD_TYPE);
    case ISW_SEASON_SOW: return isw_words_text(ISW_SAY_GUIDE_HEAD_SOW);
    case ISW_SEASON_BEST: return isw_words_text(ISW_SAY_GUIDE_HEAD_BEST);
    case ISW_SEASON_YEARS: return isw_words_text(ISW_SAY_GUIDE_HEAD_YEARS);
    case ISW_SEASON_CUT: return isw_words_text(ISW_SAY_GUIDE_HEAD_CUT);
    case ISW_SEASON_FROST: return isw_words_text(ISW_SAY_GUIDE_HEAD_FROST);
    case ISW_SEASON_BOLTING: return chilling_head(sheet);
    case ISW_SEASON_SHARE: return isw_words_text(ISW_SAY_GUIDE_HEAD_SHARE);
    case ISW_SEASON_COLUMNS: break;
  }
  return "";
}

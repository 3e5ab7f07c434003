#include "output/card_in_hand.h"
#include "output/text_lines.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

enum column { VARIETY, WINDOW, BEST, CUT, YEARS, SCORE, LIMIT, COLUMNS };

static const struct isw_result *result_of(const struct isw_card *card, int v, int s) {
  return &card->about.place->results[isw_growth_result_index(card->about.plan, v, s)].result;
}

static char *window_cell(struct isw_window window) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  if (window.days == 0) return g_strdup(isw_words_text(ISW_SAY_CELL_NO_WINDOW));
  if (window.days >= ISW_YEAR_DAYS) return g_strdup(isw_words_text(ISW_SAY_CELL_ALL_YEAR));
  isw_words_short_date(window.from_day, from);
  if (window.days == 1) return g_strdup(from);
  return isw_words_say(ISW_SAY_CELL_DAYS, from, isw_words_short_date(window.to_day, to));
}

static const char *date_cell(int day, char date[ISW_DATE_SIZE]) {
  return day < 0 ? "-" : isw_words_short_date(day, date);
}

static void add_row(const struct isw_card *card, struct isw_text_table *table, int v, int s) {
  const struct isw_plan *plan = card->about.plan;
  const struct isw_result *r = result_of(card, v, s);
  char best[ISW_DATE_SIZE], cut[ISW_DATE_SIZE];
  char *window = window_cell(r->window), *score = isw_words_number((r->score_tenths + 5) / 10),
       *limit = isw_words_short_limit(plan->sheet, r->limit),
       *years = r->years < 0 ? g_strdup("-") : isw_words_number(r->years);
  isw_output_add_row(table, (const char *const[COLUMNS]){
                                [VARIETY] = plan->sheet->varieties[plan->varieties[v]].title,
                                [WINDOW] = window,
                                [BEST] = date_cell(r->best_sow_day, best),
                                [CUT] = date_cell(r->harvest_day, cut),
                                [YEARS] = years,
                                [SCORE] = score,
                                [LIMIT] = limit});
  g_free(window);
  g_free(years);
  g_free(score);
  g_free(limit);
}

static void add_season(const struct isw_card *card, struct isw_text_table *table, int s) {
  const struct isw_plan *plan = card->about.plan;
  struct isw_window dates = card->about.place->seasons[s].sowing_dates;
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  char *name = isw_words_capital(plan->sheet->seasons[plan->seasons[s]].name);
  char *text = isw_words_say(ISW_SAY_CARD_SEASON, name, isw_words_short_date(dates.from_day, from),
                             isw_words_short_date(dates.to_day, to));
  isw_output_add_across(table, text);
  g_free(text);
  g_free(name);
}

void isw_output_append_card_table(struct isw_card *card) {
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_CARD_VARIETIES));
  struct isw_text_table table = isw_output_start_table(
      COLUMNS, 1U << VARIETY | 1U << WINDOW | 1U << LIMIT, 1U << YEARS | 1U << SCORE);
  isw_output_add_row(&table,
                     (const char *const[COLUMNS]){[VARIETY] = "",
                                                  [WINDOW] = isw_words_text(ISW_SAY_COLUMN_WINDOW),
                                                  [BEST] = isw_words_text(ISW_SAY_COLUMN_BEST),
                                                  [CUT] = isw_words_text(ISW_SAY_COLUMN_CUT),
                                                  [YEARS] = isw_words_text(ISW_SAY_COLUMN_YEARS),
                                                  [SCORE] = isw_words_text(ISW_SAY_COLUMN_SCORE),
                                                  [LIMIT] = isw_words_text(ISW_SAY_COLUMN_LIMIT)});
  for (int s = 0; s < card->about.plan->n_seasons; s++) {
    add_season(card, &table, s);
    for (int v = 0; v < card->about.plan->n_varieties; v++) add_row(card, &table, v, s);
  }
  isw_output_finish_table(&table, card->out, ISW_CARD_COLUMNS);
}

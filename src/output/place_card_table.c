#include "output/place_card_parts.h"
#include "output/text_lines.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

enum column { VARIETY, WINDOW, BEST, TRANSPLANT, CUT, SCORE, LIMIT, COLUMNS };

static const struct isw_result *result_of(const struct isw_card *card, int v, int s) {
  return &card->about.place->results[isw_growth_result_index(card->about.plan, v, s)].result;
}

/* An earlier season of the variety with the very same window, or -1. */
static int same_window_before(const struct isw_card *card, int v, int s) {
  const struct isw_window *window = &result_of(card, v, s)->window;
  for (int earlier = 0; earlier < s && window->days > 0; earlier++) {
    const struct isw_window *other = &result_of(card, v, earlier)->window;
    if (other->days == window->days && other->from_day == window->from_day) return earlier;
  }
  return -1;
}

static char *window_cell(const struct isw_card *card, int v, int s) {
  const struct isw_plan *plan = card->about.plan;
  struct isw_window window = result_of(card, v, s)->window;
  if (window.days == 0) return g_strdup(isw_words_text(ISW_SAY_CELL_NO_WINDOW));
  int same = same_window_before(card, v, s);
  if (same >= 0)
    return isw_words_say(ISW_SAY_CELL_AS, plan->sheet->seasons[plan->seasons[same]].name);
  if (window.days >= ISW_YEAR_DAYS) return g_strdup(isw_words_text(ISW_SAY_CELL_ALL_YEAR));
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  return isw_words_say(ISW_SAY_CELL_DAYS, isw_words_short_date(window.from_day, from),
                       isw_words_short_date(window.to_day, to));
}

static const char *date_cell(int day, char date[ISW_DATE_SIZE]) {
  return day < 0 ? "-" : isw_words_short_date(day, date);
}

static void add_row(const struct isw_card *card, struct isw_text_table *table, int v, int s) {
  const struct isw_plan *plan = card->about.plan;
  const struct isw_result *r = result_of(card, v, s);
  char best[ISW_DATE_SIZE], transplant[ISW_DATE_SIZE], cut[ISW_DATE_SIZE];
  char *window = window_cell(card, v, s), *score = isw_words_number((r->score_tenths + 5) / 10),
       *limit = isw_words_short_limit(plan->sheet, r->limit);
  isw_output_add_row(table, (const char *const[COLUMNS]){
                                [VARIETY] = plan->sheet->varieties[plan->varieties[v]].title,
                                [WINDOW] = window,
                                [BEST] = date_cell(r->best_sow_day, best),
                                [TRANSPLANT] = date_cell(r->transplant_day, transplant),
                                [CUT] = date_cell(r->harvest_day, cut),
                                [SCORE] = score,
                                [LIMIT] = limit});
  g_free(window);
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
  struct isw_text_table table =
      isw_output_start_table(COLUMNS, 1U << VARIETY | 1U << WINDOW | 1U << LIMIT, 1U << SCORE);
  isw_output_add_row(
      &table, (const char *const[COLUMNS]){[VARIETY] = "",
                                           [WINDOW] = isw_words_text(ISW_SAY_COLUMN_WINDOW),
                                           [BEST] = isw_words_text(ISW_SAY_COLUMN_BEST),
                                           [TRANSPLANT] = isw_words_text(ISW_SAY_COLUMN_TRANSPLANT),
                                           [CUT] = isw_words_text(ISW_SAY_COLUMN_CUT),
                                           [SCORE] = isw_words_text(ISW_SAY_COLUMN_SCORE),
                                           [LIMIT] = isw_words_text(ISW_SAY_COLUMN_LIMIT)});
  for (int s = 0; s < card->about.plan->n_seasons; s++) {
    add_season(card, &table, s);
    for (int v = 0; v < card->about.plan->n_varieties; v++) add_row(card, &table, v, s);
  }
  isw_output_finish_table(&table, card->out, ISW_CARD_COLUMNS);
}

#include "output/days_card.h"

#include "output/card_in_hand.h"
#include "output/text_lines.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

static const char *variety_title(const struct isw_plan *plan, int v) {
  return plan->sheet->varieties[plan->varieties[v]].title;
}

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].name;
}

/* Takes the text. */
static void append_line(struct isw_card *card, char *text) {
  isw_output_append_wrapped(card->out, text, 0, 0, ISW_CARD_COLUMNS);
  g_free(text);
}

/* "9 of 10", or "-" where years are not counted. */
static char *years_cell(int years) {
  if (years < 0) return g_strdup("-");
  char *number = isw_words_number(years);
  char *cell = isw_words_say(ISW_SAY_CELL_YEARS, number);
  g_free(number);
  return cell;
}

static const char *date_cell(int day, char date[ISW_DATE_SIZE]) {
  return day < 0 ? "-" : isw_words_short_date(day, date);
}

/* ---- one sowing day ---- */

static void append_sown(struct isw_card *card, const struct isw_place_days *days, int day) {
  char date[ISW_DATE_SIZE];
  const int s = days->season[day];
  const bool direct = isw_survey_start_on(days, 0, day) == ISW_START_DIRECT;
  isw_words_long_date(day, date);
  if (s < 0)
    append_line(
        card, isw_words_say(direct ? ISW_SAY_SOWN_NO_SEASON_DIRECT : ISW_SAY_SOWN_NO_SEASON_NURSERY,
                            date));
  else
    append_line(card, isw_words_say(direct ? ISW_SAY_SOWN_DIRECT : ISW_SAY_SOWN_NURSERY, date,
                                    season_name(days->plan, s)));
}

static void append_type(struct isw_card *card, const struct isw_place_days *days, int day) {
  const struct isw_plan *plan = days->plan;
  const int type = isw_survey_type_on(days, day);
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  if (type >= 0) {
    const struct isw_window window =
        days->results[isw_growth_result_index(plan, type, days->season[day])].window;
    append_line(card, isw_words_say(ISW_SAY_TYPE_OF_DATE, variety_title(plan, type),
                                    isw_words_long_date(window.from_day, from),
                                    isw_words_long_date(window.to_day, to)));
    return;
  }
  const struct isw_next_window next = isw_survey_next_window(days, -1, day);
  if (next.v < 0)
    append_line(card, g_strdup(isw_words_text(ISW_SAY_NO_TYPE_ALL_YEAR)));
  else
    append_line(card,
                isw_words_say(ISW_SAY_NO_TYPE_NEXT, isw_words_long_date(next.window.from_day, from),
                              variety_title(plan, next.v), season_name(plan, next.s)));
}

enum sowing_column { VARIETY, YEARS, SCORE, TRANSPLANT, CUT, LIMIT, SOWING_COLUMNS };

static void add_sowing(const struct isw_place_days *days, int v, int day,
                       struct isw_text_table *table) {
  const struct isw_day_answer answer = isw_survey_ask_day(days, v, day);
  char transplant[ISW_DATE_SIZE], cut[ISW_DATE_SIZE];
  char *years = years_cell(answer.years);
  char *score = isw_words_number((answer.score_tenths + 5) / 10);
  char *limit = isw_words_short_limit(days->plan->sheet, answer.limit);
  isw_output_add_row(table, (const char *const[SOWING_COLUMNS]){
                                [VARIETY] = variety_title(days->plan, v),
                                [YEARS] = years,
                                [SCORE] = score,
                                [TRANSPLANT] = date_cell(answer.transplant_day, transplant),
                                [CUT] = date_cell(answer.harvest_day, cut),
                                [LIMIT] = limit});
  g_free(years);
  g_free(score);
  g_free(limit);
}

static void append_sowings(struct isw_card *card, const struct isw_place_days *days, int day) {
  struct isw_text_table table = isw_output_start_table(SOWING_COLUMNS, 1U << VARIETY | 1U << LIMIT,
                                                       1U << SCORE | 1U << YEARS);
  isw_output_add_row(&table, (const char *const[SOWING_COLUMNS]){
                                 [VARIETY] = "",
                                 [YEARS] = isw_words_text(ISW_SAY_COLUMN_GOOD_IN),
                                 [SCORE] = isw_words_text(ISW_SAY_COLUMN_SCORE),
                                 [TRANSPLANT] = isw_words_text(ISW_SAY_COLUMN_TRANSPLANT),
                                 [CUT] = isw_words_text(ISW_SAY_COLUMN_CUT),
                                 [LIMIT] = isw_words_text(ISW_SAY_COLUMN_LIMIT)});
  for (int v = 0; v < days->plan->n_varieties; v++) add_sowing(days, v, day, &table);
  isw_output_finish_table(&table, card->out, ISW_CARD_COLUMNS);
}

static struct isw_card start_card(GString *out, const struct isw_place_days *days,
                                  const struct isw_card_options *options) {
  return (struct isw_card){
      .out = out, .options = options, .about = {days->plan, days->place, options->fahrenheit}};
}

static void append_years_meaning(struct isw_card *card, const struct isw_plan *plan) {
  if (plan->conditions.least_years == 0) return;
  g_string_append_c(card->out, '\n');
  append_line(card, g_strdup(isw_words_text(ISW_SAY_GOOD_IN_MEANS)));
}

static void append_crop_type(struct isw_card *card, const struct isw_place_days *days, int day) {
  const struct isw_plan *plan = days->plan;
  const char *crop = plan->sheet->title;
  const int type = isw_survey_type_on(days, day);
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  char *text;
  if (type >= 0) {
    const struct isw_window window =
        days->results[isw_growth_result_index(plan, type, days->season[day])].window;
    text = isw_words_say(ISW_SAY_CROP_TYPE_OF_DATE, crop, variety_title(plan, type),
                         isw_words_long_date(window.from_day, from),
                         isw_words_long_date(window.to_day, to));
  } else {
    const struct isw_next_window next = isw_survey_next_window(days, -1, day);
    text = next.v < 0 ? isw_words_say(ISW_SAY_CROP_NO_TYPE_ALL_YEAR, crop)
                      : isw_words_say(ISW_SAY_CROP_NO_TYPE_NEXT, crop,
                                      isw_words_long_date(next.window.from_day, from),
                                      variety_title(plan, next.v), season_name(plan, next.s));
  }
  g_string_append(card->out, "- ");
  isw_output_append_wrapped(card->out, text, 2, 2, ISW_CARD_COLUMNS);
  g_free(text);
}

/* Of anything: what can be sown then, before what cannot. */
static void append_crops(struct isw_card *card, int n, struct isw_place_days *const *days,
                         int day) {
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_CARD_OF_ANYTHING));
  for (int can = 1; can >= 0; can--)
    for (int c = 0; c < n; c++)
      if ((isw_survey_type_on(days[c], day) >= 0) == (can == 1))
        append_crop_type(card, days[c], day);
}

void isw_output_append_sowing_card(GString *out, int n, struct isw_place_days *const *days, int day,
                                   const struct isw_card_options *options) {
  struct isw_card card = start_card(out, days[0], options);
  const struct isw_plan **plans = g_new(const struct isw_plan *, (gsize)n);
  for (int c = 0; c < n; c++) plans[c] = days[c]->plan;
  isw_output_append_card_top(&card, n);
  if (days[0]->place->no_data) {
    isw_output_append_card_no_data(&card);
    g_free(plans);
    return;
  }
  if (n > 1) append_crops(&card, n, days, day);
  for (int c = 0; c < n; c++) {
    isw_output_append_card_heading(
        &card, n > 1 ? days[c]->plan->sheet->title : isw_words_text(ISW_SAY_CARD_IF_SOWN));
    append_sown(&card, days[c], day);
    if (n == 1) append_type(&card, days[c], day);
    g_string_append_c(out, '\n');
    append_sowings(&card, days[c], day);
  }
  append_years_meaning(&card, days[0]->plan);
  isw_output_append_card_cautions(&card, n, plans);
  g_free(plans);
}

/* ---- planting plans ---- */

enum plan_column {
  PLAN_CUT,
  PLAN_VARIETY,
  PLAN_SOW,
  PLAN_TRANSPLANT,
  PLAN_READY,
  PLAN_YEARS,
  PLAN_COLUMNS
};

static void add_cut(const struct isw_plan *plan, const struct isw_planned_cut *planned,
                    struct isw_text_table *table) {
  char cut[ISW_DATE_SIZE], sow[ISW_DATE_SIZE], transplant[ISW_DATE_SIZE], ready[ISW_DATE_SIZE];
  const bool fits = planned->v >= 0;
  char *years = fits ? years_cell(planned->years) : g_strdup("-");
  isw_output_add_row(table, (const char *const[PLAN_COLUMNS]){
                                [PLAN_CUT] = isw_words_short_date(planned->cut_day, cut),
                                [PLAN_VARIETY] = fits ? variety_title(plan, planned->v)
                                                      : isw_words_text(ISW_SAY_CELL_NOTHING_FITS),
                                [PLAN_SOW] = date_cell(planned->sow_day, sow),
                                [PLAN_TRANSPLANT] = date_cell(planned->transplant_day, transplant),
                                [PLAN_READY] = date_cell(planned->harvest_day, ready),
                                [PLAN_YEARS] = years});
  g_free(years);
}

void isw_output_append_cuts_card(GString *out, const struct isw_place_days *days, int every, int n,
                                 const struct isw_planned_cut *cuts,
                                 const struct isw_card_options *options) {
  const struct isw_plan *plan = days->plan;
  struct isw_card card = start_card(out, days, options);
  isw_output_append_card_top(&card, 1);
  isw_output_append_card_heading(&card, isw_words_text(ISW_SAY_CARD_PLANTING_PLAN));
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  append_line(&card, isw_words_count_with(ISW_SAY_PLAN_EVERY, every,
                                          isw_words_long_date(plan->conditions.cut_from_day, from),
                                          isw_words_long_date(plan->conditions.cut_to_day, to)));
  g_string_append_c(out, '\n');
  struct isw_text_table table =
      isw_output_start_table(PLAN_COLUMNS, 1U << PLAN_VARIETY, 1U << PLAN_YEARS);
  isw_output_add_row(&table, (const char *const[PLAN_COLUMNS]){
                                 [PLAN_CUT] = isw_words_text(ISW_SAY_COLUMN_CUT),
                                 [PLAN_VARIETY] = "",
                                 [PLAN_SOW] = isw_words_text(ISW_SAY_COLUMN_SOW),
                                 [PLAN_TRANSPLANT] = isw_words_text(ISW_SAY_COLUMN_TRANSPLANT),
                                 [PLAN_READY] = isw_words_text(ISW_SAY_COLUMN_READY),
                                 [PLAN_YEARS] = isw_words_text(ISW_SAY_COLUMN_GOOD_IN)});
  for (int i = 0; i < n; i++) add_cut(plan, &cuts[i], &table);
  isw_output_finish_table(&table, out, ISW_CARD_COLUMNS);
  append_years_meaning(&card, plan);
  isw_output_append_card_cautions(&card, 1, &plan);
}

#include "output/card_in_hand.h"
#include "output/text_lines.h"
#include "words/date_words.h"
#include "words/say.h"

/* Twelve months of six columns, five days each or one more. */
enum { MONTH_COLUMNS = 6, BAR_COLUMNS = ISW_YEAR_MONTHS * MONTH_COLUMNS, LETTERS = 26 };

/* The types of the year, each with a letter in the order in which they come. */
struct bar {
  const struct isw_year_types *types;
  int n_letters;
  int varieties[LETTERS]; /* sheet indexes */
};

static int letter_of(const struct bar *bar, int variety) {
  for (int i = 0; i < bar->n_letters; i++)
    if (bar->varieties[i] == variety) return i;
  return -1;
}

static void give_letters(struct bar *bar) {
  for (int i = 0; i < bar->types->n_runs; i++)
    if (letter_of(bar, bar->types->runs[i].variety) < 0 && bar->n_letters < LETTERS)
      bar->varieties[bar->n_letters++] = bar->types->runs[i].variety;
}

static int month_of(const struct bar *bar, int i) {
  int month, day_of_month;
  isw_base_date_of_day(bar->types->first_day, &month, &day_of_month);
  return (month - 1 + i) % ISW_YEAR_MONTHS;
}

/* The day in the middle of a column. */
static int day_of(const struct bar *bar, int column) {
  int month = month_of(bar, column / MONTH_COLUMNS);
  return isw_base_month_start[month] +
         (2 * (column % MONTH_COLUMNS) + 1) * isw_base_month_days[month] / (2 * MONTH_COLUMNS);
}

static void append_months(const struct bar *bar, GString *out) {
  GString *line = g_string_new(NULL);
  for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
    char *name = isw_output_fit(isw_words_short_month(month_of(bar, i)), MONTH_COLUMNS - 1);
    isw_output_append_padded(line, name, MONTH_COLUMNS);
    g_free(name);
  }
  g_string_append_printf(out, "%s\n", g_strchomp(line->str));
  g_string_free(line, TRUE);
}

static void append_bar(const struct bar *bar, GString *out) {
  for (int column = 0; column < BAR_COLUMNS; column++) {
    int variety = bar->types->of_day[day_of(bar, column)];
    int letter = variety < 0 ? -1 : letter_of(bar, variety);
    g_string_append_c(out, variety < 0 ? '.' : letter < 0 ? '?' : (char)('A' + letter));
  }
  g_string_append_c(out, '\n');
}

static void append_letters(const struct isw_card *card, const struct bar *bar) {
  char *line = NULL;
  for (int i = 0; i < bar->n_letters; i++) {
    char letter[2] = {(char)('A' + i), '\0'};
    char *one = isw_words_say(ISW_SAY_TYPE_LETTER, letter,
                              card->about.plan->sheet->varieties[bar->varieties[i]].title);
    char *longer = line == NULL ? g_strdup(one) : isw_words_say(ISW_SAY_LIST_MORE, line, one);
    g_free(one);
    g_free(line);
    line = longer;
  }
  isw_output_append_wrapped(card->out, line, 0, 0, ISW_CARD_COLUMNS);
  g_free(line);
}

void isw_output_append_card_year(struct isw_card *card) {
  struct isw_year_types *types = g_new(struct isw_year_types, 1);
  isw_survey_list_types(card->about.plan, card->about.place, types);
  isw_output_append_card_heading(card, isw_words_text(ISW_SAY_CARD_YEAR));
  char *text = isw_words_types(&card->about, types);
  isw_output_append_wrapped(card->out, text, 0, 0, ISW_CARD_COLUMNS);
  g_free(text);
  if (types->n_runs > 0) {
    struct bar bar = {.types = types};
    give_letters(&bar);
    g_string_append_c(card->out, '\n');
    append_months(&bar, card->out);
    append_bar(&bar, card->out);
    append_letters(card, &bar);
  }
  g_free(types);
}

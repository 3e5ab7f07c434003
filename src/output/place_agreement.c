#include "output/place_agreement.h"

#include <stdlib.h>

#include "output/csv_field.h"
#include "output/place_card.h"
#include "output/text_lines.h"
#include "words/date_words.h"
#include "words/place_words.h"
#include "words/quantities.h"
#include "words/say.h"

/* The text table is written row by row: its columns hold their headings and what usually stands in
 * them; longer names take a line of their own. */
enum column { STATION, SEASON, PUBLISHED, GOOD, VERDICT, FIXED_COLUMNS };

static int column_width(enum column column) {
  static const enum isw_sentence headings[] = {ISW_SAY_COLUMN_STATION, ISW_SAY_COLUMN_SEASON,
                                               ISW_SAY_COLUMN_PUBLISHED, ISW_SAY_COLUMN_GOOD,
                                               ISW_SAY_COLUMN_VERDICT};
  static const int least[] = {22, 10, 15, 6, 9};
  return MAX(least[column], isw_output_columns(isw_words_text(headings[column])) + 1);
}

/* For files: never translated. */
static const char *agreement_code(enum isw_agreement agreement) {
  return agreement == ISW_AGREES ? "agree" : agreement == ISW_AGREES_PARTLY ? "partly" : "differ";
}

static const char *agreement_word(enum isw_agreement agreement) {
  return isw_words_text(agreement == ISW_AGREES          ? ISW_SAY_AGREES
                        : agreement == ISW_AGREES_PARTLY ? ISW_SAY_AGREES_PARTLY
                                                         : ISW_SAY_DIFFERS);
}

static void append_cell(GString *out, enum column column, const char *text) {
  isw_output_append_padded(out, text, column_width(column));
}

void isw_output_append_agreement_header(GString *out, bool csv) {
  if (csv) {
    g_string_append(out,
                    "name,season,sow_from,sow_to,published_days,good_days,share,verdict,variety,"
                    "best_sow,days_off\n");
    return;
  }
  append_cell(out, STATION, isw_words_text(ISW_SAY_COLUMN_STATION));
  append_cell(out, SEASON, isw_words_text(ISW_SAY_COLUMN_SEASON));
  append_cell(out, PUBLISHED, isw_words_text(ISW_SAY_COLUMN_PUBLISHED));
  append_cell(out, GOOD, isw_words_text(ISW_SAY_COLUMN_GOOD));
  append_cell(out, VERDICT, isw_words_text(ISW_SAY_COLUMN_VERDICT));
  g_string_append_printf(out, "%s\n", isw_words_text(ISW_SAY_COLUMN_BEST_OFF));
}

static void append_csv_row(GString *out, const struct isw_plan *plan,
                           const struct isw_published *published,
                           const struct isw_date_agreement *agreement) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE], share[G_ASCII_DTOSTR_BUF_SIZE];
  isw_output_append_csv_text(out, published->name);
  g_string_append_c(out, ',');
  isw_output_append_csv_text(out, published->season_name);
  g_string_append_printf(
      out, ",%s,%s,%d,%d,%s,%s,", isw_base_format_month_day(published->window.from_day, from),
      isw_base_format_month_day(published->window.to_day, to), published->window.days,
      agreement->good_days, g_ascii_formatd(share, sizeof share, "%.2f", agreement->share),
      agreement_code(agreement->verdict));
  if (agreement->variety >= 0)
    isw_output_append_csv_text(out,
                               plan->sheet->varieties[plan->varieties[agreement->variety]].name);
  if (agreement->best_sow_day >= 0)
    g_string_append_printf(out, ",%s,%d\n",
                           isw_base_format_month_day(agreement->best_sow_day, from),
                           agreement->days_off);
  else
    g_string_append(out, ",,\n");
}

void isw_output_append_agreement_row(GString *out, bool csv, const struct isw_plan *plan,
                                     const struct isw_published *published,
                                     const struct isw_date_agreement *agreement) {
  if (csv) {
    append_csv_row(out, plan, published, agreement);
    return;
  }
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE], share[16];
  append_cell(out, STATION, published->name);
  if (isw_output_columns(published->name) >= column_width(STATION))
    g_string_append_printf(out, "\n%*s", column_width(STATION), "");
  append_cell(out, SEASON, published->season_name);
  char *text =
      isw_words_say(ISW_SAY_CELL_DAYS, isw_words_short_date(published->window.from_day, from),
                    isw_words_short_date(published->window.to_day, to));
  append_cell(out, PUBLISHED, text);
  g_free(text);
  g_snprintf(share, sizeof share, "%3.0f %%", 100.0 * agreement->share);
  append_cell(out, GOOD, share);
  append_cell(out, VERDICT, agreement_word(agreement->verdict));
  isw_words_short_date(agreement->best_sow_day, from);
  if (agreement->best_sow_day < 0)
    text = g_strdup(isw_words_text(ISW_SAY_OFF_NO_DAY));
  else if (agreement->days_off == 0)
    text = isw_words_say(ISW_SAY_OFF_INSIDE, from);
  else
    text = isw_words_count_with(agreement->days_off < 0 ? ISW_SAY_OFF_BEFORE : ISW_SAY_OFF_AFTER,
                                abs(agreement->days_off), from);
  g_string_append_printf(out, "%s\n", text);
  g_free(text);
}

static int ascending(const void *a, const void *b) {
  const int *first = a, *second = b;
  return (*first > *second) - (*first < *second);
}

static char *whole_percent(enum isw_sentence sentence, double share) {
  char number[16];
  g_snprintf(number, sizeof number, "%.0f", 100.0 * share);
  return isw_words_say(sentence, number);
}

void isw_output_append_agreement_summary(GString *out, int count,
                                         const struct isw_date_agreement *agreements) {
  int verdicts[3] = {0, 0, 0}, inside = 0, dated = 0;
  double share = 0.0;
  int *off = g_new(int, (gsize)count);
  for (int i = 0; i < count; i++) {
    verdicts[agreements[i].verdict]++;
    share += agreements[i].share;
    if (agreements[i].best_sow_day < 0) continue;
    off[dated++] = abs(agreements[i].days_off);
    inside += agreements[i].days_off == 0;
  }
  qsort(off, (size_t)dated, sizeof *off, ascending);
  char *partly = isw_words_number(verdicts[ISW_AGREES_PARTLY]),
       *agree = isw_words_number(verdicts[ISW_AGREES]),
       *differ = isw_words_number(verdicts[ISW_DIFFERS]);
  char *text =
      isw_words_join(isw_words_count_with(ISW_SAY_AGREEMENT_COUNTS, count, agree, partly, differ),
                     whole_percent(ISW_SAY_AGREEMENT_SHARE, share / count));
  if (dated > 0) {
    char *median = g_strdup_printf("%.0f", 0.5 * (off[(dated - 1) / 2] + off[dated / 2]));
    char *most = isw_words_number(off[dated - 1]);
    text = isw_words_join(text, isw_words_count_with(ISW_SAY_AGREEMENT_BEST, inside, median, most));
    g_free(median);
    g_free(most);
  }
  isw_output_append_wrapped(out, text, 0, 0, ISW_CARD_COLUMNS);
  g_free(text);
  char *least = g_strdup_printf("%.0f", 100.0 * ISW_AGREES_SHARE),
       *some = g_strdup_printf("%.0f", 100.0 * ISW_AGREES_PARTLY_SHARE);
  text = isw_words_say(ISW_SAY_AGREEMENT_KEY, least, some);
  isw_output_append_wrapped(out, text, 0, 0, ISW_CARD_COLUMNS);
  isw_output_append_wrapped(out, isw_words_text(ISW_SAY_NO_FORECAST), 0, 0, ISW_CARD_COLUMNS);
  g_free(text);
  g_free(least);
  g_free(some);
  g_free(agree);
  g_free(partly);
  g_free(differ);
  g_free(off);
}

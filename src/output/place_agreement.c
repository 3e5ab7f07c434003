#include "output/place_agreement.h"

#include <stdlib.h>

#include "output/csv_field.h"
#include "output/place_words.h"
#include "words/date_words.h"

enum { NAME_COLUMNS = 22, SEASON_COLUMNS = 10, WINDOW_COLUMNS = 15, SHARE_COLUMNS = 6 };
static const double percent = 100.0;

const char *isw_output_agreement_word(enum isw_agreement agreement) {
  return agreement == ISW_AGREES ? "agree" : agreement == ISW_AGREES_PARTLY ? "partly" : "differ";
}

static void append_padded(GString *out, const char *text, int columns) {
  int used = isw_output_columns(text);
  g_string_append(out, text);
  g_string_append_printf(out, "%*s", used < columns ? columns - used : 0, "");
}

void isw_output_append_agreement_header(GString *out, bool csv) {
  if (csv) {
    g_string_append(out,
                    "name,season,sow_from,sow_to,published_days,good_days,share,verdict,variety,"
                    "best_sow,days_off\n");
    return;
  }
  append_padded(out, "station", NAME_COLUMNS);
  append_padded(out, "season", SEASON_COLUMNS);
  append_padded(out, "published", WINDOW_COLUMNS);
  append_padded(out, "good", SHARE_COLUMNS);
  append_padded(out, "verdict", 9);
  g_string_append(out, "best day, off by\n");
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
      isw_output_agreement_word(agreement->verdict));
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
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  append_padded(out, published->name, NAME_COLUMNS);
  if (isw_output_columns(published->name) >= NAME_COLUMNS) /* a long name has its own line */
    g_string_append_printf(out, "\n%*s", NAME_COLUMNS, "");
  append_padded(out, published->season_name, SEASON_COLUMNS);
  char *text = g_strdup_printf("%s-%s", isw_words_short_date(published->window.from_day, from),
                               isw_words_short_date(published->window.to_day, to));
  append_padded(out, text, WINDOW_COLUMNS);
  g_free(text);
  text = g_strdup_printf("%3.0f %%", percent * agreement->share);
  append_padded(out, text, SHARE_COLUMNS);
  g_free(text);
  append_padded(out, isw_output_agreement_word(agreement->verdict), 9);
  if (agreement->best_sow_day < 0) {
    g_string_append(out, "none\n");
    return;
  }
  isw_words_short_date(agreement->best_sow_day, from);
  if (agreement->days_off == 0)
    g_string_append_printf(out, "%s, inside\n", from);
  else
    g_string_append_printf(out, "%s, %d day%s %s\n", from, abs(agreement->days_off),
                           abs(agreement->days_off) == 1 ? "" : "s",
                           agreement->days_off < 0 ? "before" : "after");
}

static int ascending(const void *a, const void *b) {
  const int *first = a, *second = b;
  return (*first > *second) - (*first < *second);
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
  g_string_append_printf(
      out,
      "%d published window%s: agree %d, partly %d, differ %d. On average %.0f %% "
      "of the\npublished days are good for some variety.",
      count, count == 1 ? "" : "s", verdicts[ISW_AGREES], verdicts[ISW_AGREES_PARTLY],
      verdicts[ISW_DIFFERS], percent * share / count);
  if (dated > 0) {
    double median = 0.5 * (off[(dated - 1) / 2] + off[dated / 2]);
    g_string_append_printf(out,
                           " The best day lies inside %d\nof them; in the middle case it is %.0f "
                           "days off, at most %d.",
                           inside, median, off[dated - 1]);
  }
  g_string_append(out,
                  "\nagree: at least 80 % of the published days are good; partly: at least 30 %.\n"
                  "Normals are an average year, not a forecast.\n");
  g_free(off);
}

#include "guide/page_tables.h"

#include "chart/palette.h"
#include "guide/guide_words.h"
#include "guide/season_words.h"
#include "guide/year_strip.h"
#include "words/date_words.h"
#include "words/say.h"

void isw_guide_append_escaped(GString *html, const char *text) {
  char *escaped = g_markup_escape_text(text, -1);
  g_string_append(html, escaped);
  g_free(escaped);
}

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].title;
}

/* ---- tables ---- */

static void append_head(GString *html, const struct isw_sheet *sheet,
                        enum isw_season_column column) {
  g_string_append(html, "<th scope=\"col\">");
  isw_guide_append_escaped(html, isw_guide_season_head(sheet, column));
  g_string_append(html, "</th>");
}

/* Each cell has its head as data-label, for screens on which a row becomes a block. */
/* Takes the words. */
static void append_words(GString *html, const struct isw_sheet *sheet,
                         struct isw_season_words *taken) {
  struct isw_season_words words = *taken;
  for (int i = 0; i < ISW_SEASON_COLUMNS; i++) {
    if (!isw_guide_has_season_column(sheet, (enum isw_season_column)i)) continue;
    g_string_append(html, "<td data-label=\"");
    isw_guide_append_escaped(html, isw_guide_season_head(sheet, (enum isw_season_column)i));
    if (i == ISW_SEASON_TYPE) g_string_append(html, "\" class=\"type");
    if (i == ISW_SEASON_SOW) g_string_append(html, "\" class=\"sow");
    if (i != ISW_SEASON_TYPE && i != ISW_SEASON_SOW) {
      g_string_append(html, "\" class=\"n\" data-key=\"");
      if (words.has_key[i]) g_string_append_printf(html, "%d", words.keys[i]);
    }
    g_string_append(html, "\">");
    isw_guide_append_escaped(html, words.texts[i]);
    g_string_append(html, "</td>");
  }
  isw_guide_clear_season_words(&words);
}

static void append_row(GString *html, const struct isw_guide_facts *facts, int region, int s) {
  struct isw_season_words words;
  isw_guide_word_season(facts, region, s, &words);
  append_words(html, facts->plan->sheet, &words);
}

/* first: the head of the first column, NULL: the season is the first. */
static void append_table(GString *html, const struct isw_sheet *sheet, const char *kind,
                         const char *label, const char *first) {
  g_string_append_printf(html, "<table class=\"%s\" aria-label=\"", kind);
  isw_guide_append_escaped(html, label);
  g_string_append(html, "\">\n<thead><tr>");
  if (first != NULL) {
    g_string_append(html, "<th scope=\"col\">");
    isw_guide_append_escaped(html, first);
    g_string_append(html, "</th>");
  }
  g_string_append(html, "<th scope=\"col\">");
  isw_guide_append_escaped(html, isw_words_text(ISW_SAY_GUIDE_HEAD_SEASON));
  g_string_append(html, "</th>");
  for (int i = 0; i < ISW_SEASON_COLUMNS; i++)
    if (isw_guide_has_season_column(sheet, (enum isw_season_column)i))
      append_head(html, sheet, (enum isw_season_column)i);
  g_string_append(html, "</tr></thead><tbody>\n");
}

/* A row's two heads: what it is of, and the season. */
static void append_row_heads(GString *html, const struct isw_guide_facts *facts, const char *name,
                             int s) {
  g_string_append(html, "<tr><th scope=\"row\">");
  isw_guide_append_escaped(html, name);
  g_string_append(html, "</th><td data-label=\"");
  isw_guide_append_escaped(html, isw_words_text(ISW_SAY_GUIDE_HEAD_SEASON));
  g_string_append_printf(html, "\" data-key=\"%d\">", s);
  isw_guide_append_escaped(html, season_name(facts->plan, s));
  g_string_append(html, "</td>");
}

void isw_guide_append_districts(GString *html, const struct isw_guide_facts *facts) {
  append_table(html, facts->plan->sheet, "rows sortable",
               isw_words_text(ISW_SAY_PAGE_DISTRICTS_LABEL),
               isw_words_text(ISW_SAY_GUIDE_HEAD_DISTRICT));
  for (int d = 0; d < facts->areas->n; d++) {
    for (int s = 0; s < facts->plan->n_seasons; s++) {
      append_row_heads(html, facts, facts->areas->items[d].name, s);
      append_row(html, facts, 1 + d, s);
      g_string_append(html, "</tr>\n");
    }
  }
  g_string_append(html, "</tbody></table>");
}

void isw_guide_append_named_places(GString *html, const struct isw_guide_facts *facts) {
  const struct isw_guide_sites *sites = facts->sites;
  if (sites->n_named == 0) return;
  const char *title = isw_words_text(ISW_SAY_GUIDE_PLACES);
  g_string_append_printf(html, "<h3>%s</h3>\n", title);
  append_table(html, facts->plan->sheet, "rows sortable", title,
               isw_words_text(ISW_SAY_GUIDE_HEAD_PLACE));
  for (int i = 0; i < sites->n_named; i++) {
    for (int s = 0; s < facts->plan->n_seasons; s++) {
      struct isw_season_words words;
      append_row_heads(html, facts, sites->named[i].name, s);
      isw_guide_word_place_season(facts, sites->named[i].place, s, &words);
      append_words(html, facts->plan->sheet, &words);
      g_string_append(html, "</tr>\n");
    }
  }
  g_string_append(html, "</tbody></table>\n");
}

/* ---- strips ---- */

void isw_guide_append_background(GString *html, const struct isw_fill *fill) {
  unsigned ground = isw_chart_hex_of_colour(fill->ground), ink = isw_chart_hex_of_colour(fill->ink);
  static const char lines[] = "repeating-linear-gradient(%ddeg,#%06x 0 1px,transparent 1px 6px)";
  int angles[2] = {-1, -1};
  switch (fill->hatch) {
    case ISW_HATCH_RISING: angles[0] = 135; break;
    case ISW_HATCH_FALLING: angles[0] = 45; break;
    case ISW_HATCH_LEVEL: angles[0] = 0; break;
    case ISW_HATCH_UPRIGHT: angles[0] = 90; break;
    case ISW_HATCH_CROSSED: angles[0] = 45, angles[1] = 135; break;
    case ISW_HATCH_GRID: angles[0] = 0, angles[1] = 90; break;
    case ISW_HATCH_NONE:
    case ISW_HATCH_DOTS: break;
  }
  for (int i = 0; i < 2; i++) {
    if (angles[i] < 0) continue;
    g_string_append_printf(html, lines, angles[i], ink);
    g_string_append_c(html, ',');
  }
  g_string_append_printf(html, "#%06x", ground);
}

static double percent_of_year(int days) {
  return 100.0 * days / ISW_YEAR_DAYS;
}

/* The strip, its words as what a screen reader says. */
static void append_strip(GString *html, const struct isw_guide_facts *facts, int region,
                         bool seen[ISW_VARIETIES_MAX]) {
  struct isw_year_strip strip;
  isw_guide_make_strip(facts, region, &strip);
  char *words = isw_guide_strip_words(facts, &strip);
  char from[G_ASCII_DTOSTR_BUF_SIZE], width[G_ASCII_DTOSTR_BUF_SIZE];
  g_string_append(html, "<div class=\"strip\" aria-hidden=\"true\">");
  for (int i = 0; i < strip.n_runs; i++) {
    const struct isw_year_run *run = &strip.runs[i];
    struct isw_fill fill = isw_chart_variety_fill(run->variety, false);
    g_string_append_printf(
        html, "<i style=\"left:%s%%;width:%s%%;background:",
        g_ascii_formatd(from, sizeof from, "%.2f", percent_of_year(run->from)),
        g_ascii_formatd(width, sizeof width, "%.2f", percent_of_year(run->to - run->from + 1)));
    isw_guide_append_background(html, &fill);
    g_string_append(html, "\"></i>");
    seen[run->variety] = true;
  }
  for (int i = 0; i < strip.n_best; i++)
    g_string_append_printf(
        html, "<i class=\"best\" style=\"left:%s%%\"></i>",
        g_ascii_formatd(from, sizeof from, "%.2f", percent_of_year(strip.best[i]) + 0.5 / 3.65));
  g_string_append(html, "</div><p class=\"runs\">");
  isw_guide_append_escaped(html, words);
  g_string_append(html, "</p>\n");
  g_free(words);
}

static int first_month(const struct isw_guide_facts *facts) {
  return facts->page->south ? ISW_YEAR_MONTHS / 2 : 0;
}

/* Days from the strip's first day to the start of its month i, 0..12. */
static int days_to_month(const struct isw_guide_facts *facts, int i) {
  int first = first_month(facts);
  if (i == ISW_YEAR_MONTHS) return ISW_YEAR_DAYS;
  return isw_base_days_forward(isw_base_month_start[first],
                               isw_base_month_start[(first + i) % ISW_YEAR_MONTHS]);
}

void isw_guide_append_month_lines(GString *html, const struct isw_guide_facts *facts) {
  g_string_append(html, "linear-gradient(90deg");
  for (int i = 1; i < ISW_YEAR_MONTHS; i++) {
    char from[G_ASCII_DTOSTR_BUF_SIZE], to[G_ASCII_DTOSTR_BUF_SIZE];
    double at = percent_of_year(days_to_month(facts, i));
    g_ascii_formatd(from, sizeof from, "%.2f", at);
    g_ascii_formatd(to, sizeof to, "%.2f", at + 0.25);
    g_string_append_printf(html, ",transparent %s%%,var(--line) %s%% %s%%,transparent %s%%", from,
                           from, to, to);
  }
  g_string_append_c(html, ')');
}

static void append_months(GString *html, const struct isw_guide_facts *facts) {
  g_string_append(html,
                  "<div class=\"months\" aria-hidden=\"true\" style=\"grid-template-columns:");
  for (int i = 0; i < ISW_YEAR_MONTHS; i++)
    g_string_append_printf(html, " %dfr", days_to_month(facts, i + 1) - days_to_month(facts, i));
  g_string_append(html, "\">");
  for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
    g_string_append(html, "<span>");
    isw_guide_append_escaped(html,
                             isw_words_short_month((first_month(facts) + i) % ISW_YEAR_MONTHS));
    g_string_append(html, "</span>");
  }
  g_string_append(html, "</div>\n");
}

static void append_key(GString *html, const struct isw_guide_facts *facts,
                       const bool seen[ISW_VARIETIES_MAX]) {
  const struct isw_sheet *sheet = facts->plan->sheet;
  g_string_append(html, "<ul class=\"legend\">");
  for (int i = 0; i < sheet->n_varieties; i++) {
    if (!seen[i]) continue;
    struct isw_fill fill = isw_chart_variety_fill(i, false);
    g_string_append(html, "<li><span style=\"background:");
    isw_guide_append_background(html, &fill);
    g_string_append(html, "\"></span>");
    isw_guide_append_escaped(html, sheet->varieties[i].title);
    g_string_append(html, "</li>");
  }
  g_string_append(html, "</ul>\n");
}

void isw_guide_append_strips(GString *html, const struct isw_guide_facts *facts) {
  bool seen[ISW_VARIETIES_MAX] = {false};
  g_string_append(html, "<div class=\"strips\">\n");
  append_months(html, facts);
  for (int d = 0; d < facts->areas->n; d++) {
    g_string_append(html, "<h3>");
    isw_guide_append_escaped(html, facts->areas->items[d].name);
    g_string_append(html, "</h3>");
    append_strip(html, facts, 1 + d, seen);
  }
  append_key(html, facts, seen);
  g_string_append(html, "</div>\n");
}

void isw_guide_append_region(GString *html, const struct isw_guide_facts *facts) {
  bool seen[ISW_VARIETIES_MAX] = {false};
  g_string_append(html, "<div class=\"strips whole\">\n");
  append_months(html, facts);
  append_strip(html, facts, 0, seen);
  append_key(html, facts, seen);
  g_string_append(html, "</div>\n");
  append_table(html, facts->plan->sheet, "rows", isw_words_text(ISW_SAY_PAGE_REGION_LABEL), NULL);
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    char *dates = isw_guide_season_dates(facts, s);
    g_string_append(html, "<tr><th scope=\"row\">");
    isw_guide_append_escaped(html, season_name(facts->plan, s));
    g_string_append_printf(html, "<small>%s</small></th>", dates);
    append_row(html, facts, 0, s);
    g_string_append(html, "</tr>\n");
    g_free(dates);
  }
  g_string_append(html, "</tbody></table>");
}

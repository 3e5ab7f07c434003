/* DESIGN. A column is as wide as its cells, all of one form, and the longest word of its title,
 * which is broken over lines above it:
 *
 *                Standard   Early
 *                type       heat-tolerant type
 *   Northport    14 Aug  9* 20 Aug 10
 */
#include "output/variety_table.h"

#include <string.h>

#include "output/text_lines.h"
#include "words/cautions.h"
#include "words/condition_words.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

enum { COLUMN_GAP = 2, NAME_MOST = 40, PLACE_COLUMNS = 1 };
enum { VARIETIES_AT_A_TIME = ISW_TABLE_COLUMNS_MAX - PLACE_COLUMNS };

struct table {
  GString *out;
  const struct isw_plan *plan;
  int n_sites;
  const struct isw_site *sites;
  const struct isw_variety_cell *cells;
  const struct isw_card_options *options;
  int name_columns, date_columns;
};

void isw_output_read_variety_cells(const struct isw_plan *plan, const struct isw_result *results,
                                   struct isw_variety_cell *cells) {
  for (int s = 0; s < plan->n_seasons; s++) {
    const struct isw_pick pick = isw_growth_pick(plan, s, results);
    for (int v = 0; v < plan->n_varieties; v++) {
      const int r = isw_growth_result_index(plan, v, s);
      const struct isw_result *result = &results[r];
      const bool risky = result->window.days == 0 && result->best_sow_day >= 0 &&
                         isw_growth_is_worth_a_risk(plan, result);
      cells[r] = (struct isw_variety_cell){
          .best_day = (gint16)(result->window.days > 0 || risky ? result->best_sow_day : -1),
          .years = (gint8)result->years,
          .risky = risky,
          .pick = pick.variety == plan->varieties[v]};
    }
  }
}

static const struct isw_variety_cell *cells_of(const struct table *table, int site) {
  const int n = table->plan->n_varieties * table->plan->n_seasons;
  return table->cells + (size_t)site * (size_t)n;
}

/* ---- cells ---- */

/* "14 Aug  9*": dates and years below each other. New. */
static char *cell_text(const struct table *table, const struct isw_variety_cell *cell) {
  enum { YEARS_COLUMNS = 2 };
  if (cell->best_day < 0) return g_strdup("-");
  GString *text = g_string_new(NULL);
  char date[ISW_DATE_SIZE];
  isw_words_short_date(cell->best_day, date);
  g_string_append_printf(text, "%*s%s", table->date_columns - isw_output_columns(date), "", date);
  if (cell->years >= 0) {
    char *years = isw_words_number(cell->years);
    g_string_append_printf(text, " %*s", YEARS_COLUMNS, years);
    g_free(years);
  }
  if (cell->risky) g_string_append(text, isw_words_text(ISW_SAY_TABLE_RISKY));
  if (cell->pick) g_string_append(text, isw_words_text(ISW_SAY_TABLE_PICK));
  return g_string_free(text, FALSE);
}

static const char *title_of(const struct table *table, int v) {
  return table->plan->sheet->varieties[table->plan->varieties[v]].title;
}

/* Columns of a variety, the same in all seasons: its widest cell, or the longest word of its title.
 */
static int columns_of(const struct table *table, int v) {
  int most = 0;
  char **words = g_strsplit(title_of(table, v), " ", -1);
  for (char **word = words; *word != NULL; word++) most = MAX(most, isw_output_columns(*word));
  g_strfreev(words);
  for (int i = 0; i < table->n_sites; i++)
    for (int s = 0; s < table->plan->n_seasons; s++) {
      const int r = isw_growth_result_index(table->plan, v, s);
      char *text = cell_text(table, &cells_of(table, i)[r]);
      most = MAX(most, isw_output_columns(text));
      g_free(text);
    }
  return most;
}

/* ---- a table of some varieties ---- */

/* The lines of a title that is so many columns wide. */
static char **title_lines(const char *title, int columns) {
  GString *text = g_string_new(NULL);
  isw_output_append_wrapped(text, title, 0, 0, columns);
  g_strchomp(text->str);
  char **lines = g_strsplit(text->str, "\n", -1);
  g_string_free(text, TRUE);
  return lines;
}

static void add_head(const struct table *table, struct isw_text_table *rows, int first, int n,
                     const int columns[VARIETIES_AT_A_TIME]) {
  char **lines[VARIETIES_AT_A_TIME];
  guint most = 0;
  for (int i = 0; i < n; i++) {
    lines[i] = title_lines(title_of(table, first + i), columns[i]);
    most = MAX(most, g_strv_length(lines[i]));
  }
  for (guint l = 0; l < most; l++) {
    const char *cells[ISW_TABLE_COLUMNS_MAX] = {""};
    for (int i = 0; i < n; i++)
      cells[PLACE_COLUMNS + i] = l < g_strv_length(lines[i]) ? lines[i][l] : "";
    isw_output_add_row(rows, cells);
  }
  for (int i = 0; i < n; i++) g_strfreev(lines[i]);
}

static void add_place(const struct table *table, struct isw_text_table *rows, int site, int first,
                      int n, int s) {
  char *texts[VARIETIES_AT_A_TIME];
  const char *cells[ISW_TABLE_COLUMNS_MAX] = {""};
  const bool no_data = table->sites[site].no_data;
  char *name = isw_output_clean_name(table->sites[site].name);
  for (int i = 0; i < n; i++) {
    const int r = isw_growth_result_index(table->plan, first + i, s);
    texts[i] = no_data ? g_strdup(i == 0 ? isw_words_text(ISW_SAY_TABLE_NO_DATA) : "")
                       : cell_text(table, &cells_of(table, site)[r]);
    cells[PLACE_COLUMNS + i] = texts[i];
  }
  if (isw_output_columns(name) <= NAME_MOST)
    cells[0] = name;
  else
    isw_output_add_across(rows, name);
  isw_output_add_row(rows, cells);
  for (int i = 0; i < n; i++) g_free(texts[i]);
  g_free(name);
}

/* As many varieties from `first` as fit, at least one; returns how many. */
static int append_group(const struct table *table, int first, int s) {
  int columns[VARIETIES_AT_A_TIME], n = 0, all = table->name_columns;
  while (n < VARIETIES_AT_A_TIME && first + n < table->plan->n_varieties) {
    columns[n] = columns_of(table, first + n);
    if (n > 0 && all + COLUMN_GAP + columns[n] > ISW_VARIETY_TABLE_COLUMNS) break;
    all += COLUMN_GAP + columns[n++];
  }
  struct isw_text_table rows = isw_output_start_table(PLACE_COLUMNS + n, 0, 0);
  rows.gap = COLUMN_GAP;
  add_head(table, &rows, first, n, columns);
  for (int i = 0; i < table->n_sites; i++) add_place(table, &rows, i, first, n, s);
  isw_output_finish_table(&rows, table->out, ISW_VARIETY_TABLE_COLUMNS);
  return n;
}

static void append_season(const struct table *table, int s) {
  char *name = isw_words_capital(table->plan->sheet->seasons[table->plan->seasons[s]].title);
  for (int first = 0; first < table->plan->n_varieties;) {
    g_string_append_printf(table->out, table->options->bold ? "\n\033[1m%s\033[0m\n" : "\n%s\n",
                           name);
    first += append_group(table, first, s);
  }
  g_free(name);
}

/* ---- what stands around ---- */

/* Takes the text, NULL for none. */
static void append_line(const struct table *table, char *text) {
  if (text != NULL) isw_output_append_wrapped(table->out, text, 0, 0, ISW_VARIETY_TABLE_COLUMNS);
  g_free(text);
}

/* The period of all normals; several: that there are several. */
static void append_normals(const struct table *table) {
  const char *period = table->sites[0].period;
  bool one = true;
  for (int i = 1; i < table->n_sites; i++)
    one = one && g_strcmp0(table->sites[i].period, period) == 0;
  char *normals =
      one ? isw_words_normals(period) : g_strdup(isw_words_text(ISW_SAY_NORMALS_SEVERAL));
  char *text = isw_words_say(ISW_SAY_TABLE_NORMALS, normals, isw_words_text(ISW_SAY_NO_FORECAST),
                             isw_words_text(ISW_SAY_LABELS_FIRST));
  append_line(table, text);
  if (one) append_line(table, isw_words_old_normals(period, table->options->this_year));
  g_free(normals);
}

static void append_legend(const struct table *table) {
  const struct isw_conditions *conditions = &table->plan->conditions;
  const bool counted = conditions->least_years > 0;
  char *least = isw_words_number(counted ? ISW_PICK_RISKY_YEARS : ISW_PICK_RISKY_TENTHS / 10);
  g_string_append_c(table->out, '\n');
  append_line(table,
              isw_words_say(counted ? ISW_SAY_TABLE_LEGEND_YEARS : ISW_SAY_TABLE_LEGEND_SCORE,
                            isw_words_text(ISW_SAY_TABLE_PICK), isw_words_text(ISW_SAY_TABLE_RISKY),
                            least));
  g_free(least);
}

static void append_top(const struct table *table) {
  const char *title = table->plan->sheet->title;
  g_string_append_printf(table->out, table->options->bold ? "\033[1m%s\033[0m\n" : "%s\n", title);
  for (int i = 0; i < ISW_VARIETY_TABLE_COLUMNS; i++) g_string_append_c(table->out, '=');
  g_string_append_c(table->out, '\n');
  append_line(table, g_strdup(isw_words_text(table->plan->conditions.least_years > 0
                                                 ? ISW_SAY_TABLE_LEAD_YEARS
                                                 : ISW_SAY_TABLE_LEAD)));
  if (table->options->note != NULL) append_line(table, g_strdup(table->options->note));
  GString *asked = g_string_new(NULL);
  isw_words_append_conditions(asked, table->plan, table->options->fahrenheit);
  if (asked->len > 0) append_line(table, isw_words_say(ISW_SAY_CARD_ASKED, asked->str + 1));
  g_string_free(asked, TRUE);
}

static void measure(struct table *table) {
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    char date[ISW_DATE_SIZE];
    const int columns = isw_output_columns(isw_words_short_date(day, date));
    table->date_columns = MAX(table->date_columns, columns);
  }
  for (int i = 0; i < table->n_sites; i++) {
    char *name = isw_output_clean_name(table->sites[i].name);
    const int columns = isw_output_columns(name);
    if (columns <= NAME_MOST) table->name_columns = MAX(table->name_columns, columns);
    g_free(name);
  }
}

void isw_output_append_variety_table(GString *out, const struct isw_plan *plan, int n_sites,
                                     const struct isw_site *sites,
                                     const struct isw_variety_cell *cells,
                                     const struct isw_card_options *options) {
  struct table table = {.out = out,
                        .plan = plan,
                        .n_sites = n_sites,
                        .sites = sites,
                        .cells = cells,
                        .options = options};
  measure(&table);
  append_top(&table);
  for (int s = 0; s < plan->n_seasons; s++) append_season(&table, s);
  append_legend(&table);
  append_normals(&table);
}

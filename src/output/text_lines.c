#include "output/text_lines.h"

#include <stdbool.h>

int isw_output_columns(const char *text) {
  int columns = 0;
  for (const char *c = text; *c != '\0'; c = g_utf8_next_char(c)) {
    gunichar letter = g_utf8_get_char(c);
    columns += g_unichar_iszerowidth(letter) ? 0 : g_unichar_iswide(letter) ? 2 : 1;
  }
  return columns;
}

void isw_output_append_wrapped(GString *out, const char *text, int at, int indent, int width) {
  char **words = g_strsplit(text, " ", -1);
  bool line_empty = true;
  for (char **word = words; *word != NULL; word++) {
    if (**word == '\0') continue;
    int columns = isw_output_columns(*word);
    if (!line_empty && at + 1 + columns > width) {
      g_string_append_printf(out, "\n%*s", indent, "");
      at = indent;
      line_empty = true;
    }
    if (!line_empty) g_string_append_c(out, ' '), at++;
    g_string_append(out, *word);
    at += columns;
    line_empty = false;
  }
  g_string_append_c(out, '\n');
  g_strfreev(words);
}

void isw_output_append_padded(GString *out, const char *text, int columns) {
  int used = isw_output_columns(text);
  g_string_append(out, text);
  g_string_append_printf(out, "%*s", used < columns ? columns - used : 0, "");
}

char *isw_output_clean_name(const char *name) {
  char *clean = g_utf8_make_valid(name, -1);
  for (char *c = clean; *c != '\0'; c++)
    if ((unsigned char)*c < ' ' || *c == '\x7f') *c = ' ';
  return clean;
}

char *isw_output_fit(const char *long_text, int columns) {
  GString *text = g_string_new(long_text);
  while (isw_output_columns(text->str) > columns)
    g_string_truncate(text, (gsize)(g_utf8_prev_char(text->str + text->len) - text->str));
  return g_string_free(text, FALSE);
}

struct isw_text_table isw_output_start_table(int n_columns, unsigned may_shrink, unsigned right) {
  g_assert(n_columns <= ISW_TABLE_COLUMNS_MAX);
  return (struct isw_text_table){.n_columns = n_columns,
                                 .gap = 1,
                                 .may_shrink = may_shrink,
                                 .right = right,
                                 .cells = g_ptr_array_new_with_free_func(g_free)};
}

void isw_output_add_row(struct isw_text_table *table, const char *const *cells) {
  for (int c = 0; c < table->n_columns; c++) g_ptr_array_add(table->cells, g_strdup(cells[c]));
}

void isw_output_add_across(struct isw_text_table *table, const char *text) {
  g_ptr_array_add(table->cells, NULL);
  g_ptr_array_add(table->cells, g_strdup(text));
}

/* Narrow the widest column that may be, until the lines fit. */
static void shrink(const struct isw_text_table *table, int widths[ISW_TABLE_COLUMNS_MAX],
                   int width) {
  enum { COLUMN_LEAST = 4 };
  int all = (table->n_columns - 1) * table->gap;
  for (int c = 0; c < table->n_columns; c++) all += widths[c];
  for (; all > width; all--) {
    int widest = -1;
    for (int c = 0; c < table->n_columns; c++)
      if ((table->may_shrink >> c & 1U) != 0 && widths[c] > COLUMN_LEAST &&
          (widest < 0 || widths[c] > widths[widest]))
        widest = c;
    if (widest < 0) return;
    widths[widest]--;
  }
}

/* A cell in the lines that its column has room for; a word that is wider is cut. */
static char **cell_lines(const char *cell, int width) {
  GString *text = g_string_new(NULL);
  isw_output_append_wrapped(text, cell, 0, 2, width); /* further lines stand in */
  g_string_truncate(text, text->len - 1);             /* its line break */
  char **lines = g_strsplit(text->str, "\n", -1);
  g_string_free(text, TRUE);
  for (char **line = lines; *line != NULL; line++) {
    char *fitting = isw_output_fit(*line, width);
    g_free(*line);
    *line = fitting;
  }
  return lines;
}

static void append_line(const struct isw_text_table *table, GString *out, char **const *cells,
                        guint line, const int widths[ISW_TABLE_COLUMNS_MAX]) {
  for (int c = 0; c < table->n_columns; c++) {
    const char *cell = line < g_strv_length(cells[c]) ? cells[c][line] : "";
    const int blanks = widths[c] - isw_output_columns(cell);
    if (c > 0) g_string_append_printf(out, "%*s", table->gap, "");
    if ((table->right >> c & 1U) != 0) g_string_append_printf(out, "%*s", blanks, "");
    isw_output_append_padded(out, cell, (table->right >> c & 1U) != 0 ? 0 : widths[c]);
  }
  while (out->len > 0 && out->str[out->len - 1] == ' ') g_string_truncate(out, out->len - 1);
  g_string_append_c(out, '\n');
}

static void append_row(const struct isw_text_table *table, GString *out, guint first,
                       const int widths[ISW_TABLE_COLUMNS_MAX]) {
  char **cells[ISW_TABLE_COLUMNS_MAX];
  guint n_lines = 1;
  for (int c = 0; c < table->n_columns; c++) {
    const char *text = g_ptr_array_index(table->cells, first + (guint)c);
    /* what fits stays as it is, with its blanks */
    cells[c] = isw_output_columns(text) <= widths[c] ? g_strsplit(text, "\n", 1)
                                                     : cell_lines(text, widths[c]);
    n_lines = MAX(n_lines, g_strv_length(cells[c]));
  }
  for (guint line = 0; line < n_lines; line++) append_line(table, out, cells, line, widths);
  for (int c = 0; c < table->n_columns; c++) g_strfreev(cells[c]);
}

void isw_output_finish_table(struct isw_text_table *table, GString *out, int width) {
  int widths[ISW_TABLE_COLUMNS_MAX] = {0};
  for (guint i = 0; i < table->cells->len;) {
    if (g_ptr_array_index(table->cells, i) == NULL) {
      i += 2;
      continue;
    }
    for (int c = 0; c < table->n_columns; c++, i++)
      widths[c] = MAX(widths[c], isw_output_columns(g_ptr_array_index(table->cells, i)));
  }
  shrink(table, widths, width);
  for (guint i = 0; i < table->cells->len;) {
    if (g_ptr_array_index(table->cells, i) == NULL) {
      isw_output_append_wrapped(out, g_ptr_array_index(table->cells, i + 1), 0, 2, width);
      i += 2;
      continue;
    }
    append_row(table, out, i, widths);
    i += (guint)table->n_columns;
  }
  g_ptr_array_free(table->cells, TRUE);
}

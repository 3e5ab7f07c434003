/* Lines of text for a terminal: how many columns letters take, wrapping, padding, tables. */
#ifndef ISW_OUTPUT_TEXT_LINES_H
#define ISW_OUTPUT_TEXT_LINES_H

#include <glib.h>

/* Columns of a text: East Asian wide letters count 2, combining marks none. */
int isw_output_columns(const char *text);

/* Append text in lines of at most `width` columns, the first continuing at column `at`, further
 * ones indented; ends with a line break. Words longer than a line stay whole. */
void isw_output_append_wrapped(GString *out, const char *text, int at, int indent, int width);

/* Append text and blanks up to so many columns. */
void isw_output_append_padded(GString *out, const char *text, int columns);

/* A name from a file, which so cannot steer a terminal or break lines. New. */
char *isw_output_clean_name(const char *name);

/* The start of a text that has at most so many columns. New. */
char *isw_output_fit(const char *text, int columns);

enum { ISW_TABLE_COLUMNS_MAX = 10 };

/* A table whose columns are as wide as what stands in them. Rows of cells, or single texts across
 * (n 0). */
struct isw_text_table {
  int n_columns, gap;  /* blanks between columns */
  unsigned may_shrink; /* bit c: column c is wrapped where the table would be too wide */
  unsigned right;      /* bit c: column c ends at its right, as numbers do */
  GPtrArray *cells;    /* char * each; NULL: the next one is a text across */
};
/* n_columns: 1..ISW_TABLE_COLUMNS_MAX; the bits as above. To be finished, which frees it. */
struct isw_text_table isw_output_start_table(int n_columns, unsigned may_shrink, unsigned right);
/* A row of n_columns cells, or a text across; they are copied. */
void isw_output_add_row(struct isw_text_table *table, const char *const *cells);
void isw_output_add_across(struct isw_text_table *table, const char *text);
/* Append it, no line wider than `width` where the shrinking columns allow that; frees it. */
void isw_output_finish_table(struct isw_text_table *table, GString *out, int width);

#endif

/* Tables that are written in several forms: columns with their kinds, and rows of cells, each cell
 * its text in every form. */
#ifndef ISW_OUTPUT_TABLE_ROW_H
#define ISW_OUTPUT_TABLE_ROW_H

#include <glib.h>

enum isw_column_kind {
  ISW_COLUMN_NAME,  /* a text from outside; in CSV as isw_output_append_csv_name */
  ISW_COLUMN_TEXT,  /* a text of ours */
  ISW_COLUMN_WHOLE, /* a whole number */
  ISW_COLUMN_NUMBER /* a number with decimals */
};
struct isw_column {
  const char *name;
  enum isw_column_kind kind;
};

/* Cells in the order of the columns; new strings, "": empty. */
GPtrArray *isw_output_new_row(void); /* g_ptr_array_unref */
void isw_output_add_cell(GPtrArray *row, const char *format, ...) G_GNUC_PRINTF(2, 3);
void isw_output_add_empty_cells(GPtrArray *row, int n);

/* A line of a CSV file (RFC 4180) without its end. */
void isw_output_append_csv_columns(GString *text, int n, const struct isw_column *columns);
void isw_output_append_csv_cells(GString *text, const struct isw_column *columns,
                                 const GPtrArray *row);

#endif

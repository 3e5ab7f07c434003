#include "output/table_row.h"

#include "output/csv_field.h"

GPtrArray *isw_output_new_row(void) {
  return g_ptr_array_new_with_free_func(g_free);
}

void isw_output_add_cell(GPtrArray *row, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  g_ptr_array_add(row, g_strdup_vprintf(format, arguments));
  va_end(arguments);
}

void isw_output_add_empty_cells(GPtrArray *row, int n) {
  for (int i = 0; i < n; i++) g_ptr_array_add(row, g_strdup(""));
}

void isw_output_append_csv_columns(GString *text, int n, const struct isw_column *columns) {
  for (int i = 0; i < n; i++)
    g_string_append_printf(text, "%s%s", i > 0 ? "," : "", columns[i].name);
}

void isw_output_append_csv_cells(GString *text, const struct isw_column *columns,
                                 const GPtrArray *row) {
  for (guint i = 0; i < row->len; i++) {
    if (i > 0) g_string_append_c(text, ',');
    if (columns[i].kind == ISW_COLUMN_NAME)
      isw_output_append_csv_name(text, row->pdata[i]);
    else
      isw_output_append_csv_text(text, row->pdata[i]);
  }
}

#include "output/csv_field.h"

#include <string.h>

void isw_output_append_csv_text(GString *line, const char *text) {
  if (strpbrk(text, ",\"\r\n") == NULL) {
    g_string_append(line, text);
    return;
  }
  g_string_append_c(line, '"');
  for (const char *c = text; *c != '\0'; c++) {
    if (*c == '"') g_string_append_c(line, '"');
    g_string_append_c(line, *c);
  }
  g_string_append_c(line, '"');
}

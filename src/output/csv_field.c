#include "output/csv_field.h"

#include <stdbool.h>
#include <string.h>

#include "base/dates.h"

static const char computed[] = "=+-@\t\r"; /* by a spreadsheet, as the first letter */

const char isw_output_crop_column[] = "crop,";

void isw_output_append_csv_crop(GString *line, const char *crop) {
  g_string_append_printf(line, "%s,", crop);
}

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

void isw_output_append_csv_name(GString *line, const char *name) {
  bool marked = name[0] != '\0' && strchr(computed, name[0]) != NULL;
  char *text = g_strconcat(marked ? "'" : "", name, NULL);
  isw_output_append_csv_text(line, text);
  g_free(text);
}

void isw_output_append_csv_date(GString *line, int day) {
  char date[ISW_DATE_SIZE];
  g_string_append_c(line, ',');
  if (day >= 0) g_string_append(line, isw_base_format_month_day(day, date));
}

void isw_output_append_csv_tenths(GString *line, int tenths) {
  g_string_append_printf(line, ",%d.%d", tenths / 10, tenths % 10);
}

void isw_output_append_csv_years(GString *line, int years) {
  g_string_append_c(line, ',');
  if (years >= 0) g_string_append_printf(line, "%d", years);
}

/* DESIGN: strings are escaped by json-glib; numbers are written here, because json-glib writes
 * doubles with 17 digits (86.599999999999994 for a score of 86.6). */
#include "output/json_values.h"

#include <json-glib/json-glib.h>
#include <math.h>

#include "base/dates.h"

void isw_output_append_json_text(GString *out, const char *text) {
  if (text == NULL) {
    g_string_append(out, "null");
    return;
  }
  char *valid = g_utf8_make_valid(text, -1);
  JsonNode *node = json_node_init_string(json_node_alloc(), valid);
  char *quoted = json_to_string(node, FALSE);
  g_string_append(out, quoted);
  g_free(quoted);
  json_node_free(node);
  g_free(valid);
}

void isw_output_append_json_key(GString *out, const char *key) {
  g_string_append_printf(out, "\"%s\": ", key);
}

void isw_output_append_json_date(GString *out, const char *key, int day) {
  char date[ISW_DATE_SIZE];
  isw_output_append_json_key(out, key);
  if (day >= 0)
    g_string_append_printf(out, "\"%s\"", isw_base_format_month_day(day, date));
  else
    g_string_append(out, "null");
}

void isw_output_append_json_number(GString *out, double value, int decimals) {
  char format[8], text[G_ASCII_DTOSTR_BUF_SIZE];
  g_snprintf(format, sizeof format, "%%.%df", decimals);
  double unit = pow(10.0, decimals);
  double rounded = floor(value * unit + 0.5) / unit;
  g_ascii_formatd(text, sizeof text, format, rounded == 0.0 ? 0.0 : rounded);
  g_string_append(out, text);
}

void isw_output_append_json_years(GString *out, const char *key, int years) {
  isw_output_append_json_key(out, key);
  if (years >= 0)
    g_string_append_printf(out, "%d", years);
  else
    g_string_append(out, "null");
}

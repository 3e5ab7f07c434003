#include "documents/csv_fields.h"

#include <glib.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

static bool parse_number(const char *text, double *out) {
  while (*text == ' ' || *text == '\t') text++;
  size_t length = strlen(text);
  while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t')) length--;
  if (length == 0 || strspn(text, "0123456789+-.eE") < length) return false;
  char *end;
  *out = g_ascii_strtod(text, &end);
  return end == text + length && isfinite(*out);
}

enum isw_status isw_documents_read_csv_number(const char *name, int line, const char *what,
                                              const char *text, double *out,
                                              struct isw_error *error) {
  if (parse_number(text, out)) return ISW_OK;
  char *stripped = g_strstrip(g_strdup(text));
  if (stripped[0] == '\0')
    isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: no value for %s", name, line, what);
  else
    isw_base_fail(error, ISW_INPUT_CONTENT,
                  "%s:%d: %s is \"%.40s\", not a number\nWrite numbers like -3.5", name, line, what,
                  stripped);
  g_free(stripped);
  return ISW_INPUT_CONTENT;
}

static enum isw_status read_within(const char *name, int line, const char *what, const char *text,
                                   double low, double high, double *out, struct isw_error *error) {
  enum isw_status status = isw_documents_read_csv_number(name, line, what, text, out, error);
  if (status != ISW_OK || (*out >= low && *out <= high)) return status;
  char *stripped = g_strstrip(g_strdup(text));
  isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: %s is %s, outside %g..%g", name, line, what,
                stripped, low, high);
  g_free(stripped);
  return ISW_INPUT_CONTENT;
}

enum isw_status isw_documents_read_csv_position(const char *name, int line, const char *lat_text,
                                                const char *lon_text, double *lat_deg,
                                                double *lon_deg, struct isw_error *error) {
  enum isw_status status = read_within(name, line, "lat", lat_text, -90.0, 90.0, lat_deg, error);
  if (status == ISW_OK)
    status = read_within(name, line, "lon", lon_text, -180.0, 360.0, lon_deg, error);
  return status;
}

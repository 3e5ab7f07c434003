#include "regions/coordinates.h"

#include <glib.h>
#include <stdbool.h>
#include <string.h>

/* Signs and blanks of every kind to the plain ones; brackets are blanks. New. */
static char *plain_text(const char *text) {
  GString *plain = g_string_new(NULL);
  for (const char *at = text; *at != '\0'; at = g_utf8_next_char(at)) {
    const gunichar c = g_utf8_get_char(at);
    if (c == 0x2212 || c == 0x2012 || c == 0x2013)
      g_string_append_c(plain, '-');
    else if (c == '(' || c == ')' || c == 0x200e || c == 0x200f || g_unichar_isspace(c))
      g_string_append_c(plain, ' ');
    else
      g_string_append_unichar(plain, c);
  }
  return g_strstrip(g_string_free(plain, FALSE));
}

/* Number, letter, number, letter; NULL: it is not written so. */
static char **match_pair(const char *plain) {
  static const char *const decimal[] = {"[.,]", "[.]", "[.,]"};
  static const char *const between[] = {"\\s*;\\s*", "\\s*,\\s*", "\\s+"};
  char **parts = NULL;
  for (size_t i = 0; i < G_N_ELEMENTS(decimal) && parts == NULL; i++) {
    char *one = g_strdup_printf("([+-]?\\d+(?:%s\\d+)?)\\s*°?\\s*([NSEWnsew]?)", decimal[i]);
    char *pattern = g_strdup_printf("^%s%s%s$", one, between[i], one);
    GRegex *regex = g_regex_new(pattern, 0, 0, NULL);
    GMatchInfo *match;
    if (g_regex_match(regex, plain, 0, &match)) parts = g_match_info_fetch_all(match);
    g_match_info_free(match);
    g_regex_unref(regex);
    g_free(pattern);
    g_free(one);
  }
  return parts;
}

/* The letters of both numbers: none, or one of each axis on numbers without a minus. *lon_first:
 * east or west stands first. */
static bool are_letters_fine(char *const *parts, bool *lon_first) {
  *lon_first = false;
  if (parts[2][0] == '\0' && parts[4][0] == '\0') return true;
  if (parts[2][0] == '\0' || parts[4][0] == '\0') return false;
  if (parts[1][0] == '-' || parts[3][0] == '-') return false;
  *lon_first = strchr("EWew", parts[2][0]) != NULL;
  return *lon_first != (strchr("EWew", parts[4][0]) != NULL);
}

/* "149,30" and "W" to "-149.30". New. */
static char *signed_text(const char *number, const char *letter) {
  const bool negative = letter[0] != '\0' && strchr("SWsw", letter[0]) != NULL;
  char *text = g_strconcat(negative ? "-" : "", number + (negative && number[0] == '+'), NULL);
  return g_strdelimit(text, ",", '.');
}

enum isw_status isw_regions_read_coordinates(const char *text, struct isw_coordinates *out,
                                             struct isw_error *error) {
  char *plain = g_utf8_validate(text, -1, NULL) ? plain_text(text) : NULL;
  char **parts = plain != NULL ? match_pair(plain) : NULL;
  bool lon_first;
  enum isw_status status = ISW_OK;
  if (parts == NULL || !are_letters_fine(parts, &lon_first)) {
    status = isw_base_fail(error, ISW_USAGE,
                           "write latitude and longitude in degrees, like 44.2,-150.1 (south and "
                           "west are negative) or \"44.2 N, 150.1 W\"");
  } else {
    char *texts[] = {signed_text(parts[1], parts[2]), signed_text(parts[3], parts[4])};
    struct isw_coordinates read = {.lat_text = texts[lon_first], .lon_text = texts[!lon_first]};
    read.lat_deg = g_ascii_strtod(read.lat_text, NULL);
    read.lon_deg = g_ascii_strtod(read.lon_text, NULL);
    if (!(read.lat_deg >= -90 && read.lat_deg <= 90))
      status =
          isw_base_fail(error, ISW_USAGE, "latitude %s is not between -90 and 90", read.lat_text);
    else if (!(read.lon_deg >= -180 && read.lon_deg <= 360))
      status = isw_base_fail(error, ISW_USAGE, "longitude %s is not between -180 and 360",
                             read.lon_text);
    if (status == ISW_OK) {
      *out = read;
    } else {
      g_free(read.lat_text);
      g_free(read.lon_text);
    }
  }
  g_strfreev(parts);
  g_free(plain);
  return status;
}

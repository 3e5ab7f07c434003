#include "climate/period.h"

#include <glib.h>

bool isw_climate_is_period(const char *text) {
  return g_regex_match_simple("^\\s*[12]\\d{3}\\s*(-|/|\xe2\x80\x93)\\s*[12]\\d{3}\\s*$", text, 0,
                              0);
}

#include "words/quantities.h"

#include <glib.h>
#include <math.h>

#include "base/units.h"
#include "words/say.h"

static char *degrees(const char *format, double value, bool fahrenheit) {
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(number, sizeof number, format, value);
  return isw_words_say(fahrenheit ? ISW_SAY_DEGREES_F : ISW_SAY_DEGREES_C, number);
}

char *isw_words_temperature(double temp_C, bool fahrenheit) {
  double shown = isw_base_from_celsius(temp_C, fahrenheit ? ISW_UNIT_F : ISW_UNIT_C);
  return degrees("%.0f", floor(shown + 0.5) + 0.0, fahrenheit); /* + 0: no "-0" */
}

char *isw_words_difference(double difference_K, bool fahrenheit) {
  double unit_K = fahrenheit ? isw_base_difference_to_kelvin(1.0, ISW_UNIT_F) : 1.0;
  return degrees("%.1f", difference_K / unit_K, fahrenheit);
}

char *isw_words_percent(double share) {
  static const double percent = 100.0;
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  return g_strdup(g_ascii_formatd(number, sizeof number, "%.1f", percent * share));
}

char *isw_words_number(int number) {
  return g_strdup_printf("%d", number);
}

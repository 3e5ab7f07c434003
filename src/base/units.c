#include "base/units.h"

#include <ctype.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

static const double kelvin_of_zero_celsius = 273.15;
static const double kelvin_per_fahrenheit = 5.0 / 9.0;
static const double fahrenheit_of_zero_celsius = 32.0;

static const char *const unit_names[] = {"?", "C", "F", "K", "C/10", "F/10"};

static bool same_in_any_case(const char *a, const char *b) {
  while (*a != '\0' && toupper((unsigned char)*a) == toupper((unsigned char)*b)) a++, b++;
  return *a == '\0' && *b == '\0';
}

enum isw_unit isw_base_parse_unit(const char *text) {
  if (text == NULL) return ISW_UNIT_UNKNOWN;
  for (int unit = ISW_UNIT_C; unit <= ISW_UNIT_F10; unit++)
    if (same_in_any_case(text, unit_names[unit])) return (enum isw_unit)unit;
  return ISW_UNIT_UNKNOWN;
}

/* Lower case without blanks, dots ("0.1 degC" becomes "01degc"), underscores, quotes and the
 * degree sign (UTF-8 or Latin-1). */
static void squeeze(const char *text, char *out, size_t size) {
  size_t used = 0;
  for (const char *c = text; *c != '\0' && used + 1 < size; c++) {
    unsigned char byte = (unsigned char)*c;
    if (strchr(" \t_.'\"", byte) != NULL || byte == 0xC2 || byte == 0xB0 || byte == 0xBA) continue;
    out[used++] = (char)tolower(byte);
  }
  out[used] = '\0';
}

enum isw_unit isw_base_recognise_unit(const char *text) {
  if (text == NULL) return ISW_UNIT_UNKNOWN;
  char word[48];
  squeeze(text, word, sizeof word);
  static const struct {
    const char *spelling;
    enum isw_unit unit;
  } known[] = {
      {"c", ISW_UNIT_C},
      {"degc", ISW_UNIT_C},
      {"degreec", ISW_UNIT_C},
      {"degreesc", ISW_UNIT_C},
      {"celsius", ISW_UNIT_C},
      {"degcelsius", ISW_UNIT_C},
      {"degreecelsius", ISW_UNIT_C},
      {"degreescelsius", ISW_UNIT_C},
      {"cel", ISW_UNIT_C},
      {"centigrade", ISW_UNIT_C},
      {"f", ISW_UNIT_F},
      {"degf", ISW_UNIT_F},
      {"degreef", ISW_UNIT_F},
      {"degreesf", ISW_UNIT_F},
      {"fahrenheit", ISW_UNIT_F},
      {"degfahrenheit", ISW_UNIT_F},
      {"degreefahrenheit", ISW_UNIT_F},
      {"degreesfahrenheit", ISW_UNIT_F},
      {"[degf]", ISW_UNIT_F},
      {"k", ISW_UNIT_K},
      {"kelvin", ISW_UNIT_K},
      {"kelvins", ISW_UNIT_K},
      {"degk", ISW_UNIT_K},
      {"degreek", ISW_UNIT_K},
      {"degreesk", ISW_UNIT_K},
      {"degkelvin", ISW_UNIT_K},
      {"degreeskelvin", ISW_UNIT_K},
      {"c/10", ISW_UNIT_C10},
      {"degc/10", ISW_UNIT_C10},
      {"01degc", ISW_UNIT_C10},
      {"01c", ISW_UNIT_C10},
      {"degc*10", ISW_UNIT_C10},
      {"c*10", ISW_UNIT_C10},
      {"tenthsofdegc", ISW_UNIT_C10},
      {"tenthsofadegreec", ISW_UNIT_C10},
      {"degcx10", ISW_UNIT_C10},
      {"10*degc", ISW_UNIT_C10},
      {"f/10", ISW_UNIT_F10},
      {"degf/10", ISW_UNIT_F10},
      {"01degf", ISW_UNIT_F10},
      {"01f", ISW_UNIT_F10},
      {"degf*10", ISW_UNIT_F10},
  };
  for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
    if (strcmp(word, known[i].spelling) == 0) return known[i].unit;
  return ISW_UNIT_UNKNOWN;
}

struct isw_unit_scale isw_base_unit_scale(enum isw_unit unit) {
  struct isw_unit_scale fahrenheit = {kelvin_per_fahrenheit,
                                      -fahrenheit_of_zero_celsius * kelvin_per_fahrenheit};
  switch (unit) {
    case ISW_UNIT_F: return fahrenheit;
    case ISW_UNIT_K: return (struct isw_unit_scale){1.0, -kelvin_of_zero_celsius};
    case ISW_UNIT_C10: return (struct isw_unit_scale){0.1, 0.0};
    case ISW_UNIT_F10: return (struct isw_unit_scale){0.1 * fahrenheit.factor, fahrenheit.offset_C};
    case ISW_UNIT_C:
    case ISW_UNIT_UNKNOWN: break;
  }
  return (struct isw_unit_scale){1.0, 0.0};
}

const char *isw_base_unit_name(enum isw_unit unit) {
  return unit_names[unit];
}

double isw_base_to_celsius(double value, enum isw_unit unit) {
  struct isw_unit_scale scale = isw_base_unit_scale(unit);
  return scale.factor * value + scale.offset_C;
}

double isw_base_from_celsius(double value_C, enum isw_unit unit) {
  struct isw_unit_scale scale = isw_base_unit_scale(unit);
  return (value_C - scale.offset_C) / scale.factor;
}

double isw_base_difference_to_kelvin(double difference, enum isw_unit unit) {
  return isw_base_unit_scale(unit).factor * difference;
}

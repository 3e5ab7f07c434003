/* Temperature units. Inside the program everything is degC (differences: K). */
#ifndef ISW_BASE_UNITS_H
#define ISW_BASE_UNITS_H

enum isw_unit {
  ISW_UNIT_UNKNOWN = 0,
  ISW_UNIT_C,
  ISW_UNIT_F,
  ISW_UNIT_K,
  ISW_UNIT_C10, /* tenths of a degC */
  ISW_UNIT_F10  /* tenths of a degF */
};

/* value_C = factor * value + offset_C */
struct isw_unit_scale {
  double factor;
  double offset_C;
};

/* Exactly "C", "F", "K", "C/10", "F/10" (any case); anything else is ISW_UNIT_UNKNOWN. */
enum isw_unit isw_base_parse_unit(const char *text);

/* A unit as files spell it: degC, DEG C, celsius, degrees Celsius, kelvin, K, degF, fahrenheit,
 * 0.1 degC, C/10, with a degree sign or not; blanks, dots, underscores and case do not matter.
 * NULL, empty or anything else is ISW_UNIT_UNKNOWN. */
enum isw_unit isw_base_recognise_unit(const char *text);

/* For ISW_UNIT_UNKNOWN: that of degC. */
struct isw_unit_scale isw_base_unit_scale(enum isw_unit unit);

/* "C", "F", "K", "C/10", "F/10", "?" */
const char *isw_base_unit_name(enum isw_unit unit);

double isw_base_to_celsius(double value, enum isw_unit unit);
double isw_base_from_celsius(double value_C, enum isw_unit unit);

/* A difference of temperatures in `unit` to K. */
double isw_base_difference_to_kelvin(double difference, enum isw_unit unit);

#endif

/* DESIGN: every calendar is a pair "date -> day number" and back; a time is turned into a day
 * number with a fraction, moved by value * unit, and turned back. */
#include "climate/time_axis.h"

#include <glib.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

enum calendar { STANDARD, GREGORIAN, JULIAN, DAYS_360, DAYS_365, DAYS_366 };
enum { FIRST_YEAR = -5000, LAST_YEAR = 10000, MONTHS = 12 };
static const double first_gregorian_day = 2299161.0; /* Julian day number of 15 October 1582 */
static const double month_unit = -1.0;

static const int common_days[MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

struct date {
  int year, month, day; /* month 1..12, day 1.. */
};

static bool parse_calendar(const char *text, enum calendar *out) {
  static const struct {
    const char *name;
    enum calendar calendar;
  } known[] = {{"standard", STANDARD}, {"gregorian", STANDARD},
               {"none", STANDARD},     {"proleptic_gregorian", GREGORIAN},
               {"julian", JULIAN},     {"360_day", DAYS_360},
               {"360", DAYS_360},      {"noleap", DAYS_365},
               {"no_leap", DAYS_365},  {"365_day", DAYS_365},
               {"all_leap", DAYS_366}, {"366_day", DAYS_366}};
  *out = STANDARD;
  if (text == NULL || text[0] == '\0') return true;
  for (size_t i = 0; i < G_N_ELEMENTS(known); i++)
    if (g_ascii_strcasecmp(text, known[i].name) == 0) {
      *out = known[i].calendar;
      return true;
    }
  return false;
}

static int fixed_month_days(enum calendar calendar, int month) {
  if (calendar == DAYS_360) return 30;
  return common_days[month - 1] + (calendar == DAYS_366 && month == 2 ? 1 : 0);
}

static int fixed_year_days(enum calendar calendar) {
  return calendar == DAYS_360 ? 360 : calendar == DAYS_365 ? 365 : 366;
}

static double floor_div(double a, double b) {
  return floor(a / b);
}

/* Julian day number of a date (Explanatory Supplement to the Astronomical Almanac, from memory;
 * checked in the tests against published day numbers). */
static double julian_day_number(struct date date, bool gregorian) {
  double a = floor_div(14 - date.month, 12), y = date.year + 4800.0 - a;
  double m = date.month + 12.0 * a - 3.0;
  double days = date.day + floor_div(153.0 * m + 2.0, 5.0) + 365.0 * y + floor_div(y, 4.0);
  if (gregorian) return days - floor_div(y, 100.0) + floor_div(y, 400.0) - 32045.0;
  return days - 32083.0;
}

static struct date date_of_julian_day(double day_number, bool gregorian) {
  double b = 0.0, c = day_number + 32082.0;
  if (gregorian) {
    double a = day_number + 32044.0;
    b = floor_div(4.0 * a + 3.0, 146097.0);
    c = a - floor_div(146097.0 * b, 4.0);
  }
  double d = floor_div(4.0 * c + 3.0, 1461.0);
  double e = c - floor_div(1461.0 * d, 4.0), m = floor_div(5.0 * e + 2.0, 153.0);
  return (struct date){.year = (int)(100.0 * b + d - 4800.0 + floor_div(m, 10.0)),
                       .month = (int)(m + 3.0 - 12.0 * floor_div(m, 10.0)),
                       .day = (int)(e - floor_div(153.0 * m + 2.0, 5.0) + 1.0)};
}

static double day_number(enum calendar calendar, struct date date) {
  if (calendar == GREGORIAN) return julian_day_number(date, true);
  if (calendar == JULIAN) return julian_day_number(date, false);
  if (calendar == STANDARD) {
    double gregorian = julian_day_number(date, true);
    return gregorian >= first_gregorian_day ? gregorian : julian_day_number(date, false);
  }
  double days = (double)date.year * fixed_year_days(calendar) + date.day - 1;
  for (int month = 1; month < date.month; month++) days += fixed_month_days(calendar, month);
  return days;
}

static struct date date_of_day_number(enum calendar calendar, double number) {
  if (calendar == GREGORIAN) return date_of_julian_day(number, true);
  if (calendar == JULIAN) return date_of_julian_day(number, false);
  if (calendar == STANDARD) return date_of_julian_day(number, number >= first_gregorian_day);
  double year = floor_div(number, fixed_year_days(calendar));
  int left = (int)(number - year * fixed_year_days(calendar)), month = 1;
  while (left >= fixed_month_days(calendar, month)) left -= fixed_month_days(calendar, month++);
  return (struct date){(int)year, month, left + 1};
}

/* The unit in days, or month_unit; 0: unknown. */
static double unit_days(const char *text, size_t length) {
  static const struct {
    const char *names; /* each between blanks */
    double days;
  } known[] = {{" second seconds sec secs s ", 1.0 / 86400.0},
               {" minute minutes min mins ", 1.0 / 1440.0},
               {" hour hours hr hrs h ", 1.0 / 24.0},
               {" day days d ", 1.0},
               {" week weeks ", 7.0},
               {" month months mon ", -1.0}};
  char word[16];
  if (length == 0 || length + 3 > sizeof word) return 0.0;
  word[0] = ' ';
  for (size_t i = 0; i < length; i++) word[i + 1] = g_ascii_tolower(text[i]);
  word[length + 1] = ' ';
  word[length + 2] = '\0';
  for (size_t i = 0; i < G_N_ELEMENTS(known); i++)
    if (strstr(known[i].names, word) != NULL) return known[i].days;
  return 0.0;
}

/* Digits at *text, at most six of them; moves *text behind them. */
static bool take_number(const char **text, int *out) {
  int value = 0, digits = 0;
  while (g_ascii_isdigit(**text) && digits < 6) {
    value = value * 10 + (*(*text)++ - '0');
    digits++;
  }
  *out = value;
  return digits > 0 && !g_ascii_isdigit(**text);
}

static bool take(const char **text, char c) {
  if (**text != c) return false;
  (*text)++;
  return true;
}

/* "[-]Y-M-D[(T| )h[:m[:s[.fff]]]][ zone]"; the zone moves a time by less than a day and is
 * ignored except for being there. */
static bool parse_base(const char *text, struct date *date, double *day_fraction) {
  while (*text == ' ') text++;
  bool negative = take(&text, '-');
  if (!take_number(&text, &date->year) || !take(&text, '-')) return false;
  if (negative) date->year = -date->year;
  if (!take_number(&text, &date->month)) return false;
  date->day = 1;
  if (take(&text, '-') && !take_number(&text, &date->day)) return false;
  if (date->month < 1 || date->month > MONTHS || date->day < 1 || date->day > 31) return false;
  *day_fraction = 0.0;
  if (*text == 'T' || *text == ' ') {
    while (*text == 'T' || *text == ' ') text++;
    int hour = 0, minute = 0;
    if (g_ascii_isdigit(*text)) {
      if (!take_number(&text, &hour) || hour > 24) return false;
      if (take(&text, ':') && (!take_number(&text, &minute) || minute > 60)) return false;
    }
    *day_fraction = hour / 24.0 + minute / 1440.0;
  }
  return true;
}

static bool parse_units(const char *units, double *days, struct date *base, double *base_fraction) {
  if (units == NULL) return false;
  while (*units == ' ') units++;
  const char *end = units;
  while (g_ascii_isalpha(*end)) end++;
  *days = unit_days(units, (size_t)(end - units));
  while (*end == ' ') end++;
  if (*days == 0.0 || g_ascii_strncasecmp(end, "since", 5) != 0) return false;
  return parse_base(end + 5, base, base_fraction) && base->year >= FIRST_YEAR &&
         base->year <= LAST_YEAR;
}

bool isw_climate_is_time_units(const char *units) {
  double days, fraction;
  struct date base;
  return parse_units(units, &days, &base, &fraction);
}

bool isw_climate_parse_time(const char *units, const char *calendar_name, double value,
                            struct isw_time_point *out) {
  double days, fraction;
  struct date base;
  enum calendar calendar;
  if (!isfinite(value) || !parse_units(units, &days, &base, &fraction) ||
      !parse_calendar(calendar_name, &calendar))
    return false;
  if (days == month_unit) {
    double whole = floor(value);
    if (fabs(whole) > (LAST_YEAR - FIRST_YEAR) * (double)MONTHS) return false;
    int months = base.year * MONTHS + base.month - 1 + (int)whole;
    out->year = (int)floor(months / (double)MONTHS);
    out->month = months - out->year * MONTHS;
    out->day_of_month = base.day + (value - whole) * 30.0;
    return out->year >= FIRST_YEAR && out->year <= LAST_YEAR;
  }
  static const double last_days = 366.0 * (LAST_YEAR - FIRST_YEAR);
  static const double rounding_days = 1e-6; /* of times that are meant to be whole days */
  if (fabs(value * days) > last_days) return false;
  double moment = day_number(calendar, base) + fraction + value * days + rounding_days;
  double day = floor(moment);
  struct date date = date_of_day_number(calendar, day);
  if (date.year < FIRST_YEAR || date.year > LAST_YEAR) return false;
  out->year = date.year;
  out->month = date.month - 1;
  out->day_of_month = date.day + fmax(moment - day - rounding_days, 0.0);
  return true;
}

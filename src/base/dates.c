#include "base/dates.h"

#include <stdio.h>

const int isw_base_month_days[ISW_YEAR_MONTHS] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
const int isw_base_month_start[ISW_YEAR_MONTHS + 1] = {0,   31,  59,  90,  120, 151, 181,
                                                       212, 243, 273, 304, 334, 365};

static const char *const month_names[ISW_YEAR_MONTHS] = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December"};
static const char *const month_abbreviations[ISW_YEAR_MONTHS] = {
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

int isw_base_wrap_day(int day) {
  int rest = day % ISW_YEAR_DAYS;
  return rest < 0 ? rest + ISW_YEAR_DAYS : rest;
}

int isw_base_days_forward(int from, int to) {
  return isw_base_wrap_day(to - from);
}

int isw_base_day_of_date(int month, int day_of_month) {
  if (month < 1 || month > ISW_YEAR_MONTHS) return -1;
  if (day_of_month < 1 || day_of_month > isw_base_month_days[month - 1]) return -1;
  return isw_base_month_start[month - 1] + day_of_month - 1;
}

void isw_base_date_of_day(int day, int *month, int *day_of_month) {
  day = isw_base_wrap_day(day);
  int m = 0;
  while (day >= isw_base_month_start[m + 1]) m++;
  *month = m + 1;
  *day_of_month = day - isw_base_month_start[m] + 1;
}

int isw_base_ten_day_period(int day) {
  int month, day_of_month;
  isw_base_date_of_day(day, &month, &day_of_month);
  int third = day_of_month <= 10 ? 0 : day_of_month <= 20 ? 1 : 2;
  return (month - 1) * 3 + third;
}

int isw_base_parse_month_day(const char *text) {
  int digits[4];
  static const int places[4] = {0, 1, 3, 4};
  for (int i = 0; i < 5; i++)
    if (text[i] == '\0') return -1;
  if (text[2] != '-' || text[5] != '\0') return -1;
  for (int i = 0; i < 4; i++) {
    char c = text[places[i]];
    if (c < '0' || c > '9') return -1;
    digits[i] = c - '0';
  }
  return isw_base_day_of_date(digits[0] * 10 + digits[1], digits[2] * 10 + digits[3]);
}

const char *isw_base_format_month_day(int day, char *out) {
  int month, day_of_month;
  isw_base_date_of_day(day, &month, &day_of_month);
  snprintf(out, ISW_DATE_SIZE, "%02d-%02d", month, day_of_month);
  return out;
}

const char *isw_base_month_name(int month) {
  return month_names[month];
}

const char *isw_base_month_abbreviation(int month) {
  return month_abbreviations[month];
}

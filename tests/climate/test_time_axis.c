/* Time coordinates after CF Conventions 1.10, section 4.4. Day counts between dates are those every
 * calendar table gives; sources beside the rows. */
#include <check.h>
#include <math.h>
#include <stddef.h>

#include "climate/time_axis.h"
#include "science_table.h"
#include "suite_main.h"

static const struct {
  const char *units, *calendar;
  double value;
  int year, month; /* month 1..12 */
  double day;
} points[] = {
    {"days since 1961-01-01", NULL, 0, 1961, 1, 1},
    {"days since 1961-01-01", NULL, 58.5, 1961, 2, 28.5},
    {"days since 1960-01-01", NULL, 59.5, 1960, 2, 29.5},
    {"days since 1961-1-1 00:00:0.0", "gregorian", 364, 1961, 12, 31},
    {"hours since 1900-01-01T00:00:00Z", "standard", 24 * 59, 1900, 3, 1}, /* 1900: no leap day */
    {"hours since 1899-12-31 12:00", NULL, 12, 1900, 1, 1},
    {"seconds since 1970-01-01 00:00:00 UTC", NULL, 1e9, 2001, 9,
     9 + (1 * 60 + 46 + 40 / 60.0) / 1440},
    {"minutes since 2000-02-28", NULL, 1440, 2000, 2, 29},
    {"weeks since 2000-01-01", NULL, 1, 2000, 1, 8},
    /* CF: in the standard calendar 4 October 1582 is followed by 15 October 1582 */
    {"days since 1582-10-15", "standard", -1, 1582, 10, 4},
    {"days since 1582-10-15", "proleptic_gregorian", -1, 1582, 10, 14},
    {"days since 1582-10-04", "julian", 1, 1582, 10, 5},
    /* Julian day 0 is 1 January 4713 BC (year -4712) noon; day 2451545 is 1 January 2000 noon
     * (International Astronomical Union, epoch J2000.0) */
    {"days since -4712-01-01 12:00", "standard", 2451545, 2000, 1, 1.5},
    {"days since 0001-01-01", "standard", 730121, 2000, 1, 1}, /* two days of Julian lead */
    {"days since 0001-01-01", "proleptic_gregorian", 730119, 2000, 1, 1},
    {"days since 2001-01-01", "noleap", 3 * 365 + 59, 2004, 3, 1},
    {"days since 2001-01-01", "365_day", -1, 2000, 12, 31},
    {"days since 2001-01-01", "all_leap", 59, 2001, 2, 29},
    {"days since 2001-01-01", "360_day", 359, 2001, 12, 30},
    {"days since 2001-01-01", "360_day", -1, 2000, 12, 30},
    {"months since 1990-04-01", NULL, 9, 1991, 1, 1},
    {"months since 1990-04-01", NULL, -4, 1989, 12, 1},
    {"months since 1990-01-01", NULL, 0.5, 1990, 1, 16},
    /* the real axis of tests' ocean climatology: first and last of its twelve times */
    {"hour since 0000-01-01 00:00:00", NULL, 366, 0, 1, 16.25},
    {"hour since 0000-01-01 00:00:00", NULL, 8401.335, 0, 12, 16.0556},
};

START_TEST(known_points) {
  struct isw_time_point point;
  ck_assert(
      isw_climate_parse_time(points[_i].units, points[_i].calendar, points[_i].value, &point));
  ck_assert_int_eq(point.year, points[_i].year);
  ck_assert_int_eq(point.month + 1, points[_i].month);
  ck_assert_double_eq_tol(point.day_of_month, points[_i].day, 1e-3);
}
END_TEST

static const struct {
  const char *units, *calendar;
  double value;
} refused[] = {
    {NULL, NULL, 0},
    {"", NULL, 0},
    {"degrees_north", NULL, 0},
    {"days", NULL, 0},
    {"days since", NULL, 0},
    {"days since yesterday", NULL, 0},
    {"days since 1961-13-01", NULL, 0},
    {"days since 1961-00-01", NULL, 0},
    {"days since 1961-01-32", NULL, 0},
    {"days since 99999999-01-01", NULL, 0},
    {"days since 1961-01-01", "mayan", 0},
    {"days since 1961-01-01", NULL, NAN},
    {"days since 1961-01-01", NULL, INFINITY},
    {"days since 1961-01-01", NULL, 1e300},
    {"months since 1961-01-01", NULL, -1e300},
    {"fortnights since 1961-01-01", NULL, 1},
};

START_TEST(refused_points) {
  struct isw_time_point point;
  ck_assert(
      !isw_climate_parse_time(refused[_i].units, refused[_i].calendar, refused[_i].value, &point));
}
END_TEST

/* tests/tables/time_points.txt */
START_TEST(points_of_another_library) {
  static const double tolerance_days = 1e-5;
  enum { VALUE, YEAR, MONTH, DAY, NUMBERS };
  struct science_row row;
  struct isw_time_point point;
  science_table_row("time_points.txt", NUMBERS, _i, &row);
  char *units = strchr(row.text, ' ');
  ck_assert_ptr_nonnull(units);
  *units++ = '\0';
  ck_assert(isw_climate_parse_time(units, row.text, row.number[VALUE], &point));
  ck_assert_int_eq(point.year, (int)row.number[YEAR]);
  ck_assert_int_eq(point.month + 1, (int)row.number[MONTH]);
  ck_assert_double_eq_tol(point.day_of_month, row.number[DAY], tolerance_days);
}
END_TEST

/* Every day of 800 years goes forward by one, in each calendar. */
START_TEST(days_follow_each_other) {
  static const char *const calendars[] = {
      "standard", "proleptic_gregorian", "julian", "360_day", "noleap", "all_leap"};
  struct isw_time_point before, point;
  ck_assert(isw_climate_parse_time("days since 1400-01-01", calendars[_i], 0, &before));
  for (int day = 1; day < 800 * 366; day++) {
    if (!isw_climate_parse_time("days since 1400-01-01", calendars[_i], day, &point))
      ck_abort_msg("day %d", day);
    int next_month = (point.month + 12 * point.year) - (before.month + 12 * before.year);
    bool next_day = next_month == 0 && point.day_of_month > before.day_of_month;
    bool first = next_month == 1 && point.day_of_month < 1.5 && before.day_of_month > 27.5;
    if (!next_day && !first) ck_abort_msg("day %d", day);
    before = point;
  }
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("time axis");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, known_points, 0, (int)(sizeof points / sizeof points[0]));
  tcase_add_loop_test(all, points_of_another_library, 0, science_table_count("time_points.txt"));
  tcase_add_loop_test(all, refused_points, 0, (int)(sizeof refused / sizeof refused[0]));
  tcase_add_loop_test(all, days_follow_each_other, 0, 6);
  suite_add_tcase(suite, all);
  return suite;
}

/* Days of the 365-day year. Source of the dates: any calendar of a common year. */
#include <string.h>

#include "base/dates.h"
#include "suite_main.h"

static const struct {
  int day, month, day_of_month, period;
  const char *month_day;
} cases[] = {
    {0, 1, 1, 0, "01-01"},      {9, 1, 10, 0, "01-10"},     {10, 1, 11, 1, "01-11"},
    {19, 1, 20, 1, "01-20"},    {20, 1, 21, 2, "01-21"},    {30, 1, 31, 2, "01-31"},
    {31, 2, 1, 3, "02-01"},     {58, 2, 28, 5, "02-28"},    {59, 3, 1, 6, "03-01"},
    {90, 4, 1, 9, "04-01"},     {134, 5, 15, 13, "05-15"},  {151, 6, 1, 15, "06-01"},
    {195, 7, 15, 19, "07-15"},  {216, 8, 5, 21, "08-05"},   {272, 9, 30, 26, "09-30"},
    {303, 10, 31, 29, "10-31"}, {333, 11, 30, 32, "11-30"}, {364, 12, 31, 35, "12-31"},
};

START_TEST(one_date_in_every_form) {
  int month, day_of_month, day = cases[_i].day;
  char text[ISW_DATE_SIZE];
  isw_base_date_of_day(day, &month, &day_of_month);
  ck_assert_int_eq(month, cases[_i].month);
  ck_assert_int_eq(day_of_month, cases[_i].day_of_month);
  ck_assert_int_eq(isw_base_day_of_date(month, day_of_month), day);
  ck_assert_int_eq(isw_base_ten_day_period(day), cases[_i].period);
  ck_assert_int_eq(isw_base_parse_month_day(cases[_i].month_day), day);
  ck_assert_str_eq(isw_base_format_month_day(day, text), cases[_i].month_day);
  /* and a year later or earlier it is the same date */
  ck_assert_str_eq(isw_base_format_month_day(day + 365, text), cases[_i].month_day);
  ck_assert_str_eq(isw_base_format_month_day(day - 730, text), cases[_i].month_day);
}
END_TEST

static const char *const not_dates[] = {
    "",       "1-1",    "02-29", "00-10", "13-01", "04-31", "01-00", "01-32",  "0105",   "01/05",
    "01-05 ", " 01-05", "01-5",  "-1-05", "+1-05", "01-0x", "aa-bb", "01-051", "01-05-1"};

START_TEST(what_is_no_date) {
  ck_assert_int_eq(isw_base_parse_month_day(not_dates[_i]), -1);
}
END_TEST

START_TEST(no_such_day_of_month) {
  ck_assert_int_eq(isw_base_day_of_date(2, 29), -1);
  ck_assert_int_eq(isw_base_day_of_date(0, 1), -1);
  ck_assert_int_eq(isw_base_day_of_date(13, 1), -1);
  ck_assert_int_eq(isw_base_day_of_date(6, 31), -1);
  ck_assert_int_eq(isw_base_day_of_date(6, 0), -1);
}
END_TEST

START_TEST(every_day_goes_there_and_back) {
  int month_days[12] = {0}, month, day_of_month;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    isw_base_date_of_day(day, &month, &day_of_month);
    ck_assert_int_eq(isw_base_day_of_date(month, day_of_month), day);
    month_days[month - 1]++;
    char text[ISW_DATE_SIZE];
    ck_assert_int_eq(isw_base_parse_month_day(isw_base_format_month_day(day, text)), day);
  }
  for (int m = 0; m < 12; m++) ck_assert_int_eq(month_days[m], isw_base_month_days[m]);
}
END_TEST

START_TEST(days_wrap_and_count_forward) {
  ck_assert_int_eq(isw_base_wrap_day(365), 0);
  ck_assert_int_eq(isw_base_wrap_day(-1), 364);
  ck_assert_int_eq(isw_base_wrap_day(-365), 0);
  ck_assert_int_eq(isw_base_wrap_day(-366), 364);
  ck_assert_int_eq(isw_base_wrap_day(1000), 270);
  ck_assert_int_eq(isw_base_days_forward(360, 5), 10);
  ck_assert_int_eq(isw_base_days_forward(5, 360), 355);
  ck_assert_int_eq(isw_base_days_forward(7, 7), 0);
  ck_assert_int_eq(isw_base_days_forward(-3, 367), 5);
}
END_TEST

START_TEST(month_names_begin_with_their_abbreviations) {
  for (int m = 0; m < ISW_YEAR_MONTHS; m++)
    ck_assert_int_eq(strncmp(isw_base_month_name(m), isw_base_month_abbreviation(m), 3), 0);
  ck_assert_str_eq(isw_base_month_name(0), "January");
  ck_assert_str_eq(isw_base_month_abbreviation(8), "Sep");
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("dates");
  TCase *dates = tcase_create("dates");
  tcase_add_loop_test(dates, one_date_in_every_form, 0, (int)(sizeof cases / sizeof cases[0]));
  tcase_add_loop_test(dates, what_is_no_date, 0, (int)(sizeof not_dates / sizeof not_dates[0]));
  tcase_add_test(dates, no_such_day_of_month);
  tcase_add_test(dates, every_day_goes_there_and_back);
  tcase_add_test(dates, days_wrap_and_count_forward);
  tcase_add_test(dates, month_names_begin_with_their_abbreviations);
  suite_add_tcase(suite, dates);
  return suite;
}

/* Which band is which month, from labels alone. The rules are the design's; no outside source. */
#include <check.h>
#include <stdio.h>
#include <string.h>

#include "climate/months.h"
#include "suite_main.h"

static const struct {
  const char *text;
  int month; /* 1..12, 13 annual, 0 unknown */
} words[] = {
    {"tmin January", 1},
    {"tminJan", 1},
    {"sept", 9},
    {"SEP", 9},
    {"may", 5},
    {"Mayor", 0},
    {"marble", 0},
    {"Jan to Feb", 0},
    {"Annual", 13},
    {"tas_ann_mean", 13},
    {"mean of May", 5},
    {"Dec December", 12},
    {"", 0},
    {NULL, 0},
    {"Mean temperature", 0},
};

START_TEST(month_words) {
  ck_assert_int_eq(isw_climate_month_in_text(words[_i].text) + 1, words[_i].month);
}
END_TEST

static const struct {
  const char *text;
  int month;
} numbers[] = {{"tmin_01", 1}, {"tmin 12", 12}, {"wc2_7", 7}, {"wc2.1_30s_tmin_11", 11},
               {"t13", 13},    {"t14", 0},      {"t0", 0},    {"1991", 0},
               {"none", 0},    {"", 0},         {NULL, 0}};

START_TEST(month_numbers) {
  ck_assert_int_eq(isw_climate_number_in_text(numbers[_i].text) + 1, numbers[_i].month);
}
END_TEST

static const struct {
  const char *text;
  int month; /* 1..12, 0 none or not to be told */
  bool dated;
} dates[] = {
    {"2019-10-15", 10, true},
    {"2019-10", 10, true},
    {"201910", 10, true},
    {"20191015", 10, true},
    {"2019/1/31", 1, true},
    {"tas 2019.07", 7, true},
    {"2019-10-15T12:00", 10, true},
    {"tmin_10_1991-2020", 10, true},
    {"10/2019", 10, true},
    {"15.10.2019", 10, true},
    {"tmin_1991_2020_01", 1, true},
    {"10/15/2019", 0, true}, /* day behind the month: not to be told from a month */
    {"2019-13-01", 0, true},
    {"2019-10-01 to 2019-11-01", 0, true},
    {"1991-2020", 0, false},
    {"normals 1981-2010", 0, false},
    {"wc2.1_10m_tmin_01", 0, false},
    {"v2.1", 0, false},
    {"", 0, false},
    {NULL, 0, false},
};

START_TEST(month_dates) {
  bool dated;
  ck_assert_int_eq(isw_climate_date_in_text(dates[_i].text, &dated) + 1, dates[_i].month);
  ck_assert(dated == dates[_i].dated);
}
END_TEST

static void fill(int n, struct isw_month_label *labels) {
  for (int i = 0; i < n; i++)
    labels[i] = (struct isw_month_label){ISW_MONTH_UNKNOWN, ISW_MONTH_UNKNOWN, ""};
}

START_TEST(time_axis_comes_first) {
  struct isw_month_label labels[12];
  struct isw_month_order order;
  struct isw_error error = {0};
  fill(12, labels);
  for (int i = 0; i < 12; i++) labels[i].by_time = (i + 9) % 12;
  ck_assert_int_eq(isw_climate_order_months("x", 12, labels, -1, &order, &error), ISW_OK);
  ck_assert_str_eq(order.reason, "time axis");
  for (int m = 0; m < 12; m++) ck_assert_int_eq(order.band_of_month[m], (m + 3) % 12);
  labels[3].by_time = 5;
  ck_assert_int_eq(isw_climate_order_months("x", 12, labels, -1, &order, &error), ISW_INPUT_DOUBT);
  ck_assert(strstr(error.text, "time axis") != NULL);
  labels[3].by_time = ISW_MONTH_UNKNOWN;
  ck_assert_int_eq(isw_climate_order_months("x", 12, labels, -1, &order, &error), ISW_INPUT_DOUBT);
}
END_TEST

START_TEST(file_numbers_and_given_order) {
  static const int numbers_of[] = {0, 9, 10, 11, 1, 2, 3, 4, 5, 6, 7, 8};
  struct isw_month_label labels[12];
  struct isw_month_order order;
  struct isw_error error = {0};
  fill(12, labels);
  ck_assert_int_eq(isw_climate_order_months("x", 12, labels, -1, &order, &error), ISW_OK);
  ck_assert_str_eq(order.reason, "order given");
  for (int m = 0; m < 12; m++) ck_assert_int_eq(order.band_of_month[m], m);
  for (int i = 0; i < 12; i++) labels[i].by_number = numbers_of[i];
  ck_assert_int_eq(isw_climate_order_months("x", 12, labels, -1, &order, &error), ISW_OK);
  ck_assert_str_eq(order.reason, "file names");
  ck_assert_int_eq(order.band_of_month[1], 4);
  ck_assert_int_eq(order.band_of_month[11], 3);
}
END_TEST

START_TEST(thirteen) {
  struct isw_month_label labels[13];
  struct isw_month_order order;
  struct isw_error error = {0};
  fill(13, labels);
  ck_assert_int_eq(isw_climate_order_months("x", 13, labels, -1, &order, &error),
                   ISW_INPUT_CONTENT);
  labels[0].description = "annual mean";
  ck_assert_int_eq(isw_climate_order_months("x", 13, labels, -1, &order, &error), ISW_OK);
  ck_assert_int_eq(order.annual, 0);
  ck_assert_int_eq(order.band_of_month[0], 1);
  labels[0].description = "";
  ck_assert_int_eq(isw_climate_order_months("x", 13, labels, 12, &order, &error), ISW_OK);
  ck_assert_int_eq(order.annual, 12);
  ck_assert_int_eq(isw_climate_order_months("x", 11, labels, -1, &order, &error),
                   ISW_INPUT_CONTENT);
}
END_TEST

/* Twelve bands from October on, in the forms in which dates are written; what cannot be read as
 * twelve months is refused, never taken in the order given. */
static const struct {
  const char *form;   /* of printf: year, month */
  const char *reason; /* NULL: refused */
} dated_bands[] = {
    {"%1$d-%2$02d-15", "dates of the bands"},
    {"%1$d%2$02d", "dates of the bands"},
    {"%1$d%2$02d01", "dates of the bands"},
    {"tmin_%2$02d_1991-2020", "dates of the bands"},
    {"%2$d/%1$d", "dates of the bands"},
    {"%2$02d/15/%1$d", NULL},
    {"%1$d-12-%2$02d", NULL},
};

START_TEST(from_october_on) {
  char texts[12][40];
  struct isw_month_label labels[12];
  struct isw_month_order order;
  struct isw_error error = {0};
  fill(12, labels);
  for (int i = 0; i < 12; i++) {
    int month = (i + 9) % 12 + 1, year = i < 3 ? 2018 : 2019;
    snprintf(texts[i], sizeof texts[i], dated_bands[_i].form, year, month);
    labels[i].description = texts[i];
  }
  enum isw_status status = isw_climate_order_months("x", 12, labels, -1, &order, &error);
  if (dated_bands[_i].reason == NULL) {
    ck_assert_int_eq(status, ISW_INPUT_DOUBT);
    return;
  }
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  ck_assert_str_eq(order.reason, dated_bands[_i].reason);
  for (int m = 0; m < 12; m++) ck_assert_int_eq(order.band_of_month[m], (m + 3) % 12);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("month order");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, month_words, 0, (int)(sizeof words / sizeof words[0]));
  tcase_add_loop_test(all, month_numbers, 0, (int)(sizeof numbers / sizeof numbers[0]));
  tcase_add_loop_test(all, month_dates, 0, (int)(sizeof dates / sizeof dates[0]));
  tcase_add_loop_test(all, from_october_on, 0, (int)(sizeof dated_bands / sizeof dated_bands[0]));
  tcase_add_test(all, time_axis_comes_first);
  tcase_add_test(all, file_numbers_and_given_order);
  tcase_add_test(all, thirteen);
  suite_add_tcase(suite, all);
  return suite;
}

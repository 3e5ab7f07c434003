/* The daily curve against its published closed form, real daily normals, and its own promises. */
#include <math.h>
#include <stdlib.h>

#include "growth/daily_curve.h"
#include "made_up.h"
#include "science_table.h"
#include "suite_main.h"

static const double seattle_tmax_C[ISW_YEAR_MONTHS] = {7.30,  8.81,  10.92, 13.39, 16.84, 19.72,
                                                       23.26, 23.50, 20.18, 14.39, 9.30,  6.45};

/* Value and slope at the left edge of the first of three equal cells, from their averages; exact
 * for a quadratic. Slopes are per cell. */
static double edge_value(double a0, double a1, double a2) {
  return (11.0 * a0 - 7.0 * a1 + 2.0 * a2) / 6.0;
}
static double edge_slope(double a0, double a1, double a2) {
  return -2.0 * a0 + 3.0 * a1 - a2;
}

START_TEST(weights_of_1_january) {
  struct science_row row;
  science_table_row("daily_curve_weights.txt", 3, _i, &row);
  double month_mean[ISW_YEAR_MONTHS] = {0}, day[ISW_YEAR_DAYS];
  month_mean[(int)row.number[0] - 1] = 1.0;
  isw_growth_curve_days(month_mean, day);
  ck_assert_double_eq_tol(edge_value(day[0], day[1], day[2]), row.number[1], row.number[2]);
}
END_TEST

START_TEST(response_to_july) {
  struct science_row row;
  science_table_row("daily_curve_july.txt", 3, _i, &row);
  double month_mean[ISW_YEAR_MONTHS] = {[6] = 1.0}, day[ISW_YEAR_DAYS];
  isw_growth_curve_days(month_mean, day);
  ck_assert_double_eq_tol(day[(int)row.number[0] - 1], row.number[1], row.number[2]);
}
END_TEST

START_TEST(seattle_days) {
  struct science_row row;
  science_table_row("daily_curve_seattle.txt", 3, _i, &row);
  double day[ISW_YEAR_DAYS];
  isw_growth_curve_days(seattle_tmax_C, day);
  ck_assert_double_eq_tol(day[(int)row.number[0] - 1], row.number[1], row.number[2]);
}
END_TEST

START_TEST(seattle_extremes_fall_on_their_days) {
  double day[ISW_YEAR_DAYS];
  isw_growth_curve_days(seattle_tmax_C, day);
  int highest = 0, lowest = 0;
  for (int i = 1; i < ISW_YEAR_DAYS; i++) {
    if (day[i] > day[highest]) highest = i;
    if (day[i] < day[lowest]) lowest = i;
  }
  ck_assert_int_eq(highest + 1, 213);
  ck_assert_int_eq(lowest + 1, 355);
}
END_TEST

START_TEST(month_means_come_back) {
  uint64_t state = 20250101u + (uint64_t)_i;
  double month_mean[ISW_YEAR_MONTHS], day[ISW_YEAR_DAYS];
  for (int round = 0; round < 500; round++) {
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) month_mean[m] = made_up(&state, -60.0, 50.0);
    isw_growth_curve_days(month_mean, day);
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      double sum = 0.0;
      for (int d = isw_base_month_start[m]; d < isw_base_month_start[m + 1]; d++) sum += day[d];
      ck_assert_double_eq_tol(sum / isw_base_month_days[m], month_mean[m], 1e-11);
    }
  }
}
END_TEST

START_TEST(constant_in_constant_out) {
  double month_mean[ISW_YEAR_MONTHS], day[ISW_YEAR_DAYS];
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) month_mean[m] = -17.25;
  isw_growth_curve_days(month_mean, day);
  for (int d = 0; d < ISW_YEAR_DAYS; d++) ck_assert_double_eq_tol(day[d], -17.25, 1e-12);
}
END_TEST

/* Value and slope go on smoothly from each month into the next, December into January too. */
START_TEST(months_join_smoothly) {
  uint64_t state = 77u;
  double month_mean[ISW_YEAR_MONTHS], day[ISW_YEAR_DAYS];
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) month_mean[m] = made_up(&state, -10.0, 30.0);
  isw_growth_curve_days(month_mean, day);
  int last = isw_base_month_start[_i + 1] - 1;
  const double *next = &day[isw_base_wrap_day(last + 1)];
  ck_assert_double_eq_tol(edge_value(day[last], day[last - 1], day[last - 2]),
                          edge_value(next[0], next[1], next[2]), 1e-11);
  ck_assert_double_eq_tol(-edge_slope(day[last], day[last - 1], day[last - 2]),
                          edge_slope(next[0], next[1], next[2]), 1e-11);
}
END_TEST

START_TEST(a_day_with_crossed_curves_gets_their_mean) {
  struct isw_normals normals = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = m % 2 == 0 ? 10.0 : -10.0;
    normals.tmax_C[m] = normals.tmin_C[m] + (m == 5 ? 12.0 : 0.1);
  }
  double lo[ISW_YEAR_DAYS], hi[ISW_YEAR_DAYS];
  isw_growth_curve_days(normals.tmin_C, lo);
  isw_growth_curve_days(normals.tmax_C, hi);
  struct isw_year year;
  isw_growth_curve_year(&normals, 1.5, &year);
  int crossed = 0;
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    bool cross = lo[d] > hi[d];
    crossed += cross;
    double mean = 0.5 * (lo[d] + hi[d]);
    ck_assert_double_eq_tol(year.tmin_C[d], (cross ? mean : lo[d]) + 1.5, 1e-12);
    ck_assert_double_eq_tol(year.tmax_C[d], (cross ? mean : hi[d]) + 1.5, 1e-12);
  }
  ck_assert_int_gt(crossed, 0);
}
END_TEST

/* doy,tmin,tmax,tmean24h of Seattle: NOAA hourly normals 1981-2010 as packed in the npm package
 * vega-datasets 3.2.1. */
static void read_seattle(double tmin_C[ISW_YEAR_DAYS], double tmax_C[ISW_YEAR_DAYS]) {
  FILE *file = fopen(TEST_SOURCE_DIR "/data/seattle_daily_from_hourly_normals.csv", "r");
  ck_assert_ptr_nonnull(file);
  char line[128];
  int rows = 0;
  while (fgets(line, sizeof line, file) != NULL) {
    char *at;
    long day = strtol(line, &at, 10);
    if (day < 1 || day > ISW_YEAR_DAYS) continue;
    tmin_C[day - 1] = strtod(at + 1, &at);
    tmax_C[day - 1] = strtod(at + 1, &at);
    rows++;
  }
  fclose(file);
  ck_assert_int_eq(rows, ISW_YEAR_DAYS);
}

static void average_months(const double day[ISW_YEAR_DAYS], double month_mean[ISW_YEAR_MONTHS]) {
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    double sum = 0.0;
    for (int d = isw_base_month_start[m]; d < isw_base_month_start[m + 1]; d++) sum += day[d];
    month_mean[m] = sum / isw_base_month_days[m];
  }
}

/* What the curve is there to beat: straight lines between the middles of the months. */
static void draw_straight_lines(const double month_mean[ISW_YEAR_MONTHS],
                                double day[ISW_YEAR_DAYS]) {
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    int next = (m + 1) % ISW_YEAR_MONTHS;
    double from = isw_base_month_start[m] + 0.5 * isw_base_month_days[m];
    double to = isw_base_month_start[m + 1] + 0.5 * isw_base_month_days[next];
    for (int d = (int)ceil(from - 0.5); d + 0.5 < to; d++)
      day[d % ISW_YEAR_DAYS] =
          month_mean[m] + (month_mean[next] - month_mean[m]) * (d + 0.5 - from) / (to - from);
  }
}

static double root_mean_square(const double a[ISW_YEAR_DAYS], const double b[ISW_YEAR_DAYS]) {
  double sum = 0.0;
  for (int d = 0; d < ISW_YEAR_DAYS; d++) sum += (a[d] - b[d]) * (a[d] - b[d]);
  return sqrt(sum / ISW_YEAR_DAYS);
}

START_TEST(real_daily_normals_of_seattle) {
  double real[2][ISW_YEAR_DAYS], curve[ISW_YEAR_DAYS], lines[ISW_YEAR_DAYS];
  /* RMSE in K to three decimals: worked out once, independently of this program. Straight lines
   * also miss a month's mean, by 0.47 K here and by up to 1.2 K in continental climates. */
  static const double curve_rmse_K[2] = {0.166, 0.214}, lines_rmse_K[2] = {0.253, 0.363};
  double worst_month_K = 0.0;
  read_seattle(real[0], real[1]);
  for (int i = 0; i < 2; i++) {
    double month_mean[ISW_YEAR_MONTHS], lines_mean[ISW_YEAR_MONTHS];
    average_months(real[i], month_mean);
    isw_growth_curve_days(month_mean, curve);
    ck_assert_double_eq_tol(root_mean_square(curve, real[i]), curve_rmse_K[i], 0.00051);
    draw_straight_lines(month_mean, lines);
    ck_assert_double_eq_tol(root_mean_square(lines, real[i]), lines_rmse_K[i], 0.00051);
    average_months(lines, lines_mean);
    for (int m = 0; m < ISW_YEAR_MONTHS; m++)
      worst_month_K = fmax(worst_month_K, fabs(lines_mean[m] - month_mean[m]));
  }
  ck_assert_double_eq_tol(worst_month_K, 0.47, 0.0051);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("daily curve");
  TCase *tables = tcase_create("published closed form");
  tcase_add_loop_test(tables, weights_of_1_january, 0,
                      science_table_count("daily_curve_weights.txt"));
  tcase_add_loop_test(tables, response_to_july, 0, science_table_count("daily_curve_july.txt"));
  tcase_add_loop_test(tables, seattle_days, 0, science_table_count("daily_curve_seattle.txt"));
  tcase_add_test(tables, seattle_extremes_fall_on_their_days);
  suite_add_tcase(suite, tables);
  TCase *promises = tcase_create("promises");
  tcase_add_loop_test(promises, month_means_come_back, 0, 4);
  tcase_add_test(promises, constant_in_constant_out);
  tcase_add_loop_test(promises, months_join_smoothly, 0, ISW_YEAR_MONTHS);
  tcase_add_test(promises, a_day_with_crossed_curves_gets_their_mean);
  suite_add_tcase(suite, promises);
  TCase *real = tcase_create("real daily normals");
  tcase_add_test(real, real_daily_normals_of_seattle);
  suite_add_tcase(suite, real);
  return suite;
}

/* A day against a temperature band, a shelter, a killing temperature and a chilling band. */
#include <math.h>

#include "growth/day_response.h"
#include "made_up.h"
#include "science_table.h"
#include "suite_main.h"

static const double pi = 3.14159265358979323846;

static double limit_to(double value, double from, double to) {
  return fmin(fmax(value, from), to);
}

/* The band itself at one temperature. */
static double rise_at(const struct isw_band *band, double temp_C) {
  return limit_to((temp_C - band->stops_below_C) / (band->best_from_C - band->stops_below_C), 0.0,
                  1.0);
}
static double fit_at(const struct isw_band *band, double temp_C) {
  return rise_at(band, temp_C) -
         limit_to((temp_C - band->best_to_C) / (band->stops_above_C - band->best_to_C), 0.0, 1.0);
}

/* Mean of the band over a sine day by Gauss-Chebyshev quadrature: knows nothing of degree-days. */
static struct isw_response average_band(const struct isw_band *band, double swing,
                                        struct isw_day day, int n) {
  double mean = 0.5 * (day.lo_C + day.hi_C), half = 0.5 * swing * (day.hi_C - day.lo_C);
  struct isw_response sum = {0.0, 0.0};
  for (int k = 1; k <= n; k++) {
    double temp = mean + half * cos((2 * k - 1) * pi / (2 * n));
    sum.rate += rise_at(band, temp);
    sum.fit += fit_at(band, temp);
  }
  return (struct isw_response){sum.rate / n, sum.fit / n};
}

/* A band with ramps of 3 K or more and a day with up to 25 K of swing. */
static struct isw_band make_up_band(uint64_t *state) {
  double a = made_up(state, -5.0, 12.0), b = a + made_up(state, 3.0, 18.0);
  double c = b + made_up(state, 0.0, 10.0), d = c + made_up(state, 3.0, 12.0);
  return (struct isw_band){a, b, c, d};
}
static struct isw_day make_up_day(uint64_t *state) {
  double lo = made_up(state, -25.0, 40.0);
  return (struct isw_day){lo, lo + made_up(state, 0.0, 25.0)};
}

START_TEST(degree_days_as_published) {
  struct science_row row;
  science_table_row("degree_days.txt", 4, _i, &row);
  struct isw_band band = {50, 70, 90, 110}; /* degF: the formula knows no unit */
  struct isw_day day = {row.number[0], row.number[1]};
  ck_assert_double_eq_tol(isw_growth_respond(&band, 1.0, day).rate * 20.0, row.number[2],
                          row.number[3]);
}
END_TEST

START_TEST(fit_to_the_digits) {
  struct science_row row;
  science_table_row("day_fit.txt", 8, _i, &row);
  const double *n = row.number;
  struct isw_band band = {n[0], n[1], n[2], n[3]};
  struct isw_day day = {n[4], n[5]};
  double fit = isw_growth_respond(&band, 1.0, day).fit;
  ck_assert_double_eq_tol(fit, n[6], n[7]);
  ck_assert_double_eq_tol(average_band(&band, 1.0, day, 48).fit, fit, 2e-4);
}
END_TEST

START_TEST(quadrature_agrees_everywhere) {
  uint64_t state = 4711u + (uint64_t)_i;
  for (int i = 0; i < 300; i++) {
    struct isw_band band = make_up_band(&state);
    struct isw_day day = make_up_day(&state);
    double swing = made_up(&state, 0.0, 1.0);
    struct isw_response got = isw_growth_respond(&band, swing, day);
    struct isw_response expected = average_band(&band, swing, day, 2048);
    ck_assert_double_eq_tol(got.rate, expected.rate, 2e-6);
    ck_assert_double_eq_tol(got.fit, expected.fit, 2e-6);
    ck_assert_double_ge(got.fit, 0.0);
    ck_assert_double_le(got.fit, got.rate);
    ck_assert_double_le(got.rate, 1.0);
  }
}
END_TEST

/* K(u) of the fast form in docs/method.md. */
static double fast_corner(double u) {
  double w = fmax(0.0, 1.0 - fabs(u));
  double p =
      0.300114238587 + w * (0.0149103446445 + w * (0.00276103051302 + w * w * 0.00052421284456));
  return w * sqrt(w) * p;
}
static double exact_corner(double u) {
  return (sqrt(1.0 - u * u) - u * acos(u)) / pi;
}

START_TEST(fast_corner_is_within_its_error) {
  double worst = 0.0;
  for (double u = 0.0; u <= 1.0; u += 1e-5)
    worst = fmax(worst, fabs(fast_corner(u) - exact_corner(u)));
  ck_assert_double_lt(worst, 8e-8);
}
END_TEST

/* Ramps of 3 K or more, half-swings up to 12.5 K. */
START_TEST(fast_form_is_within_its_error) {
  uint64_t state = 1234u + (uint64_t)_i;
  double worst_rate = 0.0, worst_fit = 0.0;
  for (int i = 0; i < 20000; i++) {
    struct isw_band band = make_up_band(&state);
    if (i % 2 == 0) { /* the steepest ramps have the largest error */
      band.best_from_C = band.stops_below_C + 3.0;
      band.best_to_C = band.best_from_C + made_up(&state, 0.0, 20.0);
      band.stops_above_C = band.best_to_C + 3.0;
    }
    struct isw_day day = make_up_day(&state);
    if (day.hi_C - day.lo_C < 1e-3) continue;
    double mean = 0.5 * (day.lo_C + day.hi_C), half = 0.5 * (day.hi_C - day.lo_C);
    double rise = (fast_corner((band.stops_below_C - mean) / half) -
                   fast_corner((band.best_from_C - mean) / half)) /
                  (band.best_from_C - band.stops_below_C);
    double fall = (fast_corner((band.best_to_C - mean) / half) -
                   fast_corner((band.stops_above_C - mean) / half)) /
                  (band.stops_above_C - band.best_to_C);
    struct isw_response exact = isw_growth_respond(&band, 1.0, day);
    worst_rate = fmax(worst_rate, fabs(rise_at(&band, mean) + half * rise - exact.rate));
    worst_fit = fmax(worst_fit, fabs(fit_at(&band, mean) + half * (rise - fall) - exact.fit));
  }
  ck_assert_double_lt(worst_rate, 1e-5);
  ck_assert_double_lt(worst_fit, 1e-5);
}
END_TEST

START_TEST(constant_day_is_the_band_itself) {
  struct isw_band band = {4, 17, 22, 30};
  for (double temp = -10.0; temp <= 45.0; temp += 0.25) {
    struct isw_response got = isw_growth_respond(&band, 1.0, (struct isw_day){temp, temp});
    ck_assert_double_eq_tol(got.rate, rise_at(&band, temp), 1e-12);
    ck_assert_double_eq_tol(got.fit, fit_at(&band, temp), 1e-12);
    /* and without a jump to it as the swing goes to nothing */
    struct isw_response near = isw_growth_respond(&band, 1.0, (struct isw_day){temp, temp + 4e-6});
    ck_assert_double_eq_tol(near.fit, got.fit, 1e-6);
    struct isw_response unseen =
        isw_growth_respond(&band, 0.0, (struct isw_day){temp - 9, temp + 9});
    ck_assert_double_eq_tol(unseen.fit, got.fit, 1e-12);
  }
}
END_TEST

START_TEST(warmer_never_slows_a_stage) {
  uint64_t state = 99u + (uint64_t)_i;
  for (int i = 0; i < 2000; i++) {
    struct isw_band band = make_up_band(&state);
    struct isw_day day = make_up_day(&state);
    double swing = made_up(&state, 0.0, 1.0), warmer = made_up(&state, 0.0, 6.0);
    struct isw_day warm = {day.lo_C + warmer, day.hi_C + warmer};
    double before = isw_growth_respond(&band, swing, day).rate;
    ck_assert_double_ge(isw_growth_respond(&band, swing, warm).rate, before - 1e-13);
    struct isw_day warm_day = {day.lo_C, day.hi_C + warmer};
    if (swing < 1.0)
      ck_assert_double_ge(isw_growth_respond(&band, swing, warm_day).rate, before - 1e-13);
  }
}
END_TEST

/* Each line worked out by hand from the method's equation of shelters. */
static const struct {
  struct isw_shelter shelter;
  struct isw_day open, under;
} shelter_cases[] = {
    {{NULL, 16, INFINITY, 28, 4, NULL}, {5, 20}, {16, 20}},       /* nursery: heated, unbounded */
    {{NULL, 16, INFINITY, 28, 4, NULL}, {-20, 2}, {16, 16}},      /* hi never below lo */
    {{NULL, 16, INFINITY, 28, 4, NULL}, {22, 30}, {22, 28}},      /* shade down to 28 */
    {{NULL, 16, INFINITY, 28, 4, NULL}, {24, 36}, {24, 32}},      /* by 4 K at most */
    {{NULL, 8, 2, INFINITY, INFINITY, NULL}, {3, 12}, {5, 12}},   /* row cover: 2 K at most */
    {{NULL, 8, 2, INFINITY, INFINITY, NULL}, {7.5, 12}, {8, 12}}, /* and not past 8 */
    {{NULL, 8, 2, INFINITY, INFINITY, NULL}, {8, 12}, {8, 12}},   /* not from 8 on */
    {{NULL, -INFINITY, INFINITY, 25, INFINITY, NULL}, {2, 40}, {2, 25}}, /* unbounded cooling */
    {{NULL, -INFINITY, INFINITY, 25, INFINITY, NULL}, {27, 40}, {27, 27}},
    {{NULL, -INFINITY, INFINITY, INFINITY, INFINITY, NULL}, {-3, 9}, {-3, 9}},
};

START_TEST(shelters_by_hand) {
  struct isw_day got = isw_growth_shelter_day(&shelter_cases[_i].shelter, shelter_cases[_i].open);
  ck_assert_double_eq_tol(got.lo_C, shelter_cases[_i].under.lo_C, 1e-12);
  ck_assert_double_eq_tol(got.hi_C, shelter_cases[_i].under.hi_C, 1e-12);
}
END_TEST

START_TEST(open_ground_changes_nothing) {
  struct isw_day got = isw_growth_shelter_day(NULL, (struct isw_day){-7.0, 3.5});
  ck_assert_double_eq(got.lo_C, -7.0);
  ck_assert_double_eq(got.hi_C, 3.5);
}
END_TEST

START_TEST(killing_nights_as_the_normal_table) {
  struct science_row row;
  science_table_row("normal_odds.txt", 3, _i, &row);
  for (double spread = 0.5; spread < 6.0; spread += 0.5) {
    double dies_below = -4.0, lo = dies_below - row.number[0] * spread;
    ck_assert_double_eq_tol(isw_growth_kill(dies_below, spread, lo), row.number[1], row.number[2]);
  }
}
END_TEST

START_TEST(what_cannot_freeze_never_does) {
  ck_assert_double_eq(isw_growth_kill(-INFINITY, 3.0, -80.0), 0.0);
}
END_TEST

/* Constant days of spread 2: the three shifted days are constant too, so the band is read at three
 * temperatures. Band of the cabbage sheet: -1, 3, 12, 15. */
START_TEST(chilling_of_constant_days_by_hand) {
  struct isw_band band = {-1, 3, 12, 15};
  double shift = 2.0 * sqrt(3.0);
  for (double temp = -12.0; temp <= 25.0; temp += 0.5) {
    double expected = fit_at(&band, temp - shift) / 6.0 + fit_at(&band, temp) * 2.0 / 3.0 +
                      fit_at(&band, temp + shift) / 6.0;
    struct isw_day day = {temp, temp};
    ck_assert_double_eq_tol(isw_growth_chilling(&band, NULL, 2.0, day), expected, 1e-12);
  }
}
END_TEST

/* The three points stand for the whole spread: against the mean over the normal distribution. Three
 * points of a band with corners come within 0.032 of a day here. */
START_TEST(chilling_stands_for_the_whole_spread) {
  struct isw_band band = {-1, 3, 12, 15};
  for (double lo = -10.0; lo <= 20.0; lo += 1.0) {
    double sum = 0.0, weights = 0.0;
    for (double z = -5.0; z <= 5.0; z += 0.02) {
      double weight = exp(-0.5 * z * z);
      struct isw_day day = {lo + 3.0 * z, lo + 10.0 + 3.0 * z};
      sum += weight * isw_growth_respond(&band, 1.0, day).fit;
      weights += weight;
    }
    struct isw_day normal = {lo, lo + 10.0};
    ck_assert_double_eq_tol(isw_growth_chilling(&band, NULL, 3.0, normal), sum / weights, 0.0325);
  }
}
END_TEST

/* Spread is applied outside, the shelter after it: a heated nursery keeps the cold out. */
START_TEST(chilling_sees_the_shelter) {
  struct isw_band band = {-1, 3, 12, 15};
  struct isw_shelter nursery = {NULL, 16, INFINITY, 28, 4, NULL};
  struct isw_day day = {2, 10};
  ck_assert_double_gt(isw_growth_chilling(&band, NULL, 3.0, day), 0.8);
  ck_assert_double_eq_tol(isw_growth_chilling(&band, &nursery, 3.0, day), 0.0, 1e-12);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("day response");
  TCase *bands = tcase_create("bands");
  tcase_add_loop_test(bands, degree_days_as_published, 0, science_table_count("degree_days.txt"));
  tcase_add_loop_test(bands, fit_to_the_digits, 0, science_table_count("day_fit.txt"));
  tcase_add_loop_test(bands, quadrature_agrees_everywhere, 0, 4);
  tcase_add_test(bands, fast_corner_is_within_its_error);
  tcase_add_loop_test(bands, fast_form_is_within_its_error, 0, 4);
  tcase_add_test(bands, constant_day_is_the_band_itself);
  tcase_add_loop_test(bands, warmer_never_slows_a_stage, 0, 4);
  suite_add_tcase(suite, bands);
  TCase *rest = tcase_create("shelter, frost, chilling");
  tcase_add_loop_test(rest, shelters_by_hand, 0,
                      (int)(sizeof shelter_cases / sizeof shelter_cases[0]));
  tcase_add_test(rest, open_ground_changes_nothing);
  tcase_add_loop_test(rest, killing_nights_as_the_normal_table, 0,
                      science_table_count("normal_odds.txt"));
  tcase_add_test(rest, what_cannot_freeze_never_does);
  tcase_add_test(rest, chilling_of_constant_days_by_hand);
  tcase_add_test(rest, chilling_stands_for_the_whole_spread);
  tcase_add_test(rest, chilling_sees_the_shelter);
  suite_add_tcase(suite, rest);
  return suite;
}

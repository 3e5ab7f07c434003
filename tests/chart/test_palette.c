/* The maps' colours for readers who confuse colours, and in grey.
 *
 * Simulated dichromacy: Machado, Oliveira & Fernandes 2009, "A physiologically-based model for
 * simulation of color vision deficiency", IEEE Trans. Vis. Comput. Graph. 15:1291, matrices for
 * severity 1.0, applied to linear sRGB. Differences: CIEDE2000 (CIE 142-2001), tested on pairs of
 * Sharma, Wu & Dalal 2005, "The CIEDE2000 color-difference formula", Color Res. Appl. 30:21, table
 * 1 [M]; L*a*b* under D65. About 1 is just noticeable side by side. */
#include <check.h>
#include <math.h>
#include <stdio.h>

#include "chart/map_sheet.h"
#include "chart/palette.h"
#include "suite_main.h"

static const double pi = 3.14159265358979323846;

enum eye { NORMAL, PROTAN, DEUTAN, TRITAN, GREY, EYES };
static const char *const eye_names[EYES] = {"normal", "protan", "deutan", "tritan", "grey"};
static const double machado[3][3][3] = {{{0.152286, 1.052583, -0.204868},
                                         {0.114503, 0.786281, 0.099216},
                                         {-0.003882, -0.048116, 1.051998}},
                                        {{0.367322, 0.860646, -0.227968},
                                         {0.280085, 0.672501, 0.047413},
                                         {-0.011820, 0.042940, 0.968881}},
                                        {{1.255528, -0.076749, -0.178779},
                                         {-0.078411, 0.930809, 0.147602},
                                         {0.004733, 0.691367, 0.303900}}};

struct lab {
  double l, a, b;
};

/* IEC 61966-2-1 */
static double linear(double value) {
  return value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4);
}

static double cie_f(double t) {
  return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

static struct lab see(struct isw_colour colour, enum eye eye) {
  double rgb[3] = {linear(colour.red), linear(colour.green), linear(colour.blue)}, seen[3];
  for (int i = 0; i < 3; i++) {
    seen[i] = rgb[i];
    if (eye >= PROTAN && eye <= TRITAN) {
      const double *row = machado[eye - PROTAN][i];
      seen[i] = fmin(fmax(row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2], 0), 1);
    }
    if (eye == GREY) seen[i] = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
  }
  double x = (0.4124 * seen[0] + 0.3576 * seen[1] + 0.1805 * seen[2]) / 0.9505;
  double y = 0.2126 * seen[0] + 0.7152 * seen[1] + 0.0722 * seen[2];
  double z = (0.0193 * seen[0] + 0.1192 * seen[1] + 0.9505 * seen[2]) / 1.089;
  return (struct lab){116 * cie_f(y) - 16, 500 * (cie_f(x) - cie_f(y)),
                      200 * (cie_f(y) - cie_f(z))};
}

static double degrees_of(double y, double x) {
  double angle = atan2(y, x) * 180 / pi;
  return angle < 0 ? angle + 360 : angle;
}

static double cosine(double angle_deg) {
  return cos(angle_deg * pi / 180);
}

/* CIEDE2000, weights 1. */
static double ciede2000(struct lab p, struct lab q) {
  const double c7 = pow(25, 7);
  double mean_c = (hypot(p.a, p.b) + hypot(q.a, q.b)) / 2;
  double g = 0.5 * (1 - sqrt(pow(mean_c, 7) / (pow(mean_c, 7) + c7)));
  double a1 = (1 + g) * p.a, a2 = (1 + g) * q.a, c_1 = hypot(a1, p.b), c_2 = hypot(a2, q.b);
  double h1 = degrees_of(p.b, a1), h2 = degrees_of(q.b, a2), turn = h2 - h1, mean_h = (h1 + h2) / 2;
  if (!(c_1 * c_2 > 0)) {
    turn = 0;
    mean_h = h1 + h2;
  } else if (fabs(h1 - h2) > 180) {
    turn += turn > 0 ? -360 : 360;
    mean_h += h1 + h2 < 360 ? 180 : -180;
  }
  double light = q.l - p.l, chroma = c_2 - c_1;
  double hue = 2 * sqrt(c_1 * c_2) * sin(turn * pi / 360);
  double mean_l = (p.l + q.l) / 2, mean_c2 = (c_1 + c_2) / 2, off = mean_l - 50;
  double t = 1 - 0.17 * cosine(mean_h - 30) + 0.24 * cosine(2 * mean_h) +
             0.32 * cosine(3 * mean_h + 6) - 0.2 * cosine(4 * mean_h - 63);
  double turned = 30 * exp(-pow((mean_h - 275) / 25, 2));
  double rotation = -sin(turned * pi / 90) * 2 * sqrt(pow(mean_c2, 7) / (pow(mean_c2, 7) + c7));
  light /= 1 + 0.015 * off * off / sqrt(20 + off * off);
  chroma /= 1 + 0.045 * mean_c2;
  hue /= 1 + 0.015 * mean_c2 * t;
  return sqrt(light * light + chroma * chroma + hue * hue + rotation * chroma * hue);
}

static double difference(struct isw_colour a, struct isw_colour b, enum eye eye) {
  return ciede2000(see(a, eye), see(b, eye));
}

START_TEST(differences_are_the_published_ones) {
  static const struct {
    struct lab p, q;
    double difference;
  } pairs[] = {{{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
               {{50, 0, 0}, {50, -1, 2}, 2.3669},
               {{50, 2.49, -0.001}, {50, -2.49, 0.0009}, 7.1792},
               {{50, 2.5, 0}, {73, 25, -18}, 27.1492},
               {{50, 2.5, 0}, {56, -27, -3}, 31.9030},
               {{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
               {{2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082}};
  for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++)
    ck_assert_double_eq_tol(ciede2000(pairs[i].p, pairs[i].q), pairs[i].difference, 1e-4);
}
END_TEST

/* What stands side by side in the legend: a period and the next, and the same third of the next
 * month. */
static const int legend_steps[] = {1, 3};
static const double least_step[EYES] = {10, 10, 10, 10, 10};

START_TEST(legend_neighbours_differ_for_every_eye) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  enum eye eye = (enum eye)_i;
  for (int k = 0; k < 2; k++) {
    double least = HUGE_VAL, most = 0;
    for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
      double step =
          difference(colours[i], colours[(i + legend_steps[k]) % ISW_TEN_DAY_PERIODS], eye);
      least = fmin(least, step);
      most = fmax(most, step);
      ck_assert_msg(step >= least_step[eye], "%s: period %d to %d on only %.2f", eye_names[eye], i,
                    legend_steps[k], step);
    }
    printf("%s: %d on %.1f to %.1f\n", eye_names[eye], legend_steps[k], least, most);
  }
}
END_TEST

START_TEST(new_year_is_no_cliff) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  enum eye eye = (enum eye)_i;
  double seam = difference(colours[ISW_TEN_DAY_PERIODS - 1], colours[0], eye), sum = 0;
  for (int i = 0; i + 1 < ISW_TEN_DAY_PERIODS; i++)
    sum += difference(colours[i], colours[i + 1], eye);
  double mean = sum / (ISW_TEN_DAY_PERIODS - 1);
  ck_assert_msg(seam < 1.6 * mean, "%s: the step over New Year is %.1f, the mean %.1f",
                eye_names[eye], seam, mean);
}
END_TEST

/* No two dates of the year look alike to any eye but the grey one. */
START_TEST(no_two_dates_look_alike) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  enum eye eye = (enum eye)_i;
  double least = HUGE_VAL;
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++)
    for (int j = 0; j < i; j++) {
      double apart = difference(colours[i], colours[j], eye);
      least = fmin(least, apart);
      ck_assert_msg(apart > 4.5, "%s: periods %d and %d only %.2f apart", eye_names[eye], i, j,
                    apart);
    }
  printf("%s: any two at least %.1f\n", eye_names[eye], least);
}
END_TEST

/* In grey a period and its neighbours in the legend are light and dark in turn. Grey alone does not
 * tell a season's order: labelled lines do (test_map_sheet.c). */
START_TEST(grey_takes_turns) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++)
    for (int k = 0; k < 2; k++) {
      int j = (i + legend_steps[k]) % ISW_TEN_DAY_PERIODS;
      double rise = see(colours[j], GREY).l - see(colours[i], GREY).l;
      ck_assert_msg((i % 2 == 0 ? -rise : rise) > 8, "period %d to %d: %.1f", i, j, rise);
    }
}
END_TEST

START_TEST(years_classes_are_ordered_and_apart) {
  enum eye eye = (enum eye)_i;
  enum { CLASSES = 5 };
  for (int i = 0; i + 1 < CLASSES; i++) {
    struct isw_colour a = isw_chart_years_fill(i).ground, b = isw_chart_years_fill(i + 1).ground;
    ck_assert_msg(see(a, eye).l > see(b, eye).l + 4, "%s: class %d", eye_names[eye], i);
    ck_assert_msg(difference(a, b, eye) > (eye == GREY ? 7 : 10), "%s: class %d only %.1f",
                  eye_names[eye], i, difference(a, b, eye));
  }
  ck_assert_int_ne(isw_chart_years_fill(0).hatch, ISW_HATCH_NONE);
}
END_TEST

/* A flank's hatch is seen on every date's colour, and its three kinds are unlike. */
START_TEST(flanks_are_seen_on_every_date) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) {
    struct isw_fill earlier = isw_chart_flank_fill(colours[i], true, false);
    struct isw_fill later = isw_chart_flank_fill(colours[i], false, true);
    struct isw_fill both = isw_chart_flank_fill(colours[i], true, true);
    ck_assert(earlier.hatch != later.hatch && later.hatch != both.hatch &&
              earlier.hatch != both.hatch);
    double apart = difference(earlier.ink, earlier.ground, GREY);
    ck_assert_msg(apart > 15, "period %d: %.1f", i, apart);
  }
}
END_TEST

START_TEST(score_classes_are_ordered_and_apart) {
  enum eye eye = (enum eye)_i;
  for (int i = 0; i + 1 < ISW_SCORE_CLASSES; i++) {
    struct isw_colour a = isw_chart_score_fill(i).ground, b = isw_chart_score_fill(i + 1).ground;
    ck_assert_msg(see(a, eye).l > see(b, eye).l + 5, "%s: class %d", eye_names[eye], i);
    ck_assert_msg(difference(a, b, eye) > (eye == GREY ? 7 : 10), "%s: class %d", eye_names[eye],
                  i);
  }
  ck_assert_int_ne(isw_chart_score_fill(0).hatch, ISW_HATCH_NONE);
}
END_TEST

/* Colour is never alone: two varieties share a colour or a hatch, not both. */
START_TEST(varieties_are_unique) {
  for (int a = 0; a < ISW_VARIETIES_MAX; a++)
    for (int b = 0; b < a; b++) {
      struct isw_fill p = isw_chart_variety_fill(a, false), q = isw_chart_variety_fill(b, false);
      ck_assert_msg(p.hatch != q.hatch || difference(p.ground, q.ground, NORMAL) > 5,
                    "varieties %d and %d look alike", a, b);
      if (a < 7) ck_assert_int_ne(p.hatch, q.hatch);
    }
}
END_TEST

START_TEST(first_varieties_differ_for_every_eye) {
  enum eye eye = (enum eye)_i;
  for (int a = 0; a < 4; a++)
    for (int b = 0; b < a; b++) {
      double apart = difference(isw_chart_variety_fill(a, false).ground,
                                isw_chart_variety_fill(b, false).ground, eye);
      /* Grey cannot hold four mid-tones apart; there the hatch does it. */
      if (eye != GREY)
        ck_assert_msg(apart > 10, "%s: %d and %d only %.1f", eye_names[eye], a, b, apart);
    }
}
END_TEST

START_TEST(risky_picks_are_lighter_and_dotted) {
  for (int v = 0; v < ISW_VARIETIES_MAX; v++) {
    struct isw_fill sure = isw_chart_variety_fill(v, false),
                    risky = isw_chart_variety_fill(v, true);
    ck_assert_int_eq(risky.hatch, ISW_HATCH_DOTS);
    ck_assert_int_ne(sure.hatch, ISW_HATCH_DOTS);
    ck_assert(see(risky.ground, GREY).l > see(sure.ground, GREY).l);
  }
}
END_TEST

START_TEST(colour_table_is_the_maps) {
  struct isw_sheet sheet = {.n_varieties = 3};
  struct isw_plan plan = {.sheet = &sheet};
  uint8_t colours[256][4];
  isw_chart_pick_colours(&plan, colours);
  for (int v = 0; v < 3; v++)
    for (int risky = 0; risky < 2; risky++) {
      const uint8_t *entry = colours[v + 1 + 100 * risky];
      uint32_t hex = isw_chart_hex_of_colour(isw_chart_variety_fill(v, risky).ground);
      ck_assert_uint_eq(hex, (uint32_t)entry[0] << 16 | (uint32_t)entry[1] << 8 | entry[2]);
      ck_assert_int_eq(entry[3], 255);
    }
  ck_assert_int_eq(colours[0][3], 255);
  ck_assert_int_eq(colours[4][3], 0);
  ck_assert_int_eq(colours[100][3], 0);
  ck_assert_int_eq(colours[255][3], 0);
}
END_TEST

/* Oklab of the sRGB primaries as its author tabulates for white and as the transform's published
 * source gives for red: Ottosson 2020 (white 1, 0, 0; red .62796, .22486, .12585) [M]. */
START_TEST(oklab_is_the_published_one) {
  struct isw_oklab white = isw_chart_oklab_of_colour((struct isw_colour){1, 1, 1});
  ck_assert_double_eq_tol(white.lightness, 1, 1e-4);
  ck_assert_double_eq_tol(white.green_red, 0, 1e-4);
  ck_assert_double_eq_tol(white.blue_yellow, 0, 1e-4);
  struct isw_oklab red = isw_chart_oklab_of_colour((struct isw_colour){1, 0, 0});
  ck_assert_double_eq_tol(red.lightness, 0.62796, 1e-4);
  ck_assert_double_eq_tol(red.green_red, 0.22486, 1e-4);
  ck_assert_double_eq_tol(red.blue_yellow, 0.12585, 1e-4);
  for (uint32_t hex = 0; hex < 0xFFFFFF; hex += 76543)
    ck_assert_uint_eq(isw_chart_hex_of_colour(isw_chart_colour_of_oklab(
                          isw_chart_oklab_of_colour(isw_chart_colour_of_hex(hex)))),
                      hex);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("palette");
  TCase *tcase = tcase_create("palette");
  tcase_add_test(tcase, differences_are_the_published_ones);
  tcase_add_loop_test(tcase, legend_neighbours_differ_for_every_eye, NORMAL, EYES);
  tcase_add_loop_test(tcase, new_year_is_no_cliff, NORMAL, EYES);
  tcase_add_loop_test(tcase, no_two_dates_look_alike, NORMAL, GREY);
  tcase_add_test(tcase, grey_takes_turns);
  tcase_add_loop_test(tcase, years_classes_are_ordered_and_apart, NORMAL, EYES);
  tcase_add_test(tcase, flanks_are_seen_on_every_date);
  tcase_add_loop_test(tcase, score_classes_are_ordered_and_apart, NORMAL, EYES);
  tcase_add_test(tcase, varieties_are_unique);
  tcase_add_loop_test(tcase, first_varieties_differ_for_every_eye, NORMAL, EYES);
  tcase_add_test(tcase, risky_picks_are_lighter_and_dotted);
  tcase_add_test(tcase, colour_table_is_the_maps);
  tcase_add_test(tcase, oklab_is_the_published_one);
  suite_add_tcase(suite, tcase);
  return suite;
}

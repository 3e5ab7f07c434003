/* DESIGN: the year's palette is a closed curve through twelve colours, one per month, with a wave
 * of lightness on it:
 *
 *     hue         blue -> teal -> green -> yellow -> orange -> red -> violet -> blue
 *     lightness   \/\/\/\/\/\/   falling through odd months, rising through even ones
 *
 * The curve tells the time of year, the wave parts the thirds of a month, and since a wave takes
 * two months the last days of December and the first of January are neighbours like any others. The
 * curve was found by a search that weighed the least step to the next period against the least
 * distance between dates a month or more apart, for four kinds of eyes, and kept near a plain order
 * of hues; tests/chart/test_palette.c holds it to what it reached. In grey the steps show but not
 * their order: there the labelled lines of equal date tell it. */
#include "chart/palette.h"

#include <math.h>

#include "chart/map_sheet.h"
#include "growth/pick.h"

/* The middles of the months, January to December, before the wave. */
static const struct isw_oklab months[ISW_YEAR_MONTHS] = {
    {0.534, 0.043, -0.148}, {0.615, -0.019, -0.101}, {0.705, -0.029, -0.033},
    {0.769, -0.071, 0.019}, {0.808, -0.070, 0.080},  {0.797, -0.026, 0.130},
    {0.740, 0.029, 0.146},  {0.663, 0.046, 0.075},   {0.593, 0.097, 0.014},
    {0.493, 0.151, 0.071},  {0.448, 0.156, -0.019},  {0.470, 0.113, -0.150}};
static const double wave = 0.125; /* of lightness, from its middle */

/* Catmull-Rom spline, closed; t in months. */
static double spline(double a, double b, double c, double d, double u) {
  return b + 0.5 * u * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)));
}

void isw_chart_period_colours(struct isw_colour colours[ISW_TEN_DAY_PERIODS]) {
  enum { THIRDS = 3, WAVE_PERIODS = 6 };
  static const double rise[WAVE_PERIODS] = {1, 1 / 3.0, -1 / 3.0, -1, -1 / 3.0, 1 / 3.0};
  for (int period = 0; period < ISW_TEN_DAY_PERIODS; period++) {
    /* Mid January is the first month's colour. */
    int at = (period + ISW_TEN_DAY_PERIODS - 1) % ISW_TEN_DAY_PERIODS;
    int month = at / THIRDS;
    double u = (double)(at % THIRDS) / THIRDS;
    const struct isw_oklab *p[4];
    for (int k = 0; k < 4; k++) p[k] = &months[(month + k + ISW_YEAR_MONTHS - 1) % ISW_YEAR_MONTHS];
    colours[period] = isw_chart_colour_of_oklab((struct isw_oklab){
        spline(p[0]->lightness, p[1]->lightness, p[2]->lightness, p[3]->lightness, u) +
            wave * rise[period % WAVE_PERIODS],
        spline(p[0]->green_red, p[1]->green_red, p[2]->green_red, p[3]->green_red, u),
        spline(p[0]->blue_yellow, p[1]->blue_yellow, p[2]->blue_yellow, p[3]->blue_yellow, u)});
  }
}

struct isw_fill isw_chart_plain_fill(struct isw_colour colour) {
  return (struct isw_fill){colour, colour, ISW_HATCH_NONE, 1, 0};
}

struct isw_fill isw_chart_score_fill(int score_class) {
  /* Yellow to blue with falling lightness: the one axis that most readers share. */
  static const uint32_t grounds[ISW_SCORE_CLASSES] = {0xF6F3EC, 0xF0C566, 0x559DB4, 0x1D4E86};
  struct isw_fill fill = isw_chart_plain_fill(isw_chart_colour_of_hex(grounds[score_class]));
  if (score_class == 0) {
    fill.hatch = ISW_HATCH_FALLING;
    fill.ink = isw_chart_colour_of_hex(0xA39B8B);
    fill.spacing_mm = 1.3;
    fill.width_mm = 0.13;
  }
  return fill;
}

struct isw_fill isw_chart_empty_fill(void) {
  return (struct isw_fill){isw_chart_colour_of_hex(0xEBEBEB), isw_chart_colour_of_hex(0xA9A9A9),
                           ISW_HATCH_RISING, 1.1, 0.11};
}

/* Seven hues of Okabe & Ito, "Color Universal Design", 2008, and a grey, in an order that keeps the
 * first four far apart. */
static const uint32_t hues[8] = {0x0072B2, 0xE69F00, 0x009E73, 0xCC79A7,
                                 0xF0E442, 0x56B4E9, 0xD55E00, 0x6B6B6B};
static const enum isw_hatch hatches[7] = {ISW_HATCH_NONE,    ISW_HATCH_RISING,  ISW_HATCH_LEVEL,
                                          ISW_HATCH_FALLING, ISW_HATCH_UPRIGHT, ISW_HATCH_CROSSED,
                                          ISW_HATCH_GRID};

struct isw_fill isw_chart_variety_fill(int variety, bool risky) {
  static const struct isw_colour white = {1, 1, 1}, black = {0, 0, 0};
  struct isw_colour hue = isw_chart_colour_of_hex(hues[variety % 8]);
  /* 7 and 8 have no common divisor: 56 pairs; beyond them, shades. */
  int shade = variety / 56;
  struct isw_fill fill = {isw_chart_mix_colours(hue, white, risky ? 0.62 : 0.12 + 0.2 * shade),
                          isw_chart_mix_colours(hue, black, risky ? 0.15 : 0.35),
                          risky ? ISW_HATCH_DOTS : hatches[variety % 7], risky ? 1.5 : 1.9,
                          risky ? 0.42 : 0.2};
  return fill;
}

void isw_chart_pick_colours(const struct isw_plan *plan, uint8_t colours[256][4]) {
  for (int code = 0; code < 256; code++) {
    struct isw_colour colour = {0, 0, 0};
    int variety = code > ISW_PICK_RISKY_CODE ? code - ISW_PICK_RISKY_CODE - 1 : code - 1;
    bool risky = code > ISW_PICK_RISKY_CODE;
    bool used = code == 0 || (variety >= 0 && variety < plan->sheet->n_varieties);
    if (code == 0)
      colour = isw_chart_empty_fill().ground;
    else if (used)
      colour = isw_chart_variety_fill(variety, risky).ground;
    uint32_t hex = isw_chart_hex_of_colour(colour);
    colours[code][0] = (uint8_t)(hex >> 16);
    colours[code][1] = (uint8_t)(hex >> 8);
    colours[code][2] = (uint8_t)hex;
    colours[code][3] = used ? 255 : 0;
  }
}

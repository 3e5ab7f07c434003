/* DESIGN: the year's palette is an ellipse in Oklab,
 *
 *     lightness   = 0.665 + 0.245 sin t        green-red = 0.02 - 0.085 sin t + 0.03 cos t
 *     blue-yellow = 0.01 - 0.125 cos t         t = 0 in mid January
 *
 * sampled at equal arc length, green-red counted half, because that is what is lost first. Any
 * other season order would do; this one follows what the year looks like. */
#include "chart/palette.h"

#include <math.h>

#include "chart/map_sheet.h"
#include "growth/pick.h"

static const double tau = 6.283185307179586;
static const double midwinter = 0.04; /* of the year */

static struct isw_oklab year_loop(double t) {
  return (struct isw_oklab){0.665 + 0.245 * sin(t), 0.02 - 0.085 * sin(t) + 0.03 * cos(t),
                            0.01 - 0.125 * cos(t)};
}

void isw_chart_period_colours(struct isw_colour colours[ISW_TEN_DAY_PERIODS]) {
  enum { STEPS = 1440 };
  double arc[STEPS + 1];
  arc[0] = 0;
  struct isw_oklab last = year_loop(-tau * midwinter);
  for (int i = 1; i <= STEPS; i++) {
    struct isw_oklab next = year_loop(tau * ((double)i / STEPS - midwinter));
    double dl = next.lightness - last.lightness;
    double da = next.green_red - last.green_red;
    double db = next.blue_yellow - last.blue_yellow;
    arc[i] = arc[i - 1] + sqrt(dl * dl + 0.25 * da * da + db * db);
    last = next;
  }
  int i = 0;
  for (int period = 0; period < ISW_TEN_DAY_PERIODS; period++) {
    double target = arc[STEPS] * (period + 0.5) / ISW_TEN_DAY_PERIODS;
    while (i < STEPS && arc[i] < target) i++;
    colours[period] = isw_chart_colour_of_oklab(year_loop(tau * ((double)i / STEPS - midwinter)));
  }
}

struct isw_fill isw_chart_plain_fill(struct isw_colour colour) {
  return (struct isw_fill){colour, colour, ISW_HATCH_NONE, 1, 0};
}

struct isw_fill isw_chart_score_fill(int score_class) {
  /* Yellow to blue with falling lightness: the one axis that most readers share. */
  static const uint32_t grounds[ISW_SCORE_CLASSES] = {0xF4F1EA, 0xF3CE78, 0x5AA3B8, 0x1D4E86};
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

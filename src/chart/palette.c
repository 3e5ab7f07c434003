/* DESIGN: the year's palette is a closed curve of hue with light and dark taking turns:
 *
 *     hue         violet -> blue -> teal -> green -> gold -> orange -> red -> purple -> violet
 *     lightness   /\/\/\/\/\/\  one period light, the next dark
 *
 * The curve tells the time of year. What stands side by side in a legend or on a map, a period and
 * the next and the same third of the next month (three periods on), is of unlike lightness, so that
 * it is told apart in grey and by every kind of eye. The 36 colours were found by a gradient search
 * over the least CIEDE2000 difference under four kinds of eyes and in grey, kept near a plain order
 * of hues; tests/chart/test_palette.c holds them to what they reached. In grey the steps show but
 * not their order: there the labelled lines of equal date tell it. */
#include "chart/palette.h"

#include "growth/pick.h"

/* Early, mid, late January to December. */
static const uint32_t periods[ISW_TEN_DAY_PERIODS] = {
    0x9886FD, 0x7262D5, 0x9F9EFE, 0x6771B5, 0x96ADE6, 0x5D7EA4, 0x81B6CE, 0x428F9A, 0x72C8C8,
    0x438379, 0x91C8B2, 0x5F8A6E, 0xA4C9A2, 0x738F60, 0xB2CB8F, 0x7E8D45, 0xC4C972, 0x948707,
    0xD5B945, 0x976E00, 0xD3A45E, 0x866D36, 0xC3A67A, 0x8A5F4A, 0xCA93A0, 0xA05E73, 0xD07D8C,
    0xB2555E, 0xE8727D, 0xAF3A5E, 0xEB7FAF, 0x9E467B, 0xC97CB9, 0x8B5093, 0xB385D7, 0x7454B4};

void isw_chart_period_colours(struct isw_colour colours[ISW_TEN_DAY_PERIODS]) {
  for (int i = 0; i < ISW_TEN_DAY_PERIODS; i++) colours[i] = isw_chart_colour_of_hex(periods[i]);
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

struct isw_fill isw_chart_years_fill(int years_class) {
  static const uint32_t grounds[] = {0xFBF8F1, 0xF1CF86, 0x7AAEA4, 0x3C7FA8, 0x17376B};
  struct isw_fill fill = isw_chart_plain_fill(isw_chart_colour_of_hex(grounds[years_class]));
  if (years_class == 0) {
    fill.hatch = ISW_HATCH_FALLING;
    fill.ink = isw_chart_colour_of_hex(0xA39B8B);
    fill.spacing_mm = 1.3;
    fill.width_mm = 0.13;
  }
  return fill;
}

struct isw_fill isw_chart_flank_fill(struct isw_colour ground, bool earlier, bool later) {
  struct isw_fill fill = isw_chart_plain_fill(ground);
  fill.hatch = earlier && later ? ISW_HATCH_CROSSED
               : earlier        ? ISW_HATCH_FALLING
                                : ISW_HATCH_RISING;
  fill.ink = isw_chart_mix_colours(ground, isw_chart_ink_on(ground), 0.75);
  fill.spacing_mm = 2.4;
  fill.width_mm = 0.16;
  return fill;
}

struct isw_fill isw_chart_empty_fill(void) {
  return (struct isw_fill){isw_chart_colour_of_hex(0xEBEBEB), isw_chart_colour_of_hex(0xA9A9A9),
                           ISW_HATCH_RISING, 1.1, 0.11};
}

/* Seven hues of Okabe & Ito, "Color Universal Design", 2008 (its purple a little deeper, for
 * readers without blue-yellow vision), and a grey, in an order that keeps the first four far apart.
 */
static const uint32_t hues[8] = {0x0072B2, 0xE69F00, 0x009E73, 0xC876A4,
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

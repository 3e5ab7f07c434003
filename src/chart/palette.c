/* DESIGN: the year's palette is a closed curve of hue with light and dark taking turns:
 *
 *     hue         violet -> blue -> teal -> green -> gold -> mauve -> red -> purple -> violet
 *     lightness   /\/\/\/\/\/\  one period light, the next dark
 *
 * The curve tells the time of year. What stands side by side in a legend or on a map, a period and
 * the next and the same third of the next month (three periods on), is of unlike lightness, so that
 * it is told apart in grey and by every kind of eye. The 36 colours were found by a gradient search
 * over the least CIEDE2000 difference under four kinds of eyes and in grey, kept near a plain order
 * of hues; tests/chart/test_palette.c holds them to what they reached. In grey the steps show but
 * not their order: there the labelled lines of equal date tell it. */
#include "chart/palette.h"

#include "chart/map_sheet.h"
#include "growth/pick.h"

/* Early, mid, late January to December. */
static const uint32_t periods[ISW_TEN_DAY_PERIODS] = {
    0x8C6FD6, 0x6B5DA6, 0x8E8DBB, 0x63678D, 0x797FB7, 0x4E598B, 0x6F88A3, 0x43646B, 0x63968E,
    0x2A6B57, 0x5FA894, 0x387B68, 0x84B58F, 0x5C7C4C, 0xA2B67C, 0x81813D, 0xC3AC5D, 0xA27408,
    0xD5942F, 0x986102, 0xBD9353, 0x856A35, 0xB0966E, 0x987460, 0xC69BA0, 0x8A6C7A, 0xB699A9,
    0x936267, 0xC97E7E, 0xA14354, 0xD9668A, 0x932B61, 0xC3669E, 0x803D7A, 0xA97ED3, 0x6945A8};

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

struct isw_fill isw_chart_empty_fill(void) {
  return (struct isw_fill){isw_chart_colour_of_hex(0xEBEBEB), isw_chart_colour_of_hex(0xA9A9A9),
                           ISW_HATCH_RISING, 1.1, 0.11};
}

/* Seven hues of Okabe & Ito, "Color Universal Design", 2008 (its purple a little deeper, for
 * readers without blue-yellow vision), and a grey, in an order that keeps the first four far apart.
 */
static const uint32_t hues[8] = {0x0072B2, 0xE69F00, 0x009E73, 0xC66FA0,
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

/* Colours as sRGB fractions, and Oklab, in which palettes are made. */
#ifndef ISW_CHART_COLOUR_H
#define ISW_CHART_COLOUR_H

#include <stdint.h>

/* sRGB, each 0..1 */
struct isw_colour {
  double red, green, blue;
};

/* Oklab: lightness 0..1, green-red and blue-yellow about -0.4..0.4. Source: B. Ottosson, "A
 * perceptual color space for image processing", 2020. */
struct isw_oklab {
  double lightness, green_red, blue_yellow;
};

/* Nearest colour that sRGB has: chroma is reduced until it fits; lightness and hue stay. */
struct isw_colour isw_chart_colour_of_oklab(struct isw_oklab lab);
struct isw_oklab isw_chart_oklab_of_colour(struct isw_colour colour);

/* 0xRRGGBB */
struct isw_colour isw_chart_colour_of_hex(uint32_t hex);
uint32_t isw_chart_hex_of_colour(struct isw_colour colour);

/* share 0: a, 1: b, mixed in Oklab */
struct isw_colour isw_chart_mix_colours(struct isw_colour a, struct isw_colour b, double share);

/* Black or white, whichever reads better on the colour. */
struct isw_colour isw_chart_ink_on(struct isw_colour ground);

#endif

#include "chart/colour.h"

#include <math.h>
#include <stdbool.h>

/* IEC 61966-2-1 */
static double linear_of_srgb(double value) {
  return value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4);
}

static double srgb_of_linear(double value) {
  return value <= 0.0031308 ? 12.92 * value : 1.055 * pow(value, 1 / 2.4) - 0.055;
}

static void linear_of_oklab(struct isw_oklab lab, double rgb[3]) {
  double l = lab.lightness + 0.3963377774 * lab.green_red + 0.2158037573 * lab.blue_yellow;
  double m = lab.lightness - 0.1055613458 * lab.green_red - 0.0638541728 * lab.blue_yellow;
  double s = lab.lightness - 0.0894841775 * lab.green_red - 1.2914855480 * lab.blue_yellow;
  l = l * l * l;
  m = m * m * m;
  s = s * s * s;
  rgb[0] = 4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s;
  rgb[1] = -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s;
  rgb[2] = -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s;
}

static bool fits(const double rgb[3]) {
  for (int i = 0; i < 3; i++)
    if (rgb[i] < -1e-4 || rgb[i] > 1 + 1e-4) return false;
  return true;
}

static double clamp01(double value) {
  return fmin(fmax(value, 0), 1);
}

struct isw_colour isw_chart_colour_of_oklab(struct isw_oklab lab) {
  double rgb[3];
  double chroma = 1;
  linear_of_oklab(lab, rgb);
  while (!fits(rgb) && chroma > 0) {
    chroma -= 0.01;
    linear_of_oklab(
        (struct isw_oklab){lab.lightness, chroma * lab.green_red, chroma * lab.blue_yellow}, rgb);
  }
  return (struct isw_colour){clamp01(srgb_of_linear(clamp01(rgb[0]))),
                             clamp01(srgb_of_linear(clamp01(rgb[1]))),
                             clamp01(srgb_of_linear(clamp01(rgb[2])))};
}

struct isw_oklab isw_chart_oklab_of_colour(struct isw_colour colour) {
  double r = linear_of_srgb(colour.red);
  double g = linear_of_srgb(colour.green);
  double b = linear_of_srgb(colour.blue);
  double l = cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  double m = cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  double s = cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return (struct isw_oklab){0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
                            1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
                            0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

struct isw_colour isw_chart_colour_of_hex(uint32_t hex) {
  return (struct isw_colour){((hex >> 16) & 255) / 255.0, ((hex >> 8) & 255) / 255.0,
                             (hex & 255) / 255.0};
}

static uint32_t byte_of(double value) {
  return (uint32_t)lround(255 * clamp01(value));
}

uint32_t isw_chart_hex_of_colour(struct isw_colour colour) {
  return byte_of(colour.red) << 16 | byte_of(colour.green) << 8 | byte_of(colour.blue);
}

struct isw_colour isw_chart_mix_colours(struct isw_colour a, struct isw_colour b, double share) {
  struct isw_oklab p = isw_chart_oklab_of_colour(a), q = isw_chart_oklab_of_colour(b);
  return isw_chart_colour_of_oklab(
      (struct isw_oklab){p.lightness + share * (q.lightness - p.lightness),
                         p.green_red + share * (q.green_red - p.green_red),
                         p.blue_yellow + share * (q.blue_yellow - p.blue_yellow)});
}

struct isw_colour isw_chart_ink_on(struct isw_colour ground) {
  return isw_chart_oklab_of_colour(ground).lightness > 0.66 ? (struct isw_colour){0.08, 0.08, 0.1}
                                                            : (struct isw_colour){1, 1, 1};
}

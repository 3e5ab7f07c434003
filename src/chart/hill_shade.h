/* The shade of the relief, lit from the north-west. */
#ifndef ISW_CHART_HILL_SHADE_H
#define ISW_CHART_HILL_SHADE_H

#include <stdint.h>

#include "chart/map_frame.h"
#include "climate/relief.h"

/* New: a shade per sample of a class grid on the frame, 0 (dark) to 255, ISW_SHADE_FLAT on level
 * ground and where no height is known. ISW_INTERNAL when GDAL fails. */
enum { ISW_SHADE_FLAT = 181 };
enum isw_status isw_chart_make_hill_shade(const struct isw_relief *relief,
                                          const struct isw_map_source *source,
                                          const struct isw_map_frame *frame, int width, int height,
                                          uint8_t **out, struct isw_error *error);

/* A colour 0x00RRGGBB under a shade: hue stays, light changes little, so that it is still known
 * in the legend. */
uint32_t isw_chart_shade_colour(uint32_t colour, int shade);

#endif

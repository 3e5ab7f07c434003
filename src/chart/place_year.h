/* The chart of the year at one place: the daily normals, what every pick's stages want and get, the
 * chance of frost, and the score of every sowing day, all over one axis of days, so that one look
 * tells why a window is where it is. A4 landscape. */
#ifndef ISW_CHART_PLACE_YEAR_H
#define ISW_CHART_PLACE_YEAR_H

#include "survey/place.h"

/* path ends in .png (300 dpi, texts as the maps have), .pdf or .svg; an existing file is replaced,
 * and only by a whole one. software: "isosow 0.1.0". Temperatures in degF when `fahrenheit`.
 * ISW_USAGE: another ending. ISW_OUTPUT: cannot be written, nothing new stays behind.
 * ISW_RESOURCES: no memory for the page. */
enum isw_status isw_chart_draw_place_year(const struct isw_place *place,
                                          const struct isw_plan *plan, const char *path,
                                          const char *software, bool fahrenheit,
                                          struct isw_error *error);

/* ISW_USAGE as above, for whoever wants to know before the work starts. */
enum isw_status isw_chart_check_year_path(const char *path, struct isw_error *error);

#endif

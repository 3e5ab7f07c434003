/* The page that all maps of a run share. */
#ifndef ISW_CHART_MAP_PAGE_H
#define ISW_CHART_MAP_PAGE_H

#include <stdbool.h>

#include "climate/relief.h"
#include "growth/plan.h"
#include "regions/district_set.h"
#include "regions/map_layers.h"
#include "regions/place_list.h"

struct isw_map_page {
  double width_mm, height_mm; /* 297 x 210 */
  double dpi;                 /* 300 */
  bool slide;                 /* type as large as the back row of a hall needs it */
  const char *crop_title;
  const char *region_title;                 /* NULL: none */
  const char *source_line;                  /* "Normals 1991-2020 from tmin.tif, tmax.tif" */
  const char *software;                     /* "isosow 0.1.0" */
  const struct isw_district_set *districts; /* outlined, and named if they have names; or NULL */
  const struct isw_map_layers *layers;      /* water, roads, borders; or NULL */
  const struct isw_relief *relief;          /* its hill shade lies under the colours; or NULL */
  const struct isw_place_list *places;      /* named on the map; or NULL */
  const char *mask_line;                    /* which cells count; NULL: all */
  const char *map_crs;                      /* what to draw in (chart/map_crs.h); NULL: auto */
  bool numbered;               /* districts have their numbers in place of their names */
  const struct isw_plan *plan; /* its conditions are said where unusual; NULL: not said */
  bool fahrenheit;             /* temperatures and their differences in degF */
  bool south;                  /* most valid cells lie in the south: seasons are shifted */
  bool both_hemispheres;       /* some lie in each: both sides' sowing dates are said */
};

#endif

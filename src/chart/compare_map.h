/* The map of a comparison: who has a window, shaded by what B gains in score. */
#ifndef ISW_CHART_COMPARE_MAP_H
#define ISW_CHART_COMPARE_MAP_H

#include "chart/map_sheet.h"
#include "survey/comparison.h"

struct isw_compare_titles {
  const char *a, *b;
};

/* raster: one of output/compare_rasters.h. Errors as of the other maps. */
enum isw_status isw_chart_draw_compare_map(const struct isw_map_page *page, const char *raster,
                                           const struct isw_compare_titles *titles,
                                           const struct isw_season *season,
                                           const struct isw_compare_tally *tally,
                                           const char *png_path, struct isw_error *error);

#endif

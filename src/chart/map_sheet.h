/* A printed map of one raster: page, frame, title, legend with area shares, graticule, scale bar,
 * lines of equal sowing date, cautions. Drawn with cairo, written as PNG. */
#ifndef ISW_CHART_MAP_SHEET_H
#define ISW_CHART_MAP_SHEET_H

#include "climate/grid.h"
#include "climate/relief.h"
#include "growth/plan.h"
#include "regions/district_set.h"
#include "regions/map_layers.h"
#include "regions/place_list.h"
#include "survey/tally.h"

/* What all maps of a run share. */
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
  const char *map_crs;                      /* what to draw in (chart/map_crs.h); NULL: auto */
  bool numbered;               /* districts have their numbers in place of their names */
  const struct isw_plan *plan; /* its conditions are said where unusual; NULL: not said */
  bool south;                  /* most valid cells lie in the south: seasons are shifted */
  bool both_hemispheres;       /* some lie in each: both sides' sowing dates are said */
};

/* Whose seasons the page shows, from how many of its cells with data (> 0) lie in the south. */
void isw_chart_set_hemispheres(struct isw_map_page *page, long long south_cells,
                               long long valid_cells);

/* Sowing map: colour by ten-day period of best_sow where there is a window, lines of equal date. */
enum isw_status isw_chart_draw_sowing_map(const struct isw_map_page *page, const char *raster,
                                          const struct isw_variety *variety,
                                          const struct isw_season *season,
                                          const struct isw_result_tally *tally,
                                          const char *png_path, struct isw_error *error);

/* Score map: the four classes. */
enum isw_status isw_chart_draw_score_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_variety *variety,
                                         const struct isw_season *season,
                                         const struct isw_result_tally *tally, const char *png_path,
                                         struct isw_error *error);

/* Years map: in how many of ten years sowing on the best day succeeds. */
enum isw_status isw_chart_draw_years_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_variety *variety,
                                         const struct isw_season *season,
                                         const struct isw_result_tally *tally, const char *png_path,
                                         struct isw_error *error);

/* Span map: the first or the last day on which some type can be sown. raster: a span raster. */
enum isw_status isw_chart_draw_span_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_season *season,
                                        const struct isw_span_tally *tally, bool last,
                                        const char *png_path, struct isw_error *error);

/* Pick map: one colour and hatch per variety, risky picks lighter and dotted. */
enum isw_status isw_chart_draw_pick_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_plan *plan, int season_index,
                                        const struct isw_pick_tally *tally, const char *png_path,
                                        struct isw_error *error);

/* RGBA of pick codes 0..255 for the raster's own colour table. */
void isw_chart_pick_colours(const struct isw_plan *plan, uint8_t colours[256][4]);

#endif

/* A printed map of one raster: page, frame, title, legend with area shares, graticule, scale bar,
 * lines of equal sowing date, cautions. Drawn with cairo, written as PNG. */
#ifndef ISW_CHART_MAP_SHEET_H
#define ISW_CHART_MAP_SHEET_H

#include "chart/compare_titles.h"
#include "chart/map_page.h"
#include "survey/comparison.h"
#include "survey/opens_map.h"
#include "survey/tally.h"

/* Whose seasons the page shows, from how many of its cells with data (> 0) lie in the south. */
void isw_chart_set_hemispheres(struct isw_map_page *page, long long south_cells,
                               long long valid_cells);

/* All that draw take a raster of this run by its path, a tally of the same cells, and write
 * png_path as it stands (the caller renames); everything is borrowed. They return ISW_OUTPUT;
 * ISW_RESOURCES; ISW_USAGE: a page size that no image can have, a map CRS that has no place for the
 * data; ISW_INPUT_CONTENT: cells without area, a CRS that gives no latitude; ISW_INTERNAL: GDAL
 * cannot draw lines or shade. */

/* Sowing map: colour by ten-day period of best_sow where there is a window, lines of equal date. */
enum isw_status isw_chart_draw_sowing_map(const struct isw_map_page *page, const char *raster,
                                          const struct isw_variety *variety,
                                          const struct isw_season *season,
                                          const struct isw_result_tally *tally,
                                          const char *png_path, struct isw_error *error);

/* The lines of equal date of that map, as they are drawn on a page of this size, in the raster's
 * CRS. */
struct isw_date_line {
  int day; /* of the year, 0..364: the line parts the days before from this one on */
  int n;
  double *x, *y; /* NAN: the map's CRS has no place for it */
};
/* *out: new array of struct isw_date_line, longest on the page first (g_ptr_array_unref). */
enum isw_status isw_chart_find_sowing_lines(const struct isw_map_page *page, const char *raster,
                                            const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally, GPtrArray **out,
                                            struct isw_error *error);

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

/* What opens a season: a colour and hatch per shelter. season_index: chosen. */
enum isw_status isw_chart_draw_opens_map(const struct isw_map_page *page, const char *raster,
                                         const struct isw_plan *plan, int season_index,
                                         const struct isw_opens_tally *tally, const char *png_path,
                                         struct isw_error *error);

/* Pick map: one colour and hatch per variety, risky picks lighter and dotted. */
enum isw_status isw_chart_draw_pick_map(const struct isw_map_page *page, const char *raster,
                                        const struct isw_plan *plan, int season_index,
                                        const struct isw_pick_tally *tally, const char *png_path,
                                        struct isw_error *error);

/* Comparison map: who has a window, shaded by what B gains in score. raster: one of
 * output/compare_rasters.h. */
enum isw_status isw_chart_draw_compare_map(const struct isw_map_page *page, const char *raster,
                                           const struct isw_compare_titles *titles,
                                           const struct isw_season *season,
                                           const struct isw_compare_tally *tally,
                                           const char *png_path, struct isw_error *error);

#endif

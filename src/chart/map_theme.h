/* What one kind of map shows: which bands of a raster, what their cells mean, what the reader is
 * told. The same theme is drawn on a sheet of its own (map_sheet.h) and as a panel of another page
 * (map_panel.h). */
#ifndef ISW_CHART_MAP_THEME_H
#define ISW_CHART_MAP_THEME_H

#include "chart/map_body.h"

struct isw_map_theme {
  int n_bands, bands[ISW_KEPT_BANDS_MAX]; /* 0-based; the first tells where data are */
  int nodata;                             /* of the first */
  /* Words, fills and class entries of the legend; body's page and source stand. */
  void (*describe)(const struct isw_map_theme *theme, struct isw_map_body *body);
  /* The class of every sample of body's grid, and days for isolines where there are any.
   * samples[i]: band i, width * height of the grid. */
  void (*classify)(const struct isw_map_theme *theme, struct isw_map_body *body,
                   int16_t *const *samples);
  /* What it is about; each theme has those it needs. */
  const struct isw_plan *plan;
  const struct isw_variety *variety;
  const struct isw_season *season;
  const struct isw_result_tally *result;
  const struct isw_pick_tally *picks;
  const struct isw_compare_titles *titles;
  const struct isw_compare_tally *compared;
};

enum { ISW_CLASS_EMPTY = 254 }; /* data, but nothing to show: no window, no type */

/* Best sowing day by ten-day period where there is a window; lines of equal date. */
struct isw_map_theme isw_chart_sowing_theme(const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally);
/* The four classes of the score. */
struct isw_map_theme isw_chart_score_theme(const struct isw_variety *variety,
                                           const struct isw_season *season,
                                           const struct isw_result_tally *tally);
/* The type to choose: a colour and hatch per variety; risky picks lighter, dotted. */
struct isw_map_theme isw_chart_pick_theme(const struct isw_plan *plan,
                                          const struct isw_season *season,
                                          const struct isw_pick_tally *tally);
/* Who has a window, shaded by what B gains in score. */
struct isw_map_theme isw_chart_compare_theme(const struct isw_compare_titles *titles,
                                             const struct isw_season *season,
                                             const struct isw_compare_tally *tally);

#endif

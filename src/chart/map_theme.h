/* What one kind of map shows: which bands of a raster, what their cells mean, what the reader is
 * told. The same theme is drawn on a sheet of its own (map_sheet.h) and as a panel of another page
 * (map_panel.h). */
#ifndef ISW_CHART_MAP_THEME_H
#define ISW_CHART_MAP_THEME_H

#include "chart/map_image.h"
#include "growth/plan.h"
#include "survey/comparison.h"
#include "survey/opens_map.h"
#include "survey/tally.h"

struct isw_map_body;
struct isw_compare_titles;

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
  const struct isw_span_tally *span;
  const struct isw_opens_tally *opens;
  bool last; /* of the span, its last day; else its first */
  const struct isw_compare_titles *titles;
  const struct isw_compare_tally *compared;
};

enum { ISW_CLASS_EMPTY = 254 }; /* data, but nothing to show: no window, no type */

/* Best sowing day by ten-day period where there is a window; lines of equal date; hatched where the
 * season is only a flank of something better before or after it. */
struct isw_map_theme isw_chart_sowing_theme(const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally);
/* The four classes of the score. */
struct isw_map_theme isw_chart_score_theme(const struct isw_variety *variety,
                                           const struct isw_season *season,
                                           const struct isw_result_tally *tally);
/* In how many of ten years sowing on the best day succeeds, in five classes. */
struct isw_map_theme isw_chart_years_theme(const struct isw_variety *variety,
                                           const struct isw_season *season,
                                           const struct isw_result_tally *tally);
/* The first or the last day on which some type can be sown; lines of equal date. */
struct isw_map_theme isw_chart_span_theme(const struct isw_season *season,
                                          const struct isw_span_tally *tally, bool last);
/* The type to choose: a colour and hatch per variety; risky picks lighter, dotted. */
struct isw_map_theme isw_chart_pick_theme(const struct isw_plan *plan,
                                          const struct isw_season *season,
                                          const struct isw_pick_tally *tally);
/* What opens a season: a colour and hatch per shelter. */
struct isw_map_theme isw_chart_opens_theme(const struct isw_plan *plan,
                                           const struct isw_season *season,
                                           const struct isw_opens_tally *tally);
/* Who has a window, shaded by what B gains in score. */
struct isw_map_theme isw_chart_compare_theme(const struct isw_compare_titles *titles,
                                             const struct isw_season *season,
                                             const struct isw_compare_tally *tally);

/* For themes of dates: fills of the ten-day periods and the day that the page counts from; then the
 * class and the isolines' day of sample i. days: of its window; they alone say whether there is
 * one, and whether there are data (dates may be nodata where there is none). day_of_year: 1-365.
 * false: it has none. */
void isw_chart_start_dates(struct isw_map_body *body, const struct isw_season *season);
bool isw_chart_set_date(struct isw_map_body *body, size_t i, int day_of_year, int days);

#endif

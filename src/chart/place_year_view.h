/* What the chart of a year shows and where: which day the axis starts on, which crops share a
 * panel, what every sowing day scores. Nothing is drawn here. For this room's own files. */
#ifndef ISW_CHART_PLACE_YEAR_VIEW_H
#define ISW_CHART_PLACE_YEAR_VIEW_H

#include "survey/place_crops.h"
#include "survey/place_types.h"

enum { ISW_YEAR_PANELS_MAX = 4, ISW_YEAR_ROWS_MAX = 10 };

struct isw_year_crop {
  struct isw_place_crop crop;
  const struct isw_place_result *result;
  const struct isw_programme *programme;
  int panel; /* -1: no room left for it */
};

/* Every sowing day of a variety, with the start of the season that the day belongs to. */
struct isw_year_row {
  int variety; /* chosen index */
  int16_t score_tenths[ISW_YEAR_DAYS], limit[ISW_YEAR_DAYS];
  int8_t years[ISW_YEAR_DAYS]; /* of ten; -1: not counted */
  bool good[ISW_YEAR_DAYS];
};

struct isw_year_view {
  const struct isw_plan *plan;
  const struct isw_place *place;
  int start_day; /* 0..364: the first of a month; the axis has 365 days from it */
  int n_crops;
  struct isw_year_crop crops[ISW_SEASONS_MAX];
  int n_panels;         /* 1 at least */
  double low_C, high_C; /* of everything that panels draw */
  int n_rows;           /* picks' varieties go before others where not all have room */
  struct isw_year_row rows[ISW_YEAR_ROWS_MAX];
  struct isw_year_types types; /* the year in one line */
};

/* New, freed with g_free. */
struct isw_year_view *isw_chart_new_year_view(const struct isw_plan *plan,
                                              const struct isw_place *place);

/* The first of a month that cuts the fewest of n spans (from_day 0..364, days), early in the year
 * of the growing seasons: January in the north, July in the south, are tried first, then the months
 * nearest to them. */
int isw_chart_choose_year_start(int n, const struct isw_window *spans, bool south);

/* Panels of spans such that those of one panel do not touch, given out in the order of ranks
 * (lowest first); a span that would need more than `most` panels: -1. Returns how many panels are
 * used. */
int isw_chart_assign_panels(int n, const struct isw_window *spans, const int *ranks, int most,
                            int *panels);

#endif

/* From scored sowing days to a season's best day and window (method, equations 14 and 15). */
#ifndef ISW_GROWTH_WINDOWS_H
#define ISW_GROWTH_WINDOWS_H

#include "growth/sowing.h"

/* A run of sowing days, both ends inclusive, across New Year where from > to. */
struct isw_window {
  int from_day, to_day; /* 0..364; -1, -1: none */
  int days;             /* 0: none */
};

/* What happens beyond a season's ends: the window's good days go on there, and on one of them it is
 * better than on any day of the season. */
enum isw_edge {
  ISW_EDGE_GOES_ON_BEFORE = 1,
  ISW_EDGE_GOES_ON_AFTER = 2,
  ISW_EDGE_BETTER_BEFORE = 4, /* with 1 */
  ISW_EDGE_BETTER_AFTER = 8   /* with 2 */
};

/* What a season holds at one place for one variety. Days 0..364, -1: none. */
struct isw_result {
  int score_tenths; /* of the best day */
  int best_sow_day;
  struct isw_window window;
  int transplant_day;
  int harvest_day;  /* growing_days after best_sow_day */
  int growing_days; /* 0: none */
  int limit;
  int years;                    /* of ten, in which best_sow_day is good: 0..10; -1: not counted */
  int edge;                     /* enum isw_edge, summed; 0: the window lies inside the season */
  int cut_from_day, cut_to_day; /* earliest and latest harvest of the window's sowing days */
  double frost_risk, bolt_risk; /* 0..1: 1 - survive, 1 - stay */
};

/* The season's sowing dates in this hemisphere, 0..364 inclusive. */
struct isw_window isw_growth_season_days(const struct isw_season *season, bool south);

/* The whole run of good days around `day` (which must be good); all good: 0..364, 365 days. */
struct isw_window isw_growth_run_around(const bool good[ISW_YEAR_DAYS], int day);

/* The season's best day among scored days, or -1 when every score in it is 0; when that is so,
 * *fallback_day is the maturing day whose limit and risks stand for the season, or -1. */
int isw_growth_best_day(const struct isw_scores *scores, struct isw_window season_days,
                        int *fallback_day);

#endif

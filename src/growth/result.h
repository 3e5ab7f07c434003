/* What the growing model answers (method, equations 6-15): a result per variety and season, every
 * sowing day of one programme, and the stages of one sowing day. Days of the year are 0..364, -1
 * for none; counts of days 0 for none; shares and risks 0..1. */
#ifndef ISW_GROWTH_RESULT_H
#define ISW_GROWTH_RESULT_H

#include <stdint.h>

#include "base/dates.h"
#include "crop/sheet.h"

/* Limit codes; stage k (0-based) too cold is 1 + 2k, too warm 2 + 2k. */
enum {
  ISW_LIMIT_NOTHING = 0,
  ISW_LIMIT_FROST = 101,
  ISW_LIMIT_BOLTING = 102,
  ISW_LIMIT_NEVER_MATURES = 103,
  ISW_LIMIT_CUT_OUTSIDE = 104 /* every sowing is cut outside the dates asked for */
};

enum { ISW_LIMIT_NAME_SIZE = 96 };
/* The limit's name as files have it: "nothing", "rosette too warm", "frost", "bolting", "never
 * matures", "cut outside". limit: a code of the sheet's, as above. Returns out. */
const char *isw_growth_limit_name(const struct isw_sheet *sheet, int limit,
                                  char out[ISW_LIMIT_NAME_SIZE]);

/* Per cent to tenths of it, half up: 0..100 to 0..1000. */
int isw_growth_round_tenths(double percent);

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

/* What a season holds at one place for one variety. */
struct isw_result {
  int score_tenths; /* of the best day */
  int best_sow_day;
  struct isw_window window;
  int transplant_day;
  int harvest_day; /* growing_days after best_sow_day */
  int growing_days;
  int limit;
  int years;                    /* of ten, in which best_sow_day is good: 0..10; -1: not counted */
  int edge;                     /* enum isw_edge, summed; 0: the window lies inside the season */
  int cut_from_day, cut_to_day; /* earliest and latest harvest of the window's sowing days */
  double frost_risk, bolt_risk; /* 1 - survive, 1 - stay */
};

/* All 365 sowing days of one programme. */
struct isw_scores {
  int16_t score_tenths[ISW_YEAR_DAYS];     /* 0..1000; 0 where it never matures */
  int16_t growing_days[ISW_YEAR_DAYS];     /* sowing to harvest; 0: never matures */
  int16_t transplant_after[ISW_YEAR_DAYS]; /* days from sowing; 0: direct or none */
  int16_t limit[ISW_YEAR_DAYS];
  int8_t years[ISW_YEAR_DAYS]; /* of ten, in which the day is good; 0..10; -1: not counted */
  bool good[ISW_YEAR_DAYS];    /* in the normal year and in years enough, and cut when asked for */
  double least_fit[ISW_YEAR_DAYS]; /* min over stages, rounded to 1e-6; 0: never matures */
  double survive[ISW_YEAR_DAYS], stay[ISW_YEAR_DAYS]; /* 1 where it never matures */
};

/* One stage of one sowing day. */
struct isw_stage_run {
  int from_after, to_after; /* first day, and day after the last, counted from the sowing day */
  double mean_C;            /* mean of the days' (lo+hi)/2 under the stage's shelter */
  double rate, fit;         /* means over the stage's days */
};

/* One sowing day in full. */
struct isw_sowing {
  bool matures;
  int n_stages; /* runs that are filled: all, or those before the stage that never ends */
  struct isw_stage_run runs[ISW_STAGES_MAX];
  /* As for struct isw_scores where it never matures; the limit then says so. */
  int growing_days;
  double survive, stay, chilling_days;
  double least_fit; /* rounded to 1e-6 */
  int score_tenths;
  int limit;
};

#endif

/* The score of sowing days (method, equations 6-13). Pure; the caller gives all memory. */
#ifndef ISW_GROWTH_SOWING_H
#define ISW_GROWTH_SOWING_H

#include <stdint.h>

#include "growth/daily_curve.h"
#include "growth/plan.h"

/* Limit codes; stage k (0-based) too cold is 1 + 2k, too warm 2 + 2k. */
enum {
  ISW_LIMIT_NOTHING = 0,
  ISW_LIMIT_FROST = 101,
  ISW_LIMIT_BOLTING = 102,
  ISW_LIMIT_NEVER_MATURES = 103,
  ISW_LIMIT_CUT_OUTSIDE = 104 /* every sowing is cut outside the dates asked for */
};

enum { ISW_LIMIT_NAME_SIZE = 96 };
/* "nothing", "rosette too warm", "frost", "bolting", "never matures", "cut outside"; returns out.
 */
const char *isw_growth_limit_name(const struct isw_sheet *sheet, int limit,
                                  char out[ISW_LIMIT_NAME_SIZE]);

/* All 365 sowing days of one programme. */
struct isw_scores {
  int16_t score_tenths[ISW_YEAR_DAYS]; /* 0..1000; 0 where it never matures */
  int16_t growing_days[ISW_YEAR_DAYS]; /* sowing to harvest; 0: never matures */
  int16_t
      transplant_after[ISW_YEAR_DAYS]; /* days from sowing to transplanting; 0: direct or none */
  bool good[ISW_YEAR_DAYS];
  double least_fit[ISW_YEAR_DAYS]; /* min over stages, rounded to 1e-6 */
  double survive[ISW_YEAR_DAYS], stay[ISW_YEAR_DAYS];
};

/* One sowing day in full. */
struct isw_stage_run {
  int from_after, to_after; /* first day, and day after the last, counted from the sowing day */
  double mean_C;            /* mean of the days' (lo+hi)/2 under the stage's shelter */
  double rate, fit;         /* means over the stage's days */
};
struct isw_sowing {
  bool matures;
  int n_stages; /* runs that are filled: all, or those before the stage that never ends */
  struct isw_stage_run runs[ISW_STAGES_MAX];
  int growing_days;
  double survive, stay, chilling_days;
  double least_fit; /* rounded to 1e-6 */
  int score_tenths;
  int limit;
};

/* Days of one stage as running sums, day 0 of the year at index 0, over two years, so that any
 * run of up to 365 days is one difference. */
enum { ISW_SUM_DAYS = 2 * ISW_YEAR_DAYS + 1 };
struct isw_stage_sums {
  double rate[ISW_SUM_DAYS], fit[ISW_SUM_DAYS], kill[ISW_SUM_DAYS], chilling[ISW_SUM_DAYS];
  double mean_C[ISW_SUM_DAYS];
};

/* Sums of every stage of a programme at one place: what both functions below read. */
struct isw_programme_sums {
  struct isw_stage_sums stages[ISW_STAGES_MAX];
};
void isw_growth_sum_programme(const struct isw_plan *plan, const struct isw_programme *programme,
                              const struct isw_year *year, struct isw_programme_sums *out);

/* Score one sowing day (0..364). */
void isw_growth_score_sowing(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct isw_programme_sums *sums, int sow_day,
                             struct isw_sowing *out);

/* Score all of them. */
void isw_growth_score_year(const struct isw_plan *plan, const struct isw_programme *programme,
                           const struct isw_programme_sums *sums, struct isw_scores *out);

/* One decimal, half up: 0..100 to 0..1000. */
int isw_growth_round_tenths(double percent);

#endif

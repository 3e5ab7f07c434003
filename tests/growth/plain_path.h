/* The plain way through the model: one sowing day after another followed through its stages in
 * double precision (method, equations 6-13a), in one year. The kernel is held against it; the
 * program does not use it. */
#ifndef ISW_TEST_PLAIN_PATH_H
#define ISW_TEST_PLAIN_PATH_H

#include "growth/daily_curve.h"
#include "growth/plan.h"
#include "growth/windows.h"

/* Days of one stage as running sums, day 0 of the year at index 0, over two years, so that any
 * run of up to 365 days is one difference. */
enum { PLAIN_SUM_DAYS = 2 * ISW_YEAR_DAYS + 1 };
struct plain_stage_sums {
  double rate[PLAIN_SUM_DAYS], fit[PLAIN_SUM_DAYS], kill[PLAIN_SUM_DAYS], chilling[PLAIN_SUM_DAYS];
  double mean_C[PLAIN_SUM_DAYS];
};

/* Sums of every stage of a programme at one place: what both functions below read. */
struct plain_programme_sums {
  struct plain_stage_sums stages[ISW_STAGES_MAX];
};
void plain_sum_programme(const struct isw_plan *plan, const struct isw_programme *programme,
                         const struct isw_year *year, struct plain_programme_sums *out);

/* Score one sowing day (0..364). */
void plain_score_sowing(const struct isw_plan *plan, const struct isw_programme *programme,
                        const struct plain_programme_sums *sums, int sow_day,
                        struct isw_sowing *out);

/* Score all of them; good: in this year. */
void plain_score_year(const struct isw_plan *plan, const struct isw_programme *programme,
                      const struct plain_programme_sums *sums, struct isw_scores *out);

#endif

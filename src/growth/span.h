/* What to sow when: the type of a date, and the days of a season on which there is one (method,
 * equations 17 and 18). */
#ifndef ISW_GROWTH_SPAN_H
#define ISW_GROWTH_SPAN_H

#include "growth/pick.h"

/* Days of one type in a row, both ends inclusive. */
struct isw_type_run {
  int variety; /* sheet index */
  int from_day, to_day;
};

/* A window is one run of days, so that a variety starts or resumes at most twice. */
enum { ISW_SPAN_RUNS_MAX = 2 * ISW_VARIETIES_MAX };

struct isw_span {
  struct isw_window days; /* days 0: none; then nothing else is there */
  int n_types;            /* different ones */
  int n_runs;
  struct isw_type_run runs[ISW_SPAN_RUNS_MAX]; /* in season order, without a gap */
};

/* Sheet index of the first variety, in the season's order of preference, whose window holds the
 * day (0..364); -1: none. results: the cell's, as isw_growth_result_index says; s: chosen season.
 */
int isw_growth_type_of_day(const struct isw_plan *plan, int s, const struct isw_result *results,
                           int day);

/* The run of the season's days with a type that holds the pick's window; none where the pick has no
 * window. s: chosen season; south: southern seasons; results as above; pick: isw_growth_pick's of
 * the same season and results. */
void isw_growth_span(const struct isw_plan *plan, int s, bool south, struct isw_pick pick,
                     const struct isw_result *results, struct isw_span *out);

#endif

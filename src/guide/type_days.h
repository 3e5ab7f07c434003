/* Which type can be sown on which date, on how much of a region's area (method: the type of a
 * date): behind the strips of the year and the rows of types with their dates. Fed cells. */
#ifndef ISW_GUIDE_TYPE_DAYS_H
#define ISW_GUIDE_TYPE_DAYS_H

#include "growth/plan.h"
#include "growth/windows.h"

/* Days of a season that have one type. */
struct isw_type_days_run {
  int v;        /* chosen index */
  int from, to; /* days since the season's first day, inclusive */
};
/* A type's window can be cut in two by each type before it. */
enum { ISW_CELL_RUNS_MAX = 2 * ISW_VARIETIES_MAX, ISW_REGION_RUNS_MAX = ISW_YEAR_DAYS };

/* One cell's season s (chosen index): the first type, in the season's order, whose window holds the
 * date. windows[v]: of each chosen variety, days 0 where it has none; what lies outside `season` is
 * left out. Returns how many runs, in order of date. */
int isw_guide_find_cell_runs(const struct isw_plan *plan, int s, struct isw_window season,
                             const struct isw_window *windows,
                             struct isw_type_days_run runs[ISW_CELL_RUNS_MAX]);

/* One season in one region. */
struct isw_type_days {
  double *begin_m2[ISW_VARIETIES_MAX]; /* [v][day] area on which its run begins, less where one
                                          ended the day before; NULL: it has none */
  double span_m2;                      /* area with any run */
};
/* Add one cell's n runs and its ground, m2. days starts as all zeros, to be cleared. */
void isw_guide_add_cell_runs(struct isw_type_days *days, int n,
                             const struct isw_type_days_run *runs, double area_m2);
/* Release the areas; days itself is the caller's. */
void isw_guide_clear_type_days(struct isw_type_days *days);

/* The region's season: a date has a type where types can be sown on at least half of area_m2, and
 * then the type of the largest area (of the same, the first in the season's order). Returns how
 * many runs, in order of date. */
int isw_guide_find_region_runs(const struct isw_plan *plan, int s, const struct isw_type_days *days,
                               double area_m2, struct isw_type_days_run runs[ISW_REGION_RUNS_MAX]);

#endif

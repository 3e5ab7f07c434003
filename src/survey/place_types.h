/* The year of a place in one line: which type to sow on which date. And what stands beyond the ends
 * of a season. */
#ifndef ISW_SURVEY_PLACE_TYPES_H
#define ISW_SURVEY_PLACE_TYPES_H

#include "survey/place.h"

/* Days of one type in a row. */
struct isw_dated_type {
  int variety;                /* sheet index */
  int from_day, to_day, days; /* both ends inclusive */
  bool follows;               /* without a gap after the one before it in the list */
};

struct isw_year_types {
  int of_day[ISW_YEAR_DAYS]; /* sheet index of the type of a date (growth/span.h), or -1 */
  int first_day; /* of the list's year: the first month with a sowing date of the plan */
  int n_runs;
  struct isw_dated_type
      runs[ISW_YEAR_DAYS]; /* in the order of that year; what crosses its end, last */
};

/* The place's year. A date's season is the first that holds it. */
void isw_survey_list_types(const struct isw_plan *plan, const struct isw_place *place,
                           struct isw_year_types *out);

/* The best day of the run of good days that goes on before or after a season (result.edge 1 or 2),
 * as the season's own best day is found: most years, highest score, middle of its flat top. -1: it
 * does not go on. v, s: chosen indexes. */
int isw_survey_day_beyond(const struct isw_plan *plan, const struct isw_place *place, int v, int s,
                          bool after);

/* The chosen season whose sowing dates hold a day (0..364), the first of them, or -1. */
int isw_survey_season_of_day(const struct isw_plan *plan, const struct isw_place *place, int day);

/* Another chosen variety whose window in the season promises so much more than the pick's: the one
 * with the highest score of those that are ISW_BETTER_TENTHS or more above it, or -1. v: the pick,
 * s: the season, and the result: chosen indexes. */
enum { ISW_BETTER_TENTHS = 100 };
int isw_survey_better_type(const struct isw_plan *plan, const struct isw_place *place, int v,
                           int s);

/* Least and most odds of killing frost and of bolting over a window's sowing days, or of the best
 * day alone where there is no window; 0..1. */
struct isw_risk_range {
  double frost_least, frost_most, bolt_least, bolt_most;
};
/* v, s: chosen indexes. */
struct isw_risk_range isw_survey_risk_range(const struct isw_plan *plan,
                                            const struct isw_place *place, int v, int s);

#endif

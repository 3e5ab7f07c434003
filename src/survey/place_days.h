/* What comes of sowing on any date at one place: behind `site --sow`, `--days` and the planting
 * plan. A date belongs to the first of the chosen seasons, in sheet order, whose sowing dates hold
 * it; it is sown as that season says, outside every season from a nursery (unless the plan says for
 * all how to start). */
#ifndef ISW_SURVEY_PLACE_DAYS_H
#define ISW_SURVEY_PLACE_DAYS_H

#include "survey/place.h"

struct isw_place_days {
  const struct isw_plan *plan;
  const struct isw_place *place;
  struct isw_result *results;       /* the place's, as isw_growth_result_index says */
  int season[ISW_YEAR_DAYS];        /* chosen season of each date, or -1 */
  struct isw_scores *outside;       /* of chosen varieties, for dates outside every season; NULL:
                                       there is no such date */
  const struct isw_plan *elsewhere; /* what those follow; NULL with outside */
};

/* One variety sown on one date. Days 0..364, -1: none. */
struct isw_day_answer {
  int season; /* chosen season, or -1 */
  int score_tenths;
  int years; /* 0..10; -1: not counted */
  bool good;
  int transplant_day, harvest_day, growing_days; /* growing_days 0: never matures */
  int limit;
  double frost_risk, bolt_risk;
};

/* plan and place are borrowed and must outlive it. New, to be freed. */
struct isw_place_days *isw_survey_new_place_days(const struct isw_plan *plan,
                                                 const struct isw_place *place);
void isw_survey_free_place_days(struct isw_place_days *days); /* takes NULL */

/* What comes of sowing a chosen variety v on a day (0..364). */
struct isw_day_answer isw_survey_ask_day(const struct isw_place_days *days, int v, int day);

/* How that sowing starts; v and day as above. */
enum isw_start isw_survey_start_on(const struct isw_place_days *days, int v, int day);

/* Chosen variety that is the type of the date, 0..364 (method, equation 17), or -1. */
int isw_survey_type_on(const struct isw_place_days *days, int day);

/* The window that opens next after a date. */
struct isw_next_window {
  int v, s; /* chosen variety and season; v -1: there is none in the whole year */
  struct isw_window window;
};
/* After day (0..364). v: of this chosen variety; -1: of any, of equals the first in the season's
 * order of preference.
 */
struct isw_next_window isw_survey_next_window(const struct isw_place_days *days, int v, int day);

#endif

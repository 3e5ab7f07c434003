/* A planting plan: what to sow when, to cut on given dates (design: `site --cut FROM..TO --every
 * DAYS`). Pure arithmetic over a place's sowing days. */
#ifndef ISW_SURVEY_PLANTING_PLAN_H
#define ISW_SURVEY_PLANTING_PLAN_H

#include "survey/place_days.h"

/* One cut date and what serves it. Days 0..364, -1: none. */
struct isw_planned_cut {
  int cut_day;
  int v; /* chosen variety, or -1: nothing fits; then nothing else is there */
  int sow_day, transplant_day, harvest_day;
  int years; /* 0..10; -1: not counted */
};

/* Cut dates from `from_day` every `every` (1..365) days as far as `to_day` (both 0..364, across New
 * Year where from > to). Of the good days whose harvest is at most half of `every` from the cut
 * date: the first type in the order of preference of the season that the sowing lies in; of its
 * days the nearest harvest, then most years, then the earlier sowing. Dates outside every season
 * are not sown. Returns how many cut dates there are. */
int isw_survey_plan_cuts(const struct isw_place_days *days, int from_day, int to_day, int every,
                         struct isw_planned_cut out[ISW_YEAR_DAYS]);

#endif

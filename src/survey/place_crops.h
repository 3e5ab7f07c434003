/* What there is to tell of a place: its crops (each season's pick, seasons that share variety and
 * window being one), and the dated work of each. Behind the card's calendar and the .ics one. */
#ifndef ISW_SURVEY_PLACE_CROPS_H
#define ISW_SURVEY_PLACE_CROPS_H

#include "survey/place.h"

struct isw_place_crop {
  int n_seasons;
  int seasons[ISW_SEASONS_MAX]; /* indexes of the plan's chosen seasons */
  int variety, season;          /* chosen indexes; of the seasons, the one with the highest score */
  bool risky;                   /* no window; the best day is all there is */
};

/* In season order; returns their count. */
int isw_survey_list_crops(const struct isw_plan *plan, const struct isw_place *place,
                          struct isw_place_crop crops[ISW_SEASONS_MAX]);

/* The crop's result, and its programme. */
const struct isw_place_result *isw_survey_crop_result(const struct isw_plan *plan,
                                                      const struct isw_place *place,
                                                      const struct isw_place_crop *crop);
const struct isw_programme *isw_survey_crop_programme(const struct isw_plan *plan,
                                                      const struct isw_place_crop *crop);

/* The earliest and the latest cut of the window's sowing days, in days after the best sowing day;
 * without a window, or with one of the whole year, the best day's own cut. */
void isw_survey_cut_after(const struct isw_plan *plan, const struct isw_place *place,
                          const struct isw_place_crop *crop, int *first, int *last);

enum isw_event_kind { ISW_EVENT_TASK, ISW_EVENT_MANURE };
struct isw_place_event {
  enum isw_event_kind kind;
  int after; /* days after the best sowing day; negative before */
  int task;  /* index into the sheet's tasks, or -1 */
};
enum { ISW_PLACE_EVENTS_MAX = ISW_TASKS_MAX + 1 };

/* Work by date: the sheet's tasks that apply (none at transplanting where the crop stays in place)
 * and, unless the window is the whole year, the last day for raw manure. Returns their count. */
int isw_survey_list_events(const struct isw_plan *plan, const struct isw_place *place,
                           const struct isw_place_crop *crop,
                           struct isw_place_event events[ISW_PLACE_EVENTS_MAX]);

/* Raw manure is worked in at least this long before the earliest cut, where the edible part
 * touches the soil surface or soil particles (United States rule, 7 CFR 205.203(c)(1)(ii)): a head
 * on its stalk gets them from rain. */
enum { ISW_MANURE_DAYS = 120 };

/* Is it still getting warmer when the crop is ready, so that it cannot wait in the field? */
bool isw_survey_crop_cannot_wait(const struct isw_plan *plan, const struct isw_place *place,
                                 const struct isw_place_crop *crop);

#endif

#include "survey/place_crops.h"

#include <stdlib.h>

static const struct isw_place_result *result_of(const struct isw_plan *plan,
                                                const struct isw_place *place, int v, int s) {
  return &place->results[isw_growth_result_index(plan, v, s)];
}

static int chosen_variety(const struct isw_plan *plan, int variety) {
  for (int v = 0; v < plan->n_varieties; v++)
    if (plan->varieties[v] == variety) return v;
  return -1;
}

static bool joins(const struct isw_plan *plan, const struct isw_place *place,
                  const struct isw_place_crop *crop, int v, int s) {
  const struct isw_window *a = &result_of(plan, place, crop->variety, crop->season)->result.window;
  const struct isw_window *b = &result_of(plan, place, v, s)->result.window;
  return crop->variety == v && a->days > 0 && a->days == b->days && a->from_day == b->from_day &&
         plan->programme_of[v][s] == plan->programme_of[v][crop->season];
}

int isw_survey_list_crops(const struct isw_plan *plan, const struct isw_place *place,
                          struct isw_place_crop crops[ISW_SEASONS_MAX]) {
  int count = 0;
  for (int s = 0; s < plan->n_seasons; s++) {
    struct isw_pick pick = place->seasons[s].pick;
    int v = chosen_variety(plan, pick.variety);
    if (v < 0) continue;
    struct isw_place_crop *crop = NULL;
    for (int c = 0; c < count && crop == NULL; c++)
      if (joins(plan, place, &crops[c], v, s)) crop = &crops[c];
    if (crop == NULL) {
      crop = &crops[count++];
      *crop = (struct isw_place_crop){.variety = v, .season = s, .risky = pick.risky};
    } else if (result_of(plan, place, v, s)->result.score_tenths >
               result_of(plan, place, v, crop->season)->result.score_tenths) {
      crop->season = s;
    }
    crop->seasons[crop->n_seasons++] = s;
  }
  return count;
}

const struct isw_place_result *isw_survey_crop_result(const struct isw_plan *plan,
                                                      const struct isw_place *place,
                                                      const struct isw_place_crop *crop) {
  return result_of(plan, place, crop->variety, crop->season);
}

const struct isw_programme *isw_survey_crop_programme(const struct isw_plan *plan,
                                                      const struct isw_place_crop *crop) {
  return &plan->programmes[plan->programme_of[crop->variety][crop->season]];
}

void isw_survey_cut_after(const struct isw_plan *plan, const struct isw_place *place,
                          const struct isw_place_crop *crop, int *first, int *last) {
  const struct isw_result *r = &isw_survey_crop_result(plan, place, crop)->result;
  const struct isw_scores *scores = &place->scores[plan->programme_of[crop->variety][crop->season]];
  *first = *last = r->growing_days;
  if (r->window.days == 0 || r->window.days >= ISW_YEAR_DAYS) return;
  int before = isw_base_days_forward(r->window.from_day, r->best_sow_day);
  for (int i = 0; i < r->window.days; i++) {
    int after = i - before + scores->growing_days[isw_base_wrap_day(r->window.from_day + i)];
    if (after < *first) *first = after;
    if (after > *last) *last = after;
  }
}

/* Nobody works manure into a standing crop: not after the first sowing either. */
static int manure_after(const struct isw_plan *plan, const struct isw_place *place,
                        const struct isw_place_crop *crop) {
  const struct isw_result *r = &isw_survey_crop_result(plan, place, crop)->result;
  int first_cut, last_cut, first_sowing = 0;
  isw_survey_cut_after(plan, place, crop, &first_cut, &last_cut);
  if (r->window.days > 0)
    first_sowing = -isw_base_days_forward(r->window.from_day, r->best_sow_day);
  int last = first_cut - ISW_MANURE_DAYS;
  return last < first_sowing ? last : first_sowing - 1;
}

/* Days after sowing on which a task falls; false: it does not apply. */
static bool task_after(const struct isw_place_result *result, const struct isw_programme *programme,
                       const struct isw_task *task, int *after) {
  const struct isw_result *r = &result->result;
  switch (task->anchor) {
    case ISW_AT_SOWING: *after = 0; break;
    case ISW_AT_TRANSPLANT:
      if (programme->transplant_stage < 0 || r->transplant_day < 0) return false;
      *after = isw_base_days_forward(r->best_sow_day, r->transplant_day);
      break;
    case ISW_AT_HARVEST: *after = r->growing_days; break;
    case ISW_AT_STAGE:
      if (task->stage >= result->sowing.n_stages) return false;
      *after = result->sowing.runs[task->stage].from_after;
      break;
  }
  *after += task->day;
  return true;
}

static int by_date(const void *a, const void *b) {
  const struct isw_place_event *first = a, *second = b;
  if (first->after != second->after) return first->after < second->after ? -1 : 1;
  return first->task < second->task ? -1 : first->task > second->task;
}

int isw_survey_list_events(const struct isw_plan *plan, const struct isw_place *place,
                           const struct isw_place_crop *crop,
                           struct isw_place_event events[ISW_PLACE_EVENTS_MAX]) {
  const struct isw_place_result *result = isw_survey_crop_result(plan, place, crop);
  const struct isw_programme *programme = isw_survey_crop_programme(plan, crop);
  int count = 0;
  /* A window of the whole year has no first cut to count from: the cautions give the rule. */
  if (result->result.window.days < ISW_YEAR_DAYS)
    events[count++] =
        (struct isw_place_event){ISW_EVENT_MANURE, manure_after(plan, place, crop), -1};
  for (int t = 0; t < plan->sheet->n_tasks; t++) {
    int after = 0;
    if (task_after(result, programme, &plan->sheet->tasks[t], &after))
      events[count++] = (struct isw_place_event){ISW_EVENT_TASK, after, t};
  }
  qsort(events, (size_t)count, sizeof *events, by_date);
  return count;
}

static double mean_C(const struct isw_place *place, int day) {
  int at = isw_base_wrap_day(day);
  return 0.5 * (place->year.tmin_C[at] + place->year.tmax_C[at]);
}

bool isw_survey_crop_cannot_wait(const struct isw_plan *plan, const struct isw_place *place,
                                 const struct isw_place_crop *crop) {
  enum { FORTNIGHT_DAYS = 14 };
  static const double rises_K = 0.5;
  const struct isw_result *result = &isw_survey_crop_result(plan, place, crop)->result;
  return mean_C(place, result->harvest_day + FORTNIGHT_DAYS) >
         mean_C(place, result->harvest_day) + rises_K;
}

#include "survey/place_days.h"

#include <glib.h>

static void find_seasons(struct isw_place_days *days) {
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    days->season[day] = -1;
    for (int s = days->plan->n_seasons - 1; s >= 0; s--) {
      const struct isw_window dates = days->place->seasons[s].sowing_dates;
      if (isw_base_days_forward(dates.from_day, day) < dates.days) days->season[day] = s;
    }
  }
}

static void score_elsewhere(struct isw_place_days *days) {
  struct isw_plan *elsewhere = g_new(struct isw_plan, 1);
  isw_growth_make_plan_elsewhere(days->plan, elsewhere);
  struct isw_growth_workspace *workspace = g_new(struct isw_growth_workspace, 1);
  isw_growth_start_workspace(elsewhere, workspace);
  days->elsewhere = elsewhere;
  days->outside = g_new(struct isw_scores, (gsize)days->plan->n_varieties);
  for (int v = 0; v < days->plan->n_varieties; v++)
    isw_growth_score_year(workspace, &days->place->normals, elsewhere->programme_of[v][0],
                          &days->outside[v]);
  g_free(workspace);
}

struct isw_place_days *isw_survey_new_place_days(const struct isw_plan *plan,
                                                 const struct isw_place *place) {
  struct isw_place_days *days = g_new0(struct isw_place_days, 1);
  days->plan = plan;
  days->place = place;
  days->results = g_new(struct isw_result, (gsize)place->n_results);
  for (int r = 0; r < place->n_results; r++) days->results[r] = place->results[r].result;
  find_seasons(days);
  bool outside = false;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) outside = outside || days->season[day] < 0;
  if (outside) score_elsewhere(days);
  return days;
}

void isw_survey_free_place_days(struct isw_place_days *days) {
  if (days == NULL) return;
  g_free((gpointer)days->elsewhere);
  g_free(days->outside);
  g_free(days->results);
  g_free(days);
}

static const struct isw_scores *scores_on(const struct isw_place_days *days, int v, int day) {
  const int s = days->season[day];
  return s < 0 ? &days->outside[v] : &days->place->scores[days->plan->programme_of[v][s]];
}

struct isw_day_answer isw_survey_ask_day(const struct isw_place_days *days, int v, int day) {
  const struct isw_scores *scores = scores_on(days, v, day);
  const int growing_days = scores->growing_days[day];
  const int transplant_after = growing_days > 0 ? scores->transplant_after[day] : 0;
  return (struct isw_day_answer){
      .season = days->season[day],
      .score_tenths = scores->score_tenths[day],
      .years = scores->years[day],
      .good = scores->good[day],
      .transplant_day = transplant_after > 0 ? isw_base_wrap_day(day + transplant_after) : -1,
      .harvest_day = growing_days > 0 ? isw_base_wrap_day(day + growing_days) : -1,
      .growing_days = growing_days,
      .limit = scores->limit[day],
      .frost_risk = 1.0 - scores->survive[day],
      .bolt_risk = 1.0 - scores->stay[day]};
}

enum isw_start isw_survey_start_on(const struct isw_place_days *days, int v, int day) {
  const int s = days->season[day];
  const struct isw_plan *plan = s < 0 ? days->elsewhere : days->plan;
  return plan->programmes[plan->programme_of[v][s < 0 ? 0 : s]].start;
}

int isw_survey_type_on(const struct isw_place_days *days, int day) {
  const int s = days->season[day];
  if (s < 0) return -1;
  const int variety = isw_growth_type_of_day(days->plan, s, days->results, day);
  return variety < 0 ? -1 : isw_growth_chosen_variety(days->plan, variety);
}

struct isw_next_window isw_survey_next_window(const struct isw_place_days *days, int v, int day) {
  const struct isw_plan *plan = days->plan;
  struct isw_next_window next = {.v = -1, .s = -1};
  int nearest = ISW_YEAR_DAYS + 1;
  for (int s = 0; s < plan->n_seasons; s++) {
    const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
    for (int i = 0; i < plan->sheet->n_varieties; i++) {
      const int chosen = isw_growth_chosen_variety(plan, season->preferred[i]);
      if (chosen < 0 || (v >= 0 && chosen != v)) continue;
      const struct isw_window *window =
          &days->results[isw_growth_result_index(plan, chosen, s)].window;
      if (window->days == 0) continue;
      int wait = isw_base_days_forward(day, window->from_day);
      if (wait == 0) wait = ISW_YEAR_DAYS; /* it opens on that very day: next year again */
      if (wait >= nearest) continue;
      nearest = wait;
      next = (struct isw_next_window){chosen, s, *window};
    }
  }
  return next;
}

#include "survey/place_types.h"

#include <glib.h>

static const struct isw_result *result_of(const struct isw_plan *plan,
                                          const struct isw_place *place, int v, int s) {
  return &place->results[isw_growth_result_index(plan, v, s)].result;
}

static const struct isw_scores *scores_of(const struct isw_plan *plan,
                                          const struct isw_place *place, int v, int s) {
  return &place->scores[plan->programme_of[v][s]];
}

int isw_survey_season_of_day(const struct isw_plan *plan, const struct isw_place *place, int day) {
  for (int s = 0; s < plan->n_seasons; s++) {
    struct isw_window dates = place->seasons[s].sowing_dates;
    if (isw_base_days_forward(dates.from_day, day) < dates.days) return s;
  }
  return -1;
}

/* The first day, from `from` on, whose day before has another type: no run is cut there. */
static int first_boundary(const int of_day[ISW_YEAR_DAYS], int from, bool gap_before) {
  for (int i = 0; i < ISW_YEAR_DAYS; i++) {
    int day = isw_base_wrap_day(from + i), before = of_day[isw_base_wrap_day(day - 1)];
    if (of_day[day] >= 0 && (gap_before ? before < 0 : before != of_day[day])) return day;
  }
  return -1;
}

static void list_runs(struct isw_year_types *out) {
  out->n_runs = 0;
  /* Where there is a gap at all the list begins after one, so that what crosses the year's end is
   * told as one. */
  int start = first_boundary(out->of_day, out->first_day, true);
  if (start < 0) start = first_boundary(out->of_day, out->first_day, false);
  if (start < 0) start = out->first_day; /* one type all year, or none */
  for (int i = 0; i < ISW_YEAR_DAYS; i++) {
    int day = isw_base_wrap_day(start + i), variety = out->of_day[day];
    if (variety < 0) continue;
    struct isw_dated_type *last = out->n_runs > 0 ? &out->runs[out->n_runs - 1] : NULL;
    bool touches = last != NULL && isw_base_days_forward(last->to_day, day) == 1;
    if (touches && last->variety == variety) {
      last->to_day = day;
      last->days++;
    } else {
      out->runs[out->n_runs++] = (struct isw_dated_type){variety, day, day, 1, touches};
    }
  }
}

void isw_survey_list_types(const struct isw_plan *plan, const struct isw_place *place,
                           struct isw_year_types *out) {
  struct isw_result *results = g_new(struct isw_result, (gsize)place->n_results);
  for (int r = 0; r < place->n_results; r++) results[r] = place->results[r].result;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    int s = isw_survey_season_of_day(plan, place, day);
    out->of_day[day] = s < 0 ? -1 : isw_growth_type_of_day(plan, s, results, day);
  }
  g_free(results);
  int month, day_of_month;
  isw_base_date_of_day(place->seasons[0].sowing_dates.from_day, &month, &day_of_month);
  out->first_day = isw_base_month_start[month - 1];
  list_runs(out);
}

/* As days are ranked (method, best day): most years first, then the score. */
static int rank(const struct isw_scores *scores, int day) {
  enum { ABOVE_EVERY_SCORE = 2048 };
  return ABOVE_EVERY_SCORE * scores->years[day] + scores->score_tenths[day];
}

int isw_survey_day_beyond(const struct isw_plan *plan, const struct isw_place *place, int v, int s,
                          bool after) {
  enum { FLAT_TENTHS = 10 };
  int edge = result_of(plan, place, v, s)->edge, step = after ? 1 : -1;
  if ((edge & (after ? ISW_EDGE_GOES_ON_AFTER : ISW_EDGE_GOES_ON_BEFORE)) == 0) return -1;
  const struct isw_scores *scores = scores_of(plan, place, v, s);
  struct isw_window dates = place->seasons[s].sowing_dates;
  int end = after ? dates.to_day : dates.from_day, run = 0, best = 0;
  while (run + dates.days < ISW_YEAR_DAYS &&
         scores->good[isw_base_wrap_day(end + step * (run + 1))])
    run++;
  for (int i = 1; i <= run; i++) /* the earliest of equals, in either direction */
    if (best == 0 || rank(scores, isw_base_wrap_day(end + step * i)) + (after ? 0 : 1) >
                         rank(scores, isw_base_wrap_day(end + step * best)))
      best = i;
  if (best == 0) return -1;
  int first = best, last = best, top = rank(scores, isw_base_wrap_day(end + step * best));
  while (first > 1 &&
         rank(scores, isw_base_wrap_day(end + step * (first - 1))) >= top - FLAT_TENTHS)
    first--;
  while (last < run &&
         rank(scores, isw_base_wrap_day(end + step * (last + 1))) >= top - FLAT_TENTHS)
    last++;
  int middle = after ? first + (last - first) / 2 : last - (last - first) / 2;
  return isw_base_wrap_day(end + step * middle);
}

int isw_survey_better_type(const struct isw_plan *plan, const struct isw_place *place, int v,
                           int s) {
  int best = -1, least = result_of(plan, place, v, s)->score_tenths + ISW_BETTER_TENTHS;
  for (int other = 0; other < plan->n_varieties; other++) {
    const struct isw_result *r = result_of(plan, place, other, s);
    if (other == v || r->window.days == 0 || r->score_tenths < least) continue;
    best = other;
    least = r->score_tenths + 1;
  }
  return best;
}

struct isw_risk_range isw_survey_risk_range(const struct isw_plan *plan,
                                            const struct isw_place *place, int v, int s) {
  const struct isw_result *r = result_of(plan, place, v, s);
  const struct isw_scores *scores = scores_of(plan, place, v, s);
  struct isw_risk_range range = {r->frost_risk, r->frost_risk, r->bolt_risk, r->bolt_risk};
  for (int i = 0; i < r->window.days; i++) {
    int day = isw_base_wrap_day(r->window.from_day + i);
    range.frost_least = MIN(range.frost_least, 1 - scores->survive[day]);
    range.frost_most = MAX(range.frost_most, 1 - scores->survive[day]);
    range.bolt_least = MIN(range.bolt_least, 1 - scores->stay[day]);
    range.bolt_most = MAX(range.bolt_most, 1 - scores->stay[day]);
  }
  return range;
}

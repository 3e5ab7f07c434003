/* DESIGN: windows are few, so the days are not walked one by one: from a date on, the type changes
 * only where some window begins or ends. */
#include "growth/span.h"

#include "growth/windows.h"

/* Windows of the chosen varieties in the season's order, counted from the season's first day. */
struct offer {
  int n;
  struct {
    int variety, from, to;
  } windows[ISW_VARIETIES_MAX];
};

static int days_from(int from_day, int day) {
  return day >= from_day ? day - from_day : day - from_day + ISW_YEAR_DAYS;
}

static void collect(const struct isw_plan *plan, int s, struct isw_window season,
                    const struct isw_result *results, struct offer *out) {
  const int *order = plan->sheet->seasons[plan->seasons[s]].preferred;
  out->n = 0;
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    const int v = isw_growth_chosen_variety(plan, order[i]);
    if (v < 0) continue;
    const struct isw_window *window = &results[isw_growth_result_index(plan, v, s)].window;
    if (window->days == 0) continue;
    const int from = days_from(season.from_day, window->from_day);
    out->windows[out->n].variety = order[i];
    out->windows[out->n].from = from;
    out->windows[out->n++].to = from + window->days - 1;
  }
}

/* The type on day i of the season, and the last day (>= i) on which nothing changes; -1: none. */
static int type_from(const struct offer *offer, int i, int *until) {
  *until = ISW_YEAR_DAYS;
  for (int w = 0; w < offer->n; w++) {
    const int from = offer->windows[w].from, to = offer->windows[w].to;
    if (from > i && from - 1 < *until) *until = from - 1;
    if (from > i || to < i) continue;
    if (to < *until) *until = to;
    return offer->windows[w].variety;
  }
  return -1;
}

int isw_growth_type_of_day(const struct isw_plan *plan, int s, const struct isw_result *results,
                           int day) {
  const int *order = plan->sheet->seasons[plan->seasons[s]].preferred;
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    const int v = isw_growth_chosen_variety(plan, order[i]);
    if (v < 0) continue;
    const struct isw_window *window = &results[isw_growth_result_index(plan, v, s)].window;
    if (window->days > 0 && days_from(window->from_day, day) < window->days) return order[i];
  }
  return -1;
}

/* First day of the unbroken run of types that holds day i. */
static int first_of_run(const struct offer *offer, int i) {
  bool moved = true;
  while (moved) {
    moved = false;
    for (int w = 0; w < offer->n; w++) {
      if (offer->windows[w].from >= i || offer->windows[w].to < i - 1) continue;
      i = offer->windows[w].from;
      moved = true;
    }
  }
  return i;
}

static bool is_new_type(const struct isw_span *span, int variety) {
  for (int r = 0; r < span->n_runs; r++)
    if (span->runs[r].variety == variety) return false;
  return true;
}

static int wrap(int day) {
  return day >= ISW_YEAR_DAYS ? day - ISW_YEAR_DAYS : day;
}

void isw_growth_span(const struct isw_plan *plan, int s, bool south, struct isw_pick pick,
                     const struct isw_result *results, struct isw_span *out) {
  struct offer offer;
  out->days = (struct isw_window){-1, -1, 0};
  out->n_types = out->n_runs = 0;
  if (pick.variety < 0 || pick.risky) return;
  const struct isw_window season =
      isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], south);
  collect(plan, s, season, results, &offer);
  const int v = isw_growth_chosen_variety(plan, pick.variety);
  const int window_from = results[isw_growth_result_index(plan, v, s)].window.from_day;
  const int first = first_of_run(&offer, days_from(season.from_day, window_from));
  int at = first, until, variety;
  while ((variety = type_from(&offer, at, &until)) >= 0) {
    struct isw_type_run *last = out->n_runs > 0 ? &out->runs[out->n_runs - 1] : NULL;
    if (is_new_type(out, variety)) out->n_types++;
    if (last != NULL && last->variety == variety)
      last->to_day = wrap(season.from_day + until);
    else
      out->runs[out->n_runs++] =
          (struct isw_type_run){variety, wrap(season.from_day + at), wrap(season.from_day + until)};
    at = until + 1;
  }
  out->days = (struct isw_window){wrap(season.from_day + first), wrap(season.from_day + at - 1),
                                  at - first};
}

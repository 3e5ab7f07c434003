#include "reference_season.h"

static const struct reference_day *day_of(const struct reference_day days[ISW_YEAR_DAYS],
                                          struct isw_window season, int i) {
  return &days[isw_base_wrap_day(season.from_day + i)];
}

/* What chooses the best day: most years, then highest score, among the candidates. */
struct choice {
  bool among_good;
  int years, tenths;
};

static bool is_candidate(const struct reference_day *day, bool among_good) {
  return among_good ? day->good : day->tenths > 0 && !day->cut_outside;
}

static bool is_top(const struct reference_day *day, const struct choice *choice) {
  return is_candidate(day, choice->among_good) && day->years == choice->years &&
         day->tenths >= choice->tenths - REFERENCE_TOP_TENTHS;
}

/* false: no candidate. */
static bool choose(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                   struct choice *out) {
  *out = (struct choice){.among_good = false, .years = -1, .tenths = -1};
  for (int i = 0; i < season.days; i++) out->among_good |= day_of(days, season, i)->good;
  for (int i = 0; i < season.days; i++) {
    const struct reference_day *day = day_of(days, season, i);
    if (!is_candidate(day, out->among_good) || day->years < out->years) continue;
    if (day->years > out->years || day->tenths > out->tenths) out->tenths = day->tenths;
    out->years = day->years;
  }
  return out->years >= 0;
}

/* Counted from the season's first day. */
static int middle_of_top(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                         const struct choice *choice) {
  int highest = 0;
  while (!is_top(day_of(days, season, highest), choice) ||
         day_of(days, season, highest)->tenths < choice->tenths)
    highest++;
  int from = highest, to = highest;
  while (from > 0 && is_top(day_of(days, season, from - 1), choice)) from--;
  while (to + 1 < season.days && is_top(day_of(days, season, to + 1), choice)) to++;
  return (from + to) / 2;
}

/* Does the run that goes on from this end hold something better? step: -1 before the season (i
 * begins at -1), +1 after it. */
static bool better_beyond(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                          int i, int step, const struct choice *choice) {
  for (int n = 0; n < ISW_YEAR_DAYS - season.days; n++, i += step) {
    const struct reference_day *day = day_of(days, season, i);
    if (!day->good) return false;
    if (day->years > choice->years ||
        (day->years == choice->years && day->tenths > choice->tenths + REFERENCE_TOP_TENTHS))
      return true;
  }
  return false;
}

static int edge_of(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                   int from, int to, const struct choice *choice) {
  int edge = 0;
  if (season.days >= ISW_YEAR_DAYS) return 0;
  if (from == 0 && day_of(days, season, -1)->good)
    edge += 1 + (better_beyond(days, season, -1, -1, choice) ? 4 : 0);
  if (to == season.days - 1 && day_of(days, season, season.days)->good)
    edge += 2 + (better_beyond(days, season, season.days, +1, choice) ? 8 : 0);
  return edge;
}

static void add_window(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                       int best, const struct choice *choice, struct reference_answer *out) {
  int from = best, to = best, earliest = 2 * ISW_YEAR_DAYS, latest = -1;
  while (from > 0 && day_of(days, season, from - 1)->good) from--;
  while (to + 1 < season.days && day_of(days, season, to + 1)->good) to++;
  out->window = (struct isw_window){isw_base_wrap_day(season.from_day + from),
                                    isw_base_wrap_day(season.from_day + to), to - from + 1};
  for (int i = from; i <= to; i++) {
    const int harvest = i + day_of(days, season, i)->growing_days;
    if (harvest < earliest) earliest = harvest;
    if (harvest > latest) latest = harvest;
  }
  out->cut_from_day = isw_base_wrap_day(season.from_day + earliest);
  out->cut_to_day = isw_base_wrap_day(season.from_day + latest);
  out->edge = edge_of(days, season, from, to, choice);
}

/* The maturing day with the largest least fit, the first of equals; -1: none matures. */
static int speaker_of_zeros(const struct reference_day days[ISW_YEAR_DAYS],
                            struct isw_window season) {
  int speaker = -1;
  for (int i = 0; i < season.days; i++) {
    const struct reference_day *day = day_of(days, season, i);
    if (day->growing_days > 0 &&
        (speaker < 0 || day->least_fit > day_of(days, season, speaker)->least_fit))
      speaker = i;
  }
  return speaker < 0 ? -1 : isw_base_wrap_day(season.from_day + speaker);
}

void reference_season(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                      struct reference_answer *out) {
  *out = (struct reference_answer){
      .best_day = -1, .shown_day = -1, .window = {-1, -1, 0}, .cut_from_day = -1, .cut_to_day = -1};
  struct choice choice;
  if (!choose(days, season, &choice)) {
    for (int i = 0; i < season.days; i++)
      out->all_cut_outside |= day_of(days, season, i)->tenths > 0;
    if (!out->all_cut_outside) out->shown_day = speaker_of_zeros(days, season);
    return;
  }
  const int best = middle_of_top(days, season, &choice);
  out->best_day = out->shown_day = isw_base_wrap_day(season.from_day + best);
  out->years = choice.years;
  if (choice.among_good) add_window(days, season, best, &choice, out);
}

/* The result of the i-th variety in the season's order; NULL: not chosen for this run. */
static const struct isw_result *in_order(const struct isw_plan *plan, int s,
                                         const struct isw_result *results, int i) {
  const int variety = plan->sheet->seasons[plan->seasons[s]].preferred[i];
  for (int v = 0; v < plan->n_varieties; v++)
    if (plan->varieties[v] == variety) return &results[isw_growth_result_index(plan, v, s)];
  return NULL;
}

struct reference_pick reference_pick(const struct isw_plan *plan, int s,
                                     const struct isw_result *results) {
  const int *order = plan->sheet->seasons[plan->seasons[s]].preferred;
  const int n = plan->sheet->n_varieties;
  const bool counted = plan->conditions.least_years > 0;
  const struct isw_result *result, *risky = NULL;
  struct reference_pick pick = {-1, false};
  for (int least = 7; least >= 1; least -= 6)
    for (int i = 0; i < n; i++)
      if ((result = in_order(plan, s, results, i)) != NULL && result->window.days >= least)
        return (struct reference_pick){order[i], false};
  for (int i = 0; i < n; i++) {
    if ((result = in_order(plan, s, results, i)) == NULL || result->best_sow_day < 0) continue;
    const bool more_years = counted && risky != NULL && result->years > risky->years;
    const bool as_many = !counted || risky == NULL || result->years == risky->years;
    if (risky != NULL && !more_years && !(as_many && result->score_tenths > risky->score_tenths))
      continue;
    risky = result;
    pick = (struct reference_pick){order[i], true};
  }
  if (risky == NULL || (counted ? risky->years < 3 : risky->score_tenths < 500))
    return (struct reference_pick){-1, false};
  return pick;
}

static bool holds(struct isw_window window, int day) {
  return window.days > 0 && isw_base_days_forward(window.from_day, day) < window.days;
}

int reference_type(const struct isw_plan *plan, int s, const struct isw_result *results, int day) {
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    const struct isw_result *result = in_order(plan, s, results, i);
    if (result != NULL && holds(result->window, day))
      return plan->sheet->seasons[plan->seasons[s]].preferred[i];
  }
  return -1;
}

struct reference_span reference_span(const struct isw_plan *plan, int s, struct isw_window season,
                                     const struct isw_result *results) {
  struct reference_span span = {{-1, -1, 0}, -1, -1, 0};
  const struct reference_pick pick = reference_pick(plan, s, results);
  if (pick.variety < 0 || pick.risky) return span;
  int types[ISW_YEAR_DAYS], at = -1;
  bool seen[ISW_VARIETIES_MAX] = {false};
  for (int i = 0; i < season.days; i++)
    types[i] = reference_type(plan, s, results, isw_base_wrap_day(season.from_day + i));
  for (int v = 0; v < plan->n_varieties; v++)
    if (plan->varieties[v] == pick.variety)
      at = isw_base_days_forward(season.from_day,
                                 results[isw_growth_result_index(plan, v, s)].window.from_day);
  int from = at, to = at;
  while (from > 0 && types[from - 1] >= 0) from--;
  while (to + 1 < season.days && types[to + 1] >= 0) to++;
  for (int i = from; i <= to; i++) {
    if (!seen[types[i]]) span.types++;
    seen[types[i]] = true;
  }
  span.first_type = types[from];
  span.last_type = types[to];
  span.days = (struct isw_window){isw_base_wrap_day(season.from_day + from),
                                  isw_base_wrap_day(season.from_day + to), to - from + 1};
  return span;
}

#include "survey/planting_plan.h"

/* A sowing that serves a cut date; the smaller in order of the fields is the better. */
struct candidate {
  int rank;     /* of the type, in its season's order */
  int distance; /* days of its harvest from the cut date, before or after */
  int lost;     /* years */
  int back;     /* less days from sowing to the cut date: the earlier sowing is the smaller */
};

static bool is_better(const struct candidate *a, const struct candidate *b) {
  if (a->rank != b->rank) return a->rank < b->rank;
  if (a->distance != b->distance) return a->distance < b->distance;
  if (a->lost != b->lost) return a->lost < b->lost;
  return a->back < b->back;
}

/* Days from `from` to `to` by the shorter way; the one after `from` counts as positive. */
static int days_apart(int from, int to) {
  const int forward = isw_base_days_forward(from, to);
  return forward <= ISW_YEAR_DAYS / 2 ? forward : forward - ISW_YEAR_DAYS;
}

static int magnitude(int value) {
  return value < 0 ? -value : value;
}

static void serve(const struct isw_place_days *days, int every, struct isw_planned_cut *cut) {
  const struct isw_plan *plan = days->plan;
  struct candidate best = {0};
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    if (days->season[day] < 0) continue;
    const struct isw_season *season = &plan->sheet->seasons[plan->seasons[days->season[day]]];
    for (int rank = 0; rank < plan->sheet->n_varieties; rank++) {
      const int v = isw_growth_chosen_variety(plan, season->preferred[rank]);
      if (v < 0 || (cut->v >= 0 && rank > best.rank)) continue;
      const struct isw_day_answer answer = isw_survey_ask_day(days, v, day);
      if (!answer.good) continue;
      const int late = days_apart(cut->cut_day, answer.harvest_day);
      const struct candidate found = {rank, magnitude(late), -answer.years,
                                      late - answer.growing_days};
      if (2 * found.distance > every || (cut->v >= 0 && !is_better(&found, &best))) continue;
      best = found;
      *cut = (struct isw_planned_cut){.cut_day = cut->cut_day,
                                      .v = v,
                                      .sow_day = day,
                                      .transplant_day = answer.transplant_day,
                                      .harvest_day = answer.harvest_day,
                                      .years = answer.years};
    }
  }
}

int isw_survey_plan_cuts(const struct isw_place_days *days, int from_day, int to_day, int every,
                         struct isw_planned_cut out[ISW_YEAR_DAYS]) {
  const int last = isw_base_days_forward(from_day, to_day);
  int n = 0;
  for (int after = 0; after <= last; after += every) {
    out[n] = (struct isw_planned_cut){isw_base_wrap_day(from_day + after), -1, -1, -1, -1, 0};
    serve(days, every, &out[n++]);
  }
  return n;
}

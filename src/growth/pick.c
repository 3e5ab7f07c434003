#include "growth/pick.h"

struct isw_pick isw_growth_pick(const struct isw_plan *plan, int s,
                                const struct isw_result *results) {
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
  struct isw_pick any_window = {-1, false}, highest = {-1, true};
  int highest_tenths = ISW_PICK_RISKY_TENTHS - 1;
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    int variety = season->preferred[i], v = 0;
    while (v < plan->n_varieties && plan->varieties[v] != variety) v++;
    if (v == plan->n_varieties) continue; /* not chosen for this run */
    const struct isw_result *result = &results[isw_growth_result_index(plan, v, s)];
    if (result->window.days >= ISW_PICK_WINDOW_DAYS) return (struct isw_pick){variety, false};
    if (result->window.days > 0 && any_window.variety < 0) any_window.variety = variety;
    if (result->score_tenths > highest_tenths) {
      highest_tenths = result->score_tenths;
      highest.variety = variety;
    }
  }
  if (any_window.variety >= 0) return any_window;
  if (highest.variety >= 0) return highest;
  return (struct isw_pick){-1, false};
}

int isw_growth_pick_code(struct isw_pick pick) {
  if (pick.variety < 0) return 0;
  return pick.variety + 1 + (pick.risky ? ISW_PICK_RISKY_CODE : 0);
}

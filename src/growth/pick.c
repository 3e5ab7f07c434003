#include "growth/pick.h"

/* Is b the better of two without a window? Of equals the earlier one in order stays. */
static bool promises_more(const struct isw_plan *plan, const struct isw_result *a,
                          const struct isw_result *b) {
  if (plan->conditions.least_years > 0 && a->years != b->years) return b->years > a->years;
  return b->score_tenths > a->score_tenths;
}

bool isw_growth_is_worth_a_risk(const struct isw_plan *plan, const struct isw_result *result) {
  return plan->conditions.least_years > 0 ? result->years >= ISW_PICK_RISKY_YEARS
                                          : result->score_tenths >= ISW_PICK_RISKY_TENTHS;
}

struct isw_pick isw_growth_pick(const struct isw_plan *plan, int s,
                                const struct isw_result *results) {
  const int *order = plan->sheet->seasons[plan->seasons[s]].preferred;
  struct isw_pick any_window = {-1, false}, risky = {-1, true};
  const struct isw_result *most = NULL;
  for (int i = 0; i < plan->sheet->n_varieties; i++) {
    const int v = isw_growth_chosen_variety(plan, order[i]);
    if (v < 0) continue;
    const struct isw_result *result = &results[isw_growth_result_index(plan, v, s)];
    if (result->window.days >= ISW_PICK_WINDOW_DAYS) return (struct isw_pick){order[i], false};
    if (result->window.days > 0 && any_window.variety < 0) any_window.variety = order[i];
    if (result->best_sow_day < 0 || (most != NULL && !promises_more(plan, most, result))) continue;
    most = result;
    risky.variety = order[i];
  }
  if (any_window.variety >= 0) return any_window;
  if (most != NULL && isw_growth_is_worth_a_risk(plan, most)) return risky;
  return (struct isw_pick){-1, false};
}

int isw_growth_pick_code(struct isw_pick pick) {
  if (pick.variety < 0) return 0;
  return pick.variety + 1 + (pick.risky ? ISW_PICK_RISKY_CODE : 0);
}

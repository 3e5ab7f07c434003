#include "reference_cell.h"

static struct isw_result season_result(const struct isw_plan *plan,
                                       const struct isw_programme *programme,
                                       const struct plain_programme_sums *sums,
                                       const struct reference_day days[ISW_YEAR_DAYS],
                                       struct isw_window season_days) {
  struct reference_answer answer;
  reference_season(days, season_days, &answer);
  struct isw_result result = {
      .best_sow_day = answer.best_day,
      .window = answer.window,
      .transplant_day = -1,
      .harvest_day = -1,
      .limit = answer.all_cut_outside ? ISW_LIMIT_CUT_OUTSIDE : ISW_LIMIT_NEVER_MATURES,
      .years = plan->conditions.least_years > 0 ? answer.years : -1,
      .edge = answer.edge,
      .cut_from_day = answer.cut_from_day,
      .cut_to_day = answer.cut_to_day};
  if (answer.shown_day < 0) return result;
  struct isw_sowing sowing;
  plain_score_sowing(plan, programme, sums, answer.shown_day, &sowing);
  result.limit = sowing.limit;
  result.frost_risk = 1.0 - sowing.survive;
  result.bolt_risk = 1.0 - sowing.stay;
  if (answer.best_day < 0) return result;
  result.score_tenths = sowing.score_tenths;
  result.growing_days = sowing.growing_days;
  result.harvest_day = isw_base_wrap_day(answer.best_day + sowing.growing_days);
  if (programme->transplant_stage >= 0)
    result.transplant_day =
        isw_base_wrap_day(answer.best_day + sowing.runs[programme->transplant_stage].from_after);
  return result;
}

void reference_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                    struct reference_memory *memory, struct isw_result *results) {
  struct reference_day days[ISW_YEAR_DAYS];
  for (int p = 0; p < plan->n_programmes; p++) {
    const struct isw_programme *programme = &plan->programmes[p];
    reference_score_days(plan, programme, normals, memory, days);
    for (int v = 0; v < plan->n_varieties; v++)
      for (int s = 0; s < plan->n_seasons; s++)
        if (plan->programme_of[v][s] == p)
          results[isw_growth_result_index(plan, v, s)] =
              season_result(plan, programme, &memory->sums, days,
                            isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], south));
  }
}

#include "growth/cell.h"

static struct isw_result season_result(const struct isw_plan *plan,
                                       const struct isw_programme *programme,
                                       const struct isw_programme_sums *sums,
                                       const struct isw_scores *scores,
                                       struct isw_window season_days) {
  struct isw_result result = {.best_sow_day = -1,
                              .window = {-1, -1, 0},
                              .transplant_day = -1,
                              .harvest_day = -1,
                              .limit = ISW_LIMIT_NEVER_MATURES};
  int fallback, best = isw_growth_best_day(scores, season_days, &fallback);
  int shown = best >= 0 ? best : fallback;
  if (shown < 0) return result;
  struct isw_sowing sowing;
  isw_growth_score_sowing(plan, programme, sums, shown, &sowing);
  result.limit = sowing.limit;
  result.frost_risk = 1.0 - sowing.survive;
  result.bolt_risk = 1.0 - sowing.stay;
  if (best < 0) return result;
  result.score_tenths = sowing.score_tenths;
  result.best_sow_day = best;
  result.growing_days = sowing.growing_days;
  result.harvest_day = isw_base_wrap_day(best + sowing.growing_days);
  if (programme->transplant_stage >= 0)
    result.transplant_day =
        isw_base_wrap_day(best + sowing.runs[programme->transplant_stage].from_after);
  if (scores->good[best]) result.window = isw_growth_run_around(scores->good, best);
  return result;
}

void isw_growth_start_workspace(const struct isw_plan *plan,
                                struct isw_growth_workspace *workspace) {
  (void)plan;
  (void)workspace;
}

void isw_growth_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                     struct isw_growth_workspace *workspace, struct isw_result *results) {
  isw_growth_curve_year(normals, plan->conditions.warmer_K, &workspace->year);
  for (int p = 0; p < plan->n_programmes; p++) {
    const struct isw_programme *programme = &plan->programmes[p];
    isw_growth_sum_programme(plan, programme, &workspace->year, &workspace->sums);
    isw_growth_score_year(plan, programme, &workspace->sums, &workspace->scores);
    for (int v = 0; v < plan->n_varieties; v++)
      for (int s = 0; s < plan->n_seasons; s++)
        if (plan->programme_of[v][s] == p)
          results[isw_growth_result_index(plan, v, s)] =
              season_result(plan, programme, &workspace->sums, &workspace->scores,
                            isw_growth_season_days(&plan->sheet->seasons[plan->seasons[s]], south));
  }
}

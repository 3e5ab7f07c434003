#include "reference_years.h"

#include <math.h>

const double reference_year_z[REFERENCE_SIDE_YEARS] = {0.12566, 0.38532, 0.67449, 1.03643, 1.64485};

int reference_side_years(const bool good[REFERENCE_SIDE_YEARS]) {
  if (good[4]) return 5;
  if (good[2]) return good[3] ? 4 : 3;
  if (good[1]) return 2;
  return good[0] ? 1 : 0;
}

double reference_year_spread_K(const struct isw_plan *plan, const struct isw_normals *normals) {
  return normals->has_year_spread ? normals->year_spread_K : plan->conditions.year_spread_K;
}

bool reference_cut_within(const struct isw_conditions *conditions, int harvest_day) {
  if (!conditions->has_cut) return true;
  const int from = conditions->cut_from_day, to = conditions->cut_to_day;
  return isw_base_days_forward(from, harvest_day) <= isw_base_days_forward(from, to);
}

static bool good_when(const struct isw_plan *plan, const struct isw_sowing *sowing) {
  return sowing->matures && sowing->score_tenths > 0 &&
         sowing->score_tenths >= 10.0 * plan->conditions.good_score && sowing->survive >= 0.9 &&
         sowing->stay >= 0.9;
}

/* Every day of one side that is good in the normal year. */
static void ask_side(const struct isw_plan *plan, const struct isw_programme *programme,
                     const struct isw_normals *normals, double side_K,
                     struct reference_memory *memory, const bool normal[ISW_YEAR_DAYS],
                     struct reference_day days[ISW_YEAR_DAYS]) {
  static bool good[ISW_YEAR_DAYS][REFERENCE_SIDE_YEARS];
  for (int i = 0; i < REFERENCE_SIDE_YEARS; i++) {
    isw_growth_curve_year(normals, plan->conditions.warmer_K + side_K * reference_year_z[i],
                          &memory->year);
    plain_sum_programme(plan, programme, &memory->year, &memory->shifted);
    for (int day = 0; day < ISW_YEAR_DAYS; day++) {
      if (!normal[day]) continue;
      struct isw_sowing sowing;
      plain_score_sowing(plan, programme, &memory->shifted, day, &sowing);
      good[day][i] = good_when(plan, &sowing);
    }
  }
  for (int day = 0; day < ISW_YEAR_DAYS; day++)
    if (normal[day]) days[day].years += reference_side_years(good[day]);
}

void reference_score_days(const struct isw_plan *plan, const struct isw_programme *programme,
                          const struct isw_normals *normals, struct reference_memory *memory,
                          struct reference_day days[ISW_YEAR_DAYS]) {
  const struct isw_conditions *asked = &plan->conditions;
  const bool counted = asked->least_years > 0;
  struct isw_scores *scores = &memory->scores;
  bool any = false;
  isw_growth_curve_year(normals, asked->warmer_K, &memory->year);
  plain_sum_programme(plan, programme, &memory->year, &memory->sums);
  plain_score_year(plan, programme, &memory->sums, scores);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    const int growing_days = scores->growing_days[day];
    days[day] = (struct reference_day){
        .tenths = scores->score_tenths[day],
        .growing_days = growing_days,
        .transplant_after = scores->transplant_after[day],
        .least_fit = scores->least_fit[day],
        .cut_outside = growing_days > 0 &&
                       !reference_cut_within(asked, isw_base_wrap_day(day + growing_days))};
    any = any || scores->good[day];
  }
  if (counted && any) {
    const double spread_K = reference_year_spread_K(plan, normals);
    ask_side(plan, programme, normals, spread_K, memory, scores->good, days);
    ask_side(plan, programme, normals, -spread_K, memory, scores->good, days);
  }
  for (int day = 0; day < ISW_YEAR_DAYS; day++)
    days[day].good = scores->good[day] && !days[day].cut_outside &&
                     (!counted || days[day].years >= asked->least_years);
}

#include "growth/plan.h"

struct isw_conditions isw_growth_default_conditions(void) {
  return (struct isw_conditions){.good_score = 70.0,
                                 .least_years = 7,
                                 .spread_K = 2.5,
                                 .year_spread_K = 1.3,
                                 .warmer_K = 0.0,
                                 .grown_under = ISW_OPEN_GROUND,
                                 .start = -1};
}

/* Fill chosen[] with 0..count-1, or with those of wanted[], in ascending order. */
static int choose(int count, int n_wanted, const int *wanted, int *chosen) {
  int n = 0;
  for (int i = 0; i < count; i++) {
    bool take = n_wanted == 0;
    for (int w = 0; w < n_wanted; w++) take = take || wanted[w] == i;
    if (take) chosen[n++] = i;
  }
  return n;
}

static int add_programme(struct isw_plan *plan, int variety, enum isw_start start) {
  for (int p = 0; p < plan->n_programmes; p++)
    if (plan->programmes[p].variety == variety && plan->programmes[p].start == start) return p;
  const struct isw_variety *source = &plan->sheet->varieties[variety];
  struct isw_programme *programme = &plan->programmes[plan->n_programmes];
  programme->variety = variety;
  programme->start = start;
  programme->bolts = source->bolts && plan->sheet->has_chilling;
  programme->bolts_safe = source->bolts_safe;
  programme->bolts_all = source->bolts_all;
  isw_crop_place_stages(plan->sheet, variety, start, plan->conditions.grown_under,
                        programme->stages);
  programme->transplant_stage = -1;
  for (int k = 0; k < plan->sheet->n_stages; k++)
    if (programme->stages[k].transplant) programme->transplant_stage = k;
  return plan->n_programmes++;
}

void isw_growth_make_plan(const struct isw_sheet *sheet, const struct isw_conditions *conditions,
                          int n_varieties, const int *varieties, int n_seasons, const int *seasons,
                          struct isw_plan *out) {
  out->sheet = sheet;
  out->conditions = *conditions;
  out->n_varieties = choose(sheet->n_varieties, n_varieties, varieties, out->varieties);
  out->n_seasons = choose(sheet->n_seasons, n_seasons, seasons, out->seasons);
  out->n_programmes = 0;
  for (int v = 0; v < out->n_varieties; v++) {
    for (int s = 0; s < out->n_seasons; s++) {
      enum isw_start start = sheet->seasons[out->seasons[s]].start;
      if (conditions->start >= 0) start = (enum isw_start)conditions->start;
      out->programme_of[v][s] = add_programme(out, out->varieties[v], start);
    }
  }
}

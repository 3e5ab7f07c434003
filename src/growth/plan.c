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

static int add_programme(struct isw_plan *plan, int variety, int season) {
  const struct isw_sheet *sheet = plan->sheet;
  const struct isw_conditions *asked = &plan->conditions;
  struct isw_placing placing = {season, ISW_START_NURSERY, asked->grown_under};
  if (season != ISW_NO_SEASON) placing.start = sheet->seasons[season].start;
  if (asked->start >= 0) placing.start = (enum isw_start)asked->start;
  const struct isw_variety *source = &sheet->varieties[variety];
  struct isw_programme made = {.variety = variety,
                               .start = placing.start,
                               .bolts = source->bolts && sheet->has_chilling,
                               .bolts_safe = source->bolts_safe,
                               .bolts_all = source->bolts_all,
                               .transplant_stage = -1};
  isw_crop_place_stages(sheet, variety, placing, made.stages);
  for (int p = 0; p < plan->n_programmes; p++)
    if (plan->programmes[p].variety == variety && plan->programmes[p].start == placing.start &&
        isw_crop_same_shelters(sheet, plan->programmes[p].stages, made.stages))
      return p;
  for (int k = 0; k < sheet->n_stages; k++)
    if (made.stages[k].transplant) made.transplant_stage = k;
  plan->programmes[plan->n_programmes] = made;
  return plan->n_programmes++;
}

void isw_growth_make_plan(const struct isw_sheet *sheet, const struct isw_conditions *conditions,
                          int n_varieties, const int *varieties, int n_seasons, const int *seasons,
                          struct isw_plan *out) {
  out->sheet = sheet;
  out->conditions = *conditions;
  out->among_others = false;
  out->n_varieties = choose(sheet->n_varieties, n_varieties, varieties, out->varieties);
  out->n_seasons = choose(sheet->n_seasons, n_seasons, seasons, out->seasons);
  out->n_programmes = 0;
  for (int v = 0; v < out->n_varieties; v++)
    for (int s = 0; s < out->n_seasons; s++)
      out->programme_of[v][s] = add_programme(out, out->varieties[v], out->seasons[s]);
}

void isw_growth_make_plan_elsewhere(const struct isw_plan *plan, struct isw_plan *out) {
  *out = *plan;
  out->n_programmes = 0;
  for (int v = 0; v < out->n_varieties; v++)
    for (int s = 0; s < out->n_seasons; s++)
      out->programme_of[v][s] = add_programme(out, out->varieties[v], ISW_NO_SEASON);
}

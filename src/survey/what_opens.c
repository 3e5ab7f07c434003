/* DESIGN: each way to grow is a plan of the one season, with a workspace that is made when it is
 * first asked for: most places ask for few. */
#include "survey/what_opens.h"

#include <glib.h>

/* Equation 19 */
static const double shift_step_K = 0.5;
enum { SHIFT_STEPS = 12 };

/* As it is, under each shelter, with the other start. */
enum { AS_IT_IS, FIRST_SHELTER, OTHER_START = FIRST_SHELTER + ISW_SHELTERS_MAX, WAYS };

struct way {
  struct isw_plan plan; /* of one season */
  struct isw_growth_workspace workspace;
};

struct isw_what_opens {
  const struct isw_plan *plan;
  struct way *ways[ISW_SEASONS_MAX][WAYS]; /* NULL: not yet asked for */
  struct isw_result results[ISW_VARIETIES_MAX];
};

double isw_survey_greatest_shift_K(void) {
  return SHIFT_STEPS * shift_step_K;
}

struct isw_what_opens *isw_survey_new_what_opens(const struct isw_plan *plan) {
  struct isw_what_opens *opens = g_new0(struct isw_what_opens, 1);
  opens->plan = plan;
  return opens;
}

void isw_survey_free_what_opens(struct isw_what_opens *opens) {
  if (opens == NULL) return;
  for (int s = 0; s < ISW_SEASONS_MAX; s++)
    for (int way = 0; way < WAYS; way++) g_free(opens->ways[s][way]);
  g_free(opens);
}

struct isw_plan *isw_survey_new_sheltered_plan(const struct isw_plan *plan, int shelter) {
  struct isw_conditions conditions = plan->conditions;
  conditions.grown_under = shelter;
  struct isw_plan *sheltered = g_new(struct isw_plan, 1);
  isw_growth_make_plan(plan->sheet, &conditions, plan->n_varieties, plan->varieties,
                       plan->n_seasons, plan->seasons, sheltered);
  return sheltered;
}

static enum isw_start start_of(const struct isw_plan *plan, int s) {
  return plan->programmes[plan->programme_of[0][s]].start;
}

static enum isw_start other_start(const struct isw_plan *plan, int s) {
  return start_of(plan, s) == ISW_START_DIRECT ? ISW_START_NURSERY : ISW_START_DIRECT;
}

static struct way *way_of(struct isw_what_opens *opens, int s, int number) {
  struct way **way = &opens->ways[s][number];
  if (*way != NULL) return *way;
  const struct isw_plan *plan = opens->plan;
  struct isw_conditions conditions = plan->conditions;
  if (number == OTHER_START)
    conditions.start = (int)other_start(plan, s);
  else if (number >= FIRST_SHELTER)
    conditions.grown_under = number - FIRST_SHELTER;
  *way = g_new(struct way, 1);
  isw_growth_make_plan(plan->sheet, &conditions, plan->n_varieties, plan->varieties, 1,
                       &plan->seasons[s], &(*way)->plan);
  isw_growth_start_workspace(&(*way)->plan, &(*way)->workspace);
  return *way;
}

/* Is there a type with a window, grown that way? */
static bool does_open(struct isw_what_opens *opens, int s, int number,
                      const struct isw_normals *normals, bool south, struct isw_opening *out) {
  struct way *way = way_of(opens, s, number);
  isw_growth_cell(&way->workspace, normals, south, opens->results);
  struct isw_pick pick = isw_growth_pick(&way->plan, 0, opens->results);
  if (pick.variety < 0 || pick.risky) return false;
  int v = isw_growth_chosen_variety(&way->plan, pick.variety);
  out->variety = pick.variety;
  out->result = opens->results[isw_growth_result_index(&way->plan, v, 0)];
  return true;
}

static bool opens_shifted(struct isw_what_opens *opens, int s, const struct isw_normals *normals,
                          bool south, double shift_K, struct isw_opening *out) {
  struct isw_normals shifted = *normals;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    shifted.tmin_C[m] += shift_K;
    shifted.tmax_C[m] += shift_K;
  }
  out->shift_K = shift_K;
  return does_open(opens, s, AS_IT_IS, &shifted, south, out);
}

void isw_survey_find_opening(struct isw_what_opens *opens, const struct isw_normals *normals,
                             bool south, int s, const struct isw_result *results,
                             struct isw_opening *out) {
  const struct isw_plan *plan = opens->plan;
  const struct isw_pick pick = isw_growth_pick(plan, s, results);
  *out = (struct isw_opening){.by = ISW_OPENS_ITSELF, .variety = -1};
  if (pick.variety >= 0 && !pick.risky) return;
  out->by = ISW_OPENS_SHELTER;
  for (int i = 0; i < plan->sheet->n_shelters; i++) {
    out->shelter = i;
    if (i != plan->conditions.grown_under && isw_crop_is_field_shelter(plan->sheet, i) &&
        does_open(opens, s, FIRST_SHELTER + i, normals, south, out))
      return;
  }
  out->by = ISW_OPENS_START;
  out->start = other_start(plan, s);
  if (does_open(opens, s, OTHER_START, normals, south, out)) return;
  out->by = ISW_OPENS_SHIFT;
  for (int step = 1; step <= SHIFT_STEPS; step++) {
    const double shift_K = step * shift_step_K;
    if (opens_shifted(opens, s, normals, south, -shift_K, out) ||
        opens_shifted(opens, s, normals, south, shift_K, out))
      return;
  }
  *out = (struct isw_opening){.by = ISW_OPENS_NOT, .variety = -1};
}

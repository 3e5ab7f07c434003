/* A programme's tables told in full: every sowing day, and one stage by stage. */
#include <assert.h>

#include "growth/kernel.h"
#include "growth/kernel_course.h"

static double share_of(int millionths) {
  return (double)millionths / ISW_METHOD_SHARES_IN_ONE;
}

static int score_tenths(const struct isw_kernel_scores *scores, int sow_day) {
  return scores->key[sow_day] % ISW_KERNEL_GOOD;
}

void isw_growth_kernel_year(const struct isw_kernel_recipe *recipe, int number,
                            const struct isw_kernel_tables *tables, struct isw_scores *out) {
  const struct isw_kernel_scores *scores = &tables->scores;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    const struct isw_kernel_course course =
        isw_kernel_follow(&recipe->programmes[number], recipe->n_stages, tables, day, NULL);
    assert(course.matures == (scores->fit[day] > 0.5f * ISW_KERNEL_NEVER_FIT));
    out->score_tenths[day] = (int16_t)score_tenths(scores, day);
    out->growing_days[day] = (int16_t)course.growing_days;
    out->transplant_after[day] = (int16_t)course.transplant_after;
    out->limit[day] = (int16_t)course.limit;
    out->good[day] = scores->key[day] >= ISW_KERNEL_GOOD;
    out->least_fit[day] = share_of(course.least_fit);
    out->survive[day] = course.survive;
    out->stay[day] = course.stay;
  }
}

void isw_growth_kernel_sowing(const struct isw_kernel_recipe *recipe, int number,
                              const struct isw_kernel_tables *tables, int sow_day,
                              struct isw_sowing *out) {
  *out = (struct isw_sowing){.score_tenths = score_tenths(&tables->scores, sow_day)};
  const struct isw_kernel_course course =
      isw_kernel_follow(&recipe->programmes[number], recipe->n_stages, tables, sow_day, out->runs);
  out->matures = course.matures;
  out->n_stages = course.n_stages;
  out->growing_days = course.growing_days;
  out->survive = course.survive;
  out->stay = course.stay;
  out->chilling_days = course.chilling_days;
  out->least_fit = share_of(course.least_fit);
  out->limit = course.limit;
}

/* A programme's tables told in full: every sowing day, and one stage by stage. */
#include <assert.h>

#include "growth/kernel.h"
#include "growth/kernel_course.h"

static double share_of(int millionths) {
  return (double)millionths / ISW_METHOD_SHARES_IN_ONE;
}

/* Cut outside the dates asked for or not. */
static int32_t key_of(const struct isw_kernel_scores *scores, int sow_day) {
  const int32_t key = scores->key[sow_day];
  return key < 0 ? -key : key;
}

void isw_growth_kernel_year(const struct isw_kernel_recipe *recipe, int number,
                            const struct isw_kernel_tables *tables, struct isw_scores *out) {
  const struct isw_kernel_programme *programme = &recipe->programmes[number];
  const struct isw_kernel_scores *scores = &tables->scores[programme->score];
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    const struct isw_kernel_course course =
        isw_kernel_follow(programme, recipe->n_stages, tables, day, NULL);
    assert(course.matures == (scores->fit[day] > 0.5f * ISW_KERNEL_NEVER_FIT));
    out->score_tenths[day] = (int16_t)(key_of(scores, day) % ISW_KERNEL_RANK);
    out->growing_days[day] = (int16_t)course.growing_days;
    out->transplant_after[day] = (int16_t)course.transplant_after;
    out->limit[day] = (int16_t)course.limit;
    out->years[day] =
        (int8_t)(recipe->least_years > 0 ? key_of(scores, day) / ISW_KERNEL_RANK : -1);
    out->good[day] = scores->key[day] >= recipe->good_key;
    out->least_fit[day] = share_of(course.least_fit);
    out->survive[day] = course.survive;
    out->stay[day] = course.stay;
  }
}

void isw_growth_kernel_sowing(const struct isw_kernel_recipe *recipe, int number,
                              const struct isw_kernel_tables *tables, int sow_day,
                              struct isw_sowing *out) {
  const struct isw_kernel_programme *programme = &recipe->programmes[number];
  *out = (struct isw_sowing){.score_tenths = key_of(&tables->scores[programme->score], sow_day) %
                                             ISW_KERNEL_RANK};
  const struct isw_kernel_course course =
      isw_kernel_follow(programme, recipe->n_stages, tables, sow_day, out->runs);
  out->matures = course.matures;
  out->n_stages = course.n_stages;
  out->growing_days = course.growing_days;
  out->survive = course.survive;
  out->stay = course.stay;
  out->chilling_days = course.chilling_days;
  out->least_fit = share_of(course.least_fit);
  out->limit = course.limit;
}

/* One switch over the kinds of step. */
#ifndef ISW_GROWTH_KERNEL_STEP_H
#define ISW_GROWTH_KERNEL_STEP_H

#include "growth/kernel.h"

static inline void isw_growth_kernel_do_step(const struct isw_kernel_recipe *recipe,
                                             const struct isw_kernel_routines *routines,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables) {
  switch ((enum isw_kernel_work)step->work) {
    case ISW_KERNEL_DO_RAMP: routines->ramp(recipe, step, tables); break;
    case ISW_KERNEL_DO_FIT: routines->fit(recipe, step, tables); break;
    case ISW_KERNEL_DO_KILL: routines->kill(recipe, step, tables); break;
    case ISW_KERNEL_DO_CHILLING: routines->chilling(recipe, step, tables); break;
    case ISW_KERNEL_DO_CLOCK: routines->clock(recipe, step, tables); break;
    case ISW_KERNEL_DO_SEGMENT: routines->segment(recipe, step, tables); break;
    case ISW_KERNEL_DO_SCORE: routines->score(recipe, step, tables); break;
    case ISW_KERNEL_DO_YEARS:
      isw_growth_kernel_do_years(recipe, routines, &recipe->batches[step->what], tables);
      break;
  }
}

#endif

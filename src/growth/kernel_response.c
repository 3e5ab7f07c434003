/* Running sums of what a day does, over the whole year (method, equations 3-5, 8 and 9). */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_share.h"
#include "growth/kernel_sums.h"

void ISW_KERNEL_NAME(isw_growth_kernel_ramp)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_fit)(const struct isw_kernel_recipe *recipe,
                                            const struct isw_kernel_step *step,
                                            struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_kill)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_chilling)(const struct isw_kernel_recipe *recipe,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables);

void ISW_KERNEL_NAME(isw_growth_kernel_ramp)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables) {
  const struct isw_kernel_ramp ramp = recipe->ramps[step->what].ramp;
  const struct isw_kernel_days *days = &tables->days[recipe->ramps[step->what].shelter];
  const lanes_i whole_days = (i_lane_numbers() + 1) * ISW_KERNEL_UNITS;
  int32_t *sums = tables->ramp[step->slot];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const float edge_lo_C = days->edge_lo_C[day / LANES], edge_hi_C = days->edge_hi_C[day / LANES];
    if (all_below(&ramp, edge_hi_C)) {
      i_store(sums + day + 1, sum);
    } else if (all_above(&ramp, edge_lo_C)) {
      i_store(sums + day + 1, sum + whole_days);
      sum += LANES * ISW_KERNEL_UNITS;
    } else {
      const struct sine_days sine = {f_load(days->mean_C + day), f_load(days->half_K + day),
                                     f_load(days->per_half + day), edge_lo_C, edge_hi_C};
      sum = sums_store(sums, day, sum, i_nearest(ramp_share(&ramp, &sine)));
    }
  }
  sums_carry_on(sums, sums[ISW_YEAR_DAYS], recipe->reach);
}

void ISW_KERNEL_NAME(isw_growth_kernel_fit)(const struct isw_kernel_recipe *recipe,
                                            const struct isw_kernel_step *step,
                                            struct isw_kernel_tables *tables) {
  const int32_t *rise = tables->ramp[step->rise_slot], *fall = tables->ramp[step->fall_slot];
  int32_t *fit = tables->fit[step->slot];
  for (int day = 0; day < recipe->reach; day += LANES)
    i_store(fit + day, i_load(rise + day) - i_load(fall + day));
}

void ISW_KERNEL_NAME(isw_growth_kernel_kill)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables) {
  const struct isw_kernel_kill kill = recipe->kills[step->what];
  const float *lo_C = tables->days[kill.shelter].lo_C;
  const float per_spread = recipe->per_spread * (float)ISW_KERNEL_ROOT_HALF;
  int32_t *sums = tables->kill[step->slot];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const lanes_f x = (kill.dies_below_C - f_load(lo_C + day)) * per_spread;
    if (m_all(f_less(x, f_all(ISW_KERNEL_SURELY_ALIVE * (float)ISW_KERNEL_ROOT_HALF))))
      i_store(sums + day + 1, sum);
    else
      sum = sums_store(sums, day, sum, i_nearest(normal_below(x)));
  }
  sums_carry_on(sums, sums[ISW_YEAR_DAYS], recipe->reach);
}

void ISW_KERNEL_NAME(isw_growth_kernel_chilling)(const struct isw_kernel_recipe *recipe,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables) {
  const struct chilling_days chilling = {.band = recipe->chilling_band,
                                         .shelter = recipe->shelter[step->chilling],
                                         .open = step->chilling == ISW_KERNEL_OPEN_GROUND,
                                         .far_K = (float)ISW_METHOD_ROOT_THREE * recipe->spread_K};
  int32_t *sums = tables->chilling[step->chilling];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES)
    sum = sums_store(
        sums, day, sum,
        chilling_share(&chilling, f_load(tables->lo_C + day), f_load(tables->hi_C + day)));
  sums_carry_on(sums, sums[ISW_YEAR_DAYS], recipe->reach);
}

/* Days of a place: the daily curve, and every shelter's days. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_share.h"

void ISW_KERNEL_NAME(isw_growth_kernel_days)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_normals *normals,
                                             struct isw_kernel_tables *tables);

/* Twelve means to 365 days (method, equation 1), then the first days again to fill the row. */
static void curve(const struct isw_kernel_recipe *recipe, const double month_mean[12],
                  float *day_C) {
  double at_start[ISW_YEAR_MONTHS + 1] = {0};
  for (int j = 0; j < ISW_YEAR_MONTHS; j++)
    for (int i = 0; i < ISW_YEAR_MONTHS; i++)
      at_start[i] += recipe->month_starts[j][i] * month_mean[j];
  at_start[ISW_YEAR_MONTHS] = at_start[0];
  for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
    /* The weights of a day add up to 1, so warming the month warms the days. */
    const lanes_f from = f_all((float)at_start[i] + recipe->warmer_K);
    const lanes_f to = f_all((float)at_start[i + 1] + recipe->warmer_K);
    const lanes_f mean = f_all((float)month_mean[i] + recipe->warmer_K);
    float *month = day_C + isw_base_month_start[i];
    /* A month's last vector runs into the next month, which then overwrites it. */
    for (int k = 0; k < 32; k += LANES)
      f_store(month + k, f_load(recipe->day_weight[0][i] + k) * from +
                             f_load(recipe->day_weight[1][i] + k) * to +
                             f_load(recipe->day_weight[2][i] + k) * mean);
  }
  for (int day = ISW_YEAR_DAYS; day < ISW_KERNEL_ROW; day++)
    day_C[day] = day_C[day - ISW_YEAR_DAYS];
}

/* A day whose lowest lies above its highest gets their mean for both. */
static void order_days(float *lo_C, float *hi_C) {
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    lanes_f lo = f_load(lo_C + day), hi = f_load(hi_C + day);
    lanes_m crossed = f_less(hi, lo);
    if (!m_any(crossed)) continue;
    lanes_f mean = (lo + hi) * 0.5f;
    f_store(lo_C + day, f_if(crossed, mean, lo));
    f_store(hi_C + day, f_if(crossed, mean, hi));
  }
}

static void shelter_days(const struct isw_kernel_recipe *recipe,
                         const struct isw_kernel_shelter *shelter, const float *lo_C,
                         const float *hi_C, struct isw_kernel_days *days) {
  const struct isw_kernel_shelter roof = *shelter;
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    struct sine_days sine;
    const lanes_f lo =
        shelter_vector(&roof, recipe->swing, f_load(lo_C + day), f_load(hi_C + day), &sine);
    days->edge_lo_C[day / LANES] = sine.edge_lo_C;
    days->edge_hi_C[day / LANES] = sine.edge_hi_C;
    f_store(days->lo_C + day, lo);
    f_store(days->mean_C + day, sine.mean);
    f_store(days->half_K + day, sine.half);
    f_store(days->per_half + day, sine.per_half);
  }
}

void ISW_KERNEL_NAME(isw_growth_kernel_days)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_normals *normals,
                                             struct isw_kernel_tables *tables) {
  curve(recipe, normals->tmin_C, tables->lo_C);
  curve(recipe, normals->tmax_C, tables->hi_C);
  order_days(tables->lo_C, tables->hi_C);
  for (int i = 0; i < recipe->n_shelters; i++) {
    int shelter = recipe->shelters[i];
    shelter_days(recipe, &recipe->shelter[shelter], tables->lo_C, tables->hi_C,
                 &tables->days[shelter]);
  }
}

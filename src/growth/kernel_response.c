/* Running sums of what a day does: rate and fit of a band, chance to die, chilling
 * (method, equations 3-5, 8 and 9).
 *
 * DESIGN. With u = (x - mean) / half swing, the degree-days of a sine above a corner x of the band
 * are max(mean - x, 0) + half * K(|u|), where
 *
 *     K(u) = (sqrt(1 - u^2) - u acos u) / pi,   w = max(0, 1 - |u|):   K = w sqrt(w) P(w).
 *
 * P is analytic (K begins with w^(3/2)); a quartic fitted here to the least greatest error of K on
 * 0..1 is within 7.4e-8, and no worse for having no cubic term. So rate is the trapezoid at the
 * mean, plus half swing times differences of K over the ramp. K is 0 outside |u| < 1: a corner that
 * no day of the vector touches is skipped, which changes nothing. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_sums.h"
#include "growth/method_numbers.h"

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

/* Days under a band: mean, half swing and its inverse; no day reaches past the edges. */
struct sine_days {
  lanes_f mean, half, per_half;
  float edge_lo_C, edge_hi_C;
};

/* K at a corner of the band. */
static inline lanes_f corner(float corner_C, const struct sine_days *days) {
  lanes_f w = f_max(1.0f - f_abs((corner_C - days->mean) * days->per_half), f_all(0.0f));
  lanes_f w2 = w * w; /* short chains of operations run side by side */
  lanes_f p =
      (w * 0.0149103446445f + 0.300114238587f) + (w2 * 0.00052421284456f + 0.00276103051302f) * w2;
  return w * f_root(w) * p;
}

/* Whether all days lie below the ramp, or above it: then the share of it is exactly 0, or 1. */
static inline bool all_below(const struct isw_kernel_ramp *ramp, float edge_hi_C) {
  return edge_hi_C <= ramp->foot_C;
}
static inline bool all_above(const struct isw_kernel_ramp *ramp, float edge_lo_C) {
  return edge_lo_C >= ramp->top_C;
}

/* The share of a ramp that lies behind the days, 0..1, in units: degree-days above its foot with a
 * cutoff at its top, over its height. Of days neither all below nor all above it: so a foot can
 * only be outside their edges by lying below them, and a top by lying above; K is 0 there. */
static inline lanes_f ramp_share(const struct isw_kernel_ramp *ramp, const struct sine_days *days) {
  const float per_height = ramp->per_height * ISW_KERNEL_UNITS;
  lanes_f flat = f_clamp((days->mean - ramp->foot_C) * per_height, 0.0f, ISW_KERNEL_UNITS);
  lanes_f bent = f_all(0.0f);
  if (ramp->foot_C > days->edge_lo_C) bent = corner(ramp->foot_C, days);
  if (ramp->top_C < days->edge_hi_C) bent -= corner(ramp->top_C, days);
  return f_clamp(flat + bent * (days->half * per_height), 0.0f, ISW_KERNEL_UNITS);
}

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

/* The normal distribution at x root-two standard deviations, in units, by its error function's
 * approximation 7.1.28 of Abramowitz & Stegun, Handbook of Mathematical Functions, 1964: within
 * 1.5e-7 of the whole. */
static inline lanes_f normal_below(lanes_f x) {
  const lanes_f far = f_min(f_abs(x), f_all(6.0f));
  const lanes_f far2 = far * far; /* short chains of operations run side by side */
  lanes_f p = (far * 0.0705230784f + 1.0f) +
              ((far * 0.0092705272f + 0.0422820123f) +
               ((far * 0.0002765672f + 0.0001520143f) + far2 * 0.0000430638f) * far2) *
                  far2;
  p = p * p;
  p = p * p;
  p = p * p;
  p = p * p;
  const lanes_f outside = (0.5f * ISW_KERNEL_UNITS) / p;
  return f_if_negative(x, outside, ISW_KERNEL_UNITS - outside);
}

void ISW_KERNEL_NAME(isw_growth_kernel_kill)(const struct isw_kernel_recipe *recipe,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables) {
  const struct isw_kernel_kill kill = recipe->kills[step->what];
  const float *lo_C = tables->days[kill.shelter].lo_C;
  const float per_spread = recipe->per_spread * 0.707106781187f;
  const float surely_alive = ISW_KERNEL_SURELY_ALIVE * 0.707106781187f;
  int32_t *sums = tables->kill[step->slot];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const lanes_f x = (kill.dies_below_C - f_load(lo_C + day)) * per_spread;
    if (m_all(f_less(x, f_all(surely_alive))))
      i_store(sums + day + 1, sum);
    else
      sum = sums_store(sums, day, sum, i_nearest(normal_below(x)));
  }
  sums_carry_on(sums, sums[ISW_YEAR_DAYS], recipe->reach);
}

static inline lanes_f chilling_fit(const struct isw_kernel_band *band,
                                   const struct sine_days *days) {
  if (all_below(&band->rise, days->edge_hi_C) || all_above(&band->fall, days->edge_lo_C))
    return f_all(0.0f);
  const lanes_f rate = all_above(&band->rise, days->edge_lo_C) ? f_all(ISW_KERNEL_UNITS)
                                                               : ramp_share(&band->rise, days);
  if (all_below(&band->fall, days->edge_hi_C)) return rate;
  return f_max(rate - ramp_share(&band->fall, days), f_all(0.0f));
}

static inline struct sine_days full_swing(lanes_f lo, lanes_f hi) {
  const lanes_f half = f_max((hi - lo) * 0.5f, f_all((float)ISW_METHOD_FLAT_DAY_K));
  return (struct sine_days){.mean = (lo + hi) * 0.5f,
                            .half = half,
                            .per_half = 1.0f / half,
                            .edge_lo_C = f_least(lo) - ISW_KERNEL_EDGE_K,
                            .edge_hi_C = -f_least(-hi) + ISW_KERNEL_EDGE_K};
}

/* Days in open ground only move up or down. */
static inline lanes_f open_chilling(const struct isw_kernel_band *band,
                                    const struct sine_days *days, float shift_K) {
  struct sine_days moved = *days;
  moved.mean += shift_K;
  moved.edge_lo_C += shift_K;
  moved.edge_hi_C += shift_K;
  return chilling_fit(band, &moved);
}

/* Days are moved and then put under their shelter. */
static inline lanes_f sheltered_chilling(const struct isw_kernel_band *band,
                                         const struct isw_kernel_shelter *shelter, lanes_f lo,
                                         lanes_f hi, float shift_K) {
  lo += shift_K;
  hi += shift_K;
  lo = f_max(lo, f_min(f_all(shelter->warm_to_C), lo + shelter->warm_most_K));
  hi = f_max(f_min(hi, f_max(f_all(shelter->cool_to_C), hi - shelter->cool_most_K)), lo);
  const struct sine_days days = full_swing(lo, hi);
  return chilling_fit(band, &days);
}

void ISW_KERNEL_NAME(isw_growth_kernel_chilling)(const struct isw_kernel_recipe *recipe,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables) {
  const bool open = step->chilling == ISW_KERNEL_OPEN_GROUND;
  const struct isw_kernel_shelter *shelter = &recipe->shelter[step->chilling];
  const struct isw_kernel_band chilling_band = recipe->chilling_band, *band = &chilling_band;
  const float far_K = (float)ISW_METHOD_ROOT_THREE * recipe->spread_K;
  int32_t *sums = tables->chilling[step->chilling];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const lanes_f lo = f_load(tables->lo_C + day), hi = f_load(tables->hi_C + day);
    lanes_f colder, middle, warmer;
    if (open) {
      const struct sine_days days = full_swing(lo, hi);
      colder = open_chilling(band, &days, -far_K);
      middle = open_chilling(band, &days, 0.0f);
      warmer = open_chilling(band, &days, far_K);
    } else {
      colder = sheltered_chilling(band, shelter, lo, hi, -far_K);
      middle = sheltered_chilling(band, shelter, lo, hi, 0.0f);
      warmer = sheltered_chilling(band, shelter, lo, hi, far_K);
    }
    const lanes_f share = (colder + warmer) * (float)ISW_METHOD_OUTER_WEIGHT +
                          middle * (float)ISW_METHOD_MIDDLE_WEIGHT;
    sum = sums_store(sums, day, sum, i_nearest(f_min(share, f_all(ISW_KERNEL_UNITS))));
  }
  sums_carry_on(sums, sums[ISW_YEAR_DAYS], recipe->reach);
}

/* Running sums of what a day does: rate and fit of a band, chance to die, chilling
 * (method, equations 3-5, 8 and 9).
 *
 * DESIGN. With u = (x - mean) / half swing, the degree-days of a sine above a corner x of the band
 * are max(mean - x, 0) + half * K(|u|), where
 *
 *     K(u) = (sqrt(1 - u^2) - u acos u) / pi,   w = max(0, 1 - |u|):   K = w sqrt(w) P(w).
 *
 * P is analytic (K begins with w^(3/2)); a quartic fitted here to the least greatest error of K on
 * 0..1 is within 7.2e-8. So rate is the trapezoid at the mean, plus half swing times differences
 * of K over the ramp. K is 0 outside |u| < 1: a corner that no day of the vector touches is
 * skipped, which changes nothing. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_sums.h"

void ISW_KERNEL_NAME(isw_growth_kernel_response)(const struct isw_kernel_program *program,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_kill)(const struct isw_kernel_program *program,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_chilling)(const struct isw_kernel_program *program,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables);

/* Days under a band: mean, half swing and its inverse. */
struct sine_days {
  lanes_f mean, half, per_half;
};

/* K at a corner of the band. */
static inline lanes_f corner(float corner_C, const struct sine_days *days) {
  lanes_f w = f_max(1.0f - f_abs((corner_C - days->mean) * days->per_half), f_all(0.0f));
  if (!m_any(f_less(f_all(0.0f), w))) return f_all(0.0f);
  lanes_f p = w * 0.000522441915632f + 4.21655509792e-06f;
  p = p * w + 0.00275752457005f;
  p = p * w + 0.0149115225476f;
  p = p * w + 0.300114108909f;
  return w * f_root(w) * p;
}

/* The share of a ramp that lies behind the days, 0..1: degree-days above its foot with a cutoff at
 * its top, over its height. */
static inline lanes_f ramp(float foot_C, float top_C, float per_height,
                           const struct sine_days *days) {
  lanes_f flat = f_clamp((days->mean - foot_C) * per_height, 0.0f, 1.0f);
  lanes_f bent = corner(foot_C, days) - corner(top_C, days);
  return f_clamp(flat + bent * (days->half * per_height), 0.0f, 1.0f);
}

void ISW_KERNEL_NAME(isw_growth_kernel_response)(const struct isw_kernel_program *program,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables) {
  const struct isw_kernel_response *response = &program->responses[step->what];
  const struct isw_kernel_band band = response->band;
  const struct isw_kernel_days *days = &tables->days[response->shelter];
  struct isw_kernel_response_sums *sums = &tables->response[step->slot];
  lanes_i rate_sum = {0}, fit_sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const struct sine_days sine = {f_load(days->mean_C + day), f_load(days->half_K + day),
                                   f_load(days->per_half + day)};
    lanes_f rate = ramp(band.stops_below_C, band.best_from_C, band.per_rise, &sine);
    lanes_f lost = ramp(band.best_to_C, band.stops_above_C, band.per_fall, &sine);
    rate_sum = sums_store(sums->rate + day, rate_sum, units_of(rate));
    fit_sum = sums_store(sums->fit + day, fit_sum, units_of(f_max(rate - lost, f_all(0.0f))));
  }
  sums_carry_on(sums->rate, program->reach);
  sums_carry_on(sums->fit, program->reach);
}

/* Below this many spreads nothing dies: 1e-8. */
static const float surely_alive = -5.6f;

/* The normal distribution by its error function's approximation 7.1.28 of Abramowitz & Stegun,
 * Handbook of Mathematical Functions, 1964: within 1.5e-7. */
static inline lanes_f normal_below(lanes_f z) {
  lanes_f x = f_min(f_abs(z) * 0.707106781187f, f_all(6.0f));
  lanes_f p = x * 0.0000430638f + 0.0002765672f;
  p = p * x + 0.0001520143f;
  p = p * x + 0.0092705272f;
  p = p * x + 0.0422820123f;
  p = p * x + 0.0705230784f;
  p = p * x + 1.0f;
  p = p * p;
  p = p * p;
  p = p * p;
  p = p * p;
  lanes_f outside = 0.5f / p;
  lanes_f below = f_if(f_less(z, f_all(0.0f)), outside, 1.0f - outside);
  return f_if(f_less(z, f_all(surely_alive)), f_all(0.0f), below);
}

void ISW_KERNEL_NAME(isw_growth_kernel_kill)(const struct isw_kernel_program *program,
                                             const struct isw_kernel_step *step,
                                             struct isw_kernel_tables *tables) {
  const struct isw_kernel_kill *kill = &program->kills[step->what];
  const float *lo_C = tables->days[kill->shelter].lo_C;
  int32_t *sums = tables->kill[step->slot];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    lanes_f z = (kill->dies_below_C - f_load(lo_C + day)) * program->per_spread;
    if (m_all(f_less(z, f_all(surely_alive)))) {
      i_store(sums + day, sum);
      continue;
    }
    sum = sums_store(sums + day, sum, units_of(normal_below(z)));
  }
  sums_carry_on(sums, program->reach);
}

/* Fit of the chilling band at full swing, the days moved by shift_K and then put under shelter. */
static inline lanes_f chilling_fit(const struct isw_kernel_program *program,
                                   const struct isw_kernel_shelter *shelter, lanes_f lo, lanes_f hi,
                                   float shift_K) {
  const struct isw_kernel_band *band = &program->chilling_band;
  lo += shift_K;
  hi += shift_K;
  lo = f_max(lo, f_min(f_all(shelter->warm_to_C), lo + shelter->warm_most_K));
  hi = f_max(f_min(hi, f_max(f_all(shelter->cool_to_C), hi - shelter->cool_most_K)), lo);
  lanes_f half = f_max((hi - lo) * 0.5f, f_all(ISW_KERNEL_FLAT_K));
  const struct sine_days days = {(lo + hi) * 0.5f, half, 1.0f / half};
  lanes_f rate = ramp(band->stops_below_C, band->best_from_C, band->per_rise, &days);
  lanes_f lost = ramp(band->best_to_C, band->stops_above_C, band->per_fall, &days);
  return f_max(rate - lost, f_all(0.0f));
}

void ISW_KERNEL_NAME(isw_growth_kernel_chilling)(const struct isw_kernel_program *program,
                                                 const struct isw_kernel_step *step,
                                                 struct isw_kernel_tables *tables) {
  const struct isw_kernel_shelter *shelter = &program->shelter[step->chilling];
  const float far_K = 1.73205080757f * program->spread_K;
  int32_t *sums = tables->chilling[step->chilling];
  lanes_i sum = {0};
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    lanes_f lo = f_load(tables->lo_C + day), hi = f_load(tables->hi_C + day);
    lanes_f ends = chilling_fit(program, shelter, lo, hi, -far_K) +
                   chilling_fit(program, shelter, lo, hi, far_K);
    lanes_f middle = chilling_fit(program, shelter, lo, hi, 0.0f);
    sum = sums_store(sums + day, sum, units_of(ends * (1.0f / 6.0f) + middle * (2.0f / 3.0f)));
  }
  sums_carry_on(sums, program->reach);
}

/* What a vector of days does to a crop: the share of a ramp that lies behind it, its chance to die,
 * its chilling; all in units (method, equations 3-5, 8 and 9).
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
#ifndef ISW_GROWTH_KERNEL_SHARE_H
#define ISW_GROWTH_KERNEL_SHARE_H

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/method_numbers.h"

#define ISW_KERNEL_ROOT_HALF 0.707106781187

/* Days under a band: mean, half swing and its inverse; no day reaches past the edges. */
struct sine_days {
  lanes_f mean, half, per_half;
  float edge_lo_C, edge_hi_C;
};

/* Days as they are under a shelter (method, equation 2), as the bands see them; returns their
 * lowest. lo, hi: in open ground. */
static inline lanes_f shelter_vector(const struct isw_kernel_shelter *shelter, float swing,
                                     lanes_f lo, lanes_f hi, struct sine_days *out) {
  lo = f_max(lo, f_min(f_all(shelter->warm_to_C), lo + shelter->warm_most_K));
  hi = f_max(f_min(hi, f_max(f_all(shelter->cool_to_C), hi - shelter->cool_most_K)), lo);
  /* The least half swing keeps a flat day's quotient finite; its ramps are the trapezoid's. */
  out->half = f_max((hi - lo) * (0.5f * swing), f_all((float)ISW_METHOD_FLAT_DAY_K));
  out->mean = (lo + hi) * 0.5f;
  out->per_half = 1.0f / out->half;
  out->edge_lo_C = f_least(out->mean - out->half) - ISW_KERNEL_EDGE_K;
  out->edge_hi_C = -f_least(-out->mean - out->half) + ISW_KERNEL_EDGE_K;
  return lo;
}

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

/* The whole of equation 9. lo, hi: days in open ground. */
struct chilling_days {
  struct isw_kernel_band band;
  struct isw_kernel_shelter shelter;
  bool open;   /* the shelter changes nothing */
  float far_K; /* root three spreads */
};
static inline lanes_i chilling_share(const struct chilling_days *chilling, lanes_f lo, lanes_f hi) {
  const float far_K = chilling->far_K;
  lanes_f colder, middle, warmer;
  if (chilling->open) {
    const struct sine_days days = full_swing(lo, hi);
    colder = open_chilling(&chilling->band, &days, -far_K);
    middle = open_chilling(&chilling->band, &days, 0.0f);
    warmer = open_chilling(&chilling->band, &days, far_K);
  } else {
    const struct isw_kernel_shelter *shelter = &chilling->shelter;
    colder = sheltered_chilling(&chilling->band, shelter, lo, hi, -far_K);
    middle = sheltered_chilling(&chilling->band, shelter, lo, hi, 0.0f);
    warmer = sheltered_chilling(&chilling->band, shelter, lo, hi, far_K);
  }
  const lanes_f share =
      (colder + warmer) * (float)ISW_METHOD_OUTER_WEIGHT + middle * (float)ISW_METHOD_MIDDLE_WEIGHT;
  return i_nearest(f_min(share, f_all(ISW_KERNEL_UNITS)));
}

#endif

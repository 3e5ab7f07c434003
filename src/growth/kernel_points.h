/* From a sowing day's fit and odds to its points, and whether it is good (method, equations 8, 10,
 * 11 and 13). */
#ifndef ISW_GROWTH_KERNEL_POINTS_H
#define ISW_GROWTH_KERNEL_POINTS_H

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"

struct score_odds {
  bool kills, bolts;
  float bolts_all, per_bolts;
  int32_t good_tenths, doubtful_kill, doubtful_chill;
};

static inline struct score_odds odds_of(const struct isw_kernel_recipe *recipe,
                                        const struct isw_kernel_programme *programme) {
  return (struct score_odds){.kills = programme->head_kills || programme->rest_kills,
                             .bolts = programme->per_bolts > 0.0f,
                             .bolts_all = programme->bolts_all,
                             .per_bolts = programme->per_bolts,
                             .good_tenths = recipe->good_tenths,
                             .doubtful_kill = programme->doubtful_kill,
                             .doubtful_chill = programme->doubtful_chill};
}

/* exp(-kill), kill in units: 2 to a whole power by the exponent's bits, the rest (-1/2..1/2) by a
 * polynomial fitted here to a relative error of 2e-9. */
static inline lanes_f survival(lanes_i kill) {
  static const float per_unit = 1.44269504089f / ISW_KERNEL_UNITS;
  lanes_f x = f_clamp(f_of_i(kill) * per_unit, 0.0f, 100.0f);
  lanes_i whole = i_of_f(x + 0.5f);
  lanes_f f = f_of_i(whole) - x;
  lanes_f f2 = f * f; /* short chains of operations run side by side */
  lanes_f p = (f * 0.693147205737f + 1.0f) +
              ((f * 0.0555032877698f + 0.240226468906f) +
               ((f * 0.00133999312149f + 0.00961848895871f) + f2 * 0.00015345811576f) * f2) *
                  f2;
  return f_of_bits((lanes_i)p - (whole << 23));
}

/* Tenths of a point, rounded half up. fit, kill, chill: units. */
static inline __attribute__((always_inline)) lanes_i score_tenths(const struct score_odds *odds,
                                                                  lanes_f fit, lanes_i kill,
                                                                  lanes_i chill) {
  lanes_f score = f_max(fit, f_all(0.0f)) * (1000.0f / ISW_KERNEL_UNITS);
  if (odds->kills) score *= survival(kill);
  if (odds->bolts) {
    const lanes_f chilled = f_of_i(chill) * (1.0f / ISW_KERNEL_UNITS);
    score *= f_clamp((odds->bolts_all - chilled) * odds->per_bolts, 0.0f, 1.0f);
  }
  return i_of_f(score + 0.5f);
}

/* Of days that mature. */
static inline __attribute__((always_inline)) lanes_m is_good(const struct score_odds *odds,
                                                             lanes_i tenths, lanes_i kill,
                                                             lanes_i chill) {
  return m_and(
      m_not(i_less(tenths, i_all(odds->good_tenths))),
      m_and(i_less(kill, i_all(odds->doubtful_kill)), i_less(chill, i_all(odds->doubtful_chill))));
}

#endif

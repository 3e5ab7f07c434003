/* The highest of a season's days and the run of days about as high around it; the best fit of days
 * without a score (method, equation 14). Vectors read past the last day, within its table. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/method_numbers.h"

int32_t ISW_KERNEL_NAME(isw_growth_kernel_most)(const int32_t *keys, int n);
void ISW_KERNEL_NAME(isw_growth_kernel_top)(const int32_t *keys, int n, struct isw_kernel_top *out);
float ISW_KERNEL_NAME(isw_growth_kernel_most_fit)(const float *fit, int n);
int ISW_KERNEL_NAME(isw_growth_kernel_first_fit)(const float *fit, int n, float least);

enum { ALL_LANES = (1 << LANES) - 1 };

/* Bits of those that are not below `least`. */
static inline uint32_t bits_from(const int32_t *keys, int32_t least) {
  return (uint32_t)m_bits(m_not(i_less(i_load(keys), i_all(least)))) & ALL_LANES;
}

int32_t ISW_KERNEL_NAME(isw_growth_kernel_most)(const int32_t *keys, int n) {
  lanes_i most = i_all(INT32_MIN);
  int i = 0;
  for (; i + LANES <= n; i += LANES) most = i_max(most, i_load(keys + i));
  const lanes_m within = i_less(i_lane_numbers(), i_all(n - i));
  return i_most(i_max(most, i_if(within, i_load(keys + i), i_all(INT32_MIN))));
}

/* The first lane at which bits are set, from keys[0] on. */
static inline int first_from(const int32_t *keys, int32_t least) {
  int i = 0;
  uint32_t bits;
  while ((bits = bits_from(keys + i, least)) == 0) i += LANES;
  return i + __builtin_ctz(bits);
}

void ISW_KERNEL_NAME(isw_growth_kernel_top)(const int32_t *keys, int n,
                                            struct isw_kernel_top *out) {
  const int32_t top = ISW_KERNEL_NAME(isw_growth_kernel_most)(keys, n);
  out->key = top;
  if (top <= 0) return;
  const int32_t same_rank = top - top % ISW_KERNEL_RANK, any_score = 1;
  int32_t least = top - ISW_METHOD_TOP_TENTHS;
  if (least < same_rank) least = same_rank;
  if (least < any_score) least = any_score;
  const int highest = first_from(keys, top), lane = highest % LANES;
  /* Vectors from the season's first day on; what is lower ends the run. */
  int down = highest - lane, up = down;
  const uint32_t lower = ~bits_from(keys + down, least) & ALL_LANES;
  uint32_t before = lower & ((1u << lane) - 1), after = lower & ~((2u << lane) - 1);
  while (before == 0 && down > 0) {
    down -= LANES;
    before = ~bits_from(keys + down, least) & ALL_LANES;
  }
  while (after == 0 && up + LANES < n) {
    up += LANES;
    after = ~bits_from(keys + up, least) & ALL_LANES;
  }
  out->first = before == 0 ? 0 : down + 32 - __builtin_clz(before);
  out->last = after == 0 ? n - 1 : up + __builtin_ctz(after) - 1;
  if (out->last >= n) out->last = n - 1;
}

float ISW_KERNEL_NAME(isw_growth_kernel_most_fit)(const float *fit, int n) {
  const lanes_f never = f_all(ISW_KERNEL_NEVER_FIT);
  lanes_f most = never;
  int i = 0;
  for (; i + LANES <= n; i += LANES) most = f_max(most, f_load(fit + i));
  const lanes_m within = i_less(i_lane_numbers(), i_all(n - i));
  return -f_least(-f_max(most, f_if(within, f_load(fit + i), never)));
}

int ISW_KERNEL_NAME(isw_growth_kernel_first_fit)(const float *fit, int n, float least) {
  for (int i = 0; i < n; i += LANES) {
    const uint32_t bits = ~(uint32_t)m_bits(f_less(f_load(fit + i), f_all(least))) & ALL_LANES;
    if (bits == 0) continue;
    const int first = i + __builtin_ctz(bits);
    return first < n ? first : n;
  }
  return n;
}

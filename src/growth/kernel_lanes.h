/* A handful of operations on vectors of 4, 8 or 16 days, for the processor this file is compiled
 * for. Every operation rounds once and alike at any width, so all widths give the same bytes.
 *
 * ISW_KERNEL_VARIANT (portable, baseline, avx2, avx512) is set by the build; it is the suffix of
 * names. */
#ifndef ISW_GROWTH_KERNEL_LANES_H
#define ISW_GROWTH_KERNEL_LANES_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#ifndef ISW_KERNEL_VARIANT
#define ISW_KERNEL_VARIANT baseline
#endif
#define ISW_KERNEL_JOIN(name, variant) name##_##variant
#define ISW_KERNEL_JOIN_EXPANDED(name, variant) ISW_KERNEL_JOIN(name, variant)
#define ISW_KERNEL_NAME(name) ISW_KERNEL_JOIN_EXPANDED(name, ISW_KERNEL_VARIANT)

#if defined(ISW_KERNEL_PORTABLE) /* as on a processor this file knows nothing of */
#define LANES 4
#elif defined(__AVX512F__)
#include <immintrin.h>
#define LANES 16
#elif defined(__AVX2__)
#include <immintrin.h>
#define LANES 8
#elif defined(__SSE2__)
#include <emmintrin.h>
#define LANES 4
#define LANES_SSE2
#else
#define LANES 4
#endif

typedef float lanes_f __attribute__((vector_size(4 * LANES)));
typedef int32_t lanes_i __attribute__((vector_size(4 * LANES)));
typedef uint32_t lanes_u __attribute__((vector_size(4 * LANES)));
typedef float lanes_f_anywhere __attribute__((vector_size(4 * LANES), aligned(4), may_alias));
typedef int32_t int32_anywhere __attribute__((may_alias));
typedef int32_t lanes_i_anywhere __attribute__((vector_size(4 * LANES), aligned(4), may_alias));

static inline lanes_f f_load(const float *from) {
  return *(const lanes_f_anywhere *)(const void *)from;
}
static inline lanes_i i_load(const int32_t *from) {
  return *(const lanes_i_anywhere *)(const void *)from;
}
static inline void f_store(float *to, lanes_f value) {
  *(lanes_f_anywhere *)(void *)to = value;
}
static inline void i_store(int32_t *to, lanes_i value) {
  *(lanes_i_anywhere *)(void *)to = value;
}
static inline lanes_f f_all(float value) {
  return value - (lanes_f){0};
}
static inline lanes_i i_all(int32_t value) {
  return value - (lanes_i){0};
}
/* Sums that may pass 2^31 and come back. */
static inline lanes_i i_sum(lanes_i a, lanes_i b) {
  return (lanes_i)((lanes_u)a + (lanes_u)b);
}
static inline lanes_f f_of_i(lanes_i value) {
  return __builtin_convertvector(value, lanes_f);
}
/* Towards zero. */
static inline lanes_i i_of_f(lanes_f value) {
  return __builtin_convertvector(value, lanes_i);
}
static inline lanes_f f_of_bits(lanes_i bits) {
  return (lanes_f)bits;
}
static inline lanes_f f_abs(lanes_f value) {
  return (lanes_f)((lanes_i)value & 0x7fffffff);
}
/* 0, 1, 2, ... */
static inline lanes_i i_lane_numbers(void) {
  lanes_i numbers = {0};
  for (int i = 0; i < LANES; i++) numbers[i] = i;
  return numbers;
}

/* Where ends lie: LANES consecutive ones, never falling. How far apart they are says how a table is
 * read there: from one vector, from two, or value by value. */
enum lanes_spread { LANES_IN_ONE, LANES_IN_TWO, LANES_FAR };
struct lanes_place {
  const int32_t *index;
  int32_t first;
  lanes_i offset; /* from the first */
};
static inline struct lanes_place place_of(const int32_t *index) {
  return (struct lanes_place){
      .index = index, .first = index[0], .offset = i_load(index) - index[0]};
}
static inline enum lanes_spread spread_of(const int32_t *index) {
  const int32_t apart = index[LANES - 1] - index[0];
  return apart < LANES ? LANES_IN_ONE : apart < 2 * LANES ? LANES_IN_TWO : LANES_FAR;
}

#if LANES == 16

typedef __mmask16 lanes_m;
static inline lanes_m f_less(lanes_f a, lanes_f b) {
  return _mm512_cmp_ps_mask((__m512)a, (__m512)b, _CMP_LT_OQ);
}
static inline lanes_m i_less(lanes_i a, lanes_i b) {
  return _mm512_cmplt_epi32_mask((__m512i)a, (__m512i)b);
}
static inline lanes_m m_and(lanes_m a, lanes_m b) {
  return (lanes_m)(a & b);
}
static inline lanes_m m_not(lanes_m a) {
  return (lanes_m)~a;
}
static inline bool m_any(lanes_m a) {
  return a != 0;
}
static inline bool m_all(lanes_m a) {
  return a == 0xffff;
}
static inline uint64_t m_bits(lanes_m a) {
  return a;
}
static inline lanes_f f_if(lanes_m mask, lanes_f yes, lanes_f no) {
  return (lanes_f)_mm512_mask_blend_ps(mask, (__m512)no, (__m512)yes);
}
static inline lanes_i i_if(lanes_m mask, lanes_i yes, lanes_i no) {
  return (lanes_i)_mm512_mask_blend_epi32(mask, (__m512i)no, (__m512i)yes);
}
/* n, one more in the lanes of mask. */
static inline lanes_i i_count(lanes_i n, lanes_m mask) {
  return (lanes_i)_mm512_mask_sub_epi32((__m512i)n, mask, (__m512i)n, _mm512_set1_epi32(-1));
}
static inline lanes_f f_min(lanes_f a, lanes_f b) {
  return (lanes_f)_mm512_min_ps((__m512)a, (__m512)b);
}
static inline lanes_f f_max(lanes_f a, lanes_f b) {
  return (lanes_f)_mm512_max_ps((__m512)a, (__m512)b);
}
static inline lanes_i i_min(lanes_i a, lanes_i b) {
  return (lanes_i)_mm512_min_epi32((__m512i)a, (__m512i)b);
}
static inline lanes_i i_max(lanes_i a, lanes_i b) {
  return (lanes_i)_mm512_max_epi32((__m512i)a, (__m512i)b);
}
static inline lanes_f f_root(lanes_f a) {
  return (lanes_f)_mm512_sqrt_ps((__m512)a);
}
/* Sums of lanes 0..i. */
static inline lanes_i i_running(lanes_i a) {
  __m512i x = (__m512i)a, zero = _mm512_setzero_si512();
  x = _mm512_add_epi32(x, _mm512_alignr_epi32(x, zero, 15));
  x = _mm512_add_epi32(x, _mm512_alignr_epi32(x, zero, 14));
  x = _mm512_add_epi32(x, _mm512_alignr_epi32(x, zero, 12));
  x = _mm512_add_epi32(x, _mm512_alignr_epi32(x, zero, 8));
  return (lanes_i)x;
}
static inline lanes_i i_last(lanes_i a) {
  return (lanes_i)_mm512_permutexvar_epi32(_mm512_set1_epi32(15), (__m512i)a);
}
static inline lanes_i i_take(const int32_t *table, const struct lanes_place *place,
                             enum lanes_spread spread) {
  const int32_t *from = table + place->first;
  if (spread == LANES_IN_ONE)
    return (lanes_i)_mm512_permutexvar_epi32((__m512i)place->offset, (__m512i)i_load(from));
  if (spread == LANES_IN_TWO)
    return (lanes_i)_mm512_permutex2var_epi32((__m512i)i_load(from), (__m512i)place->offset,
                                              (__m512i)i_load(from + LANES));
  return (lanes_i)_mm512_i32gather_epi32((__m512i)i_load(place->index), table, 4);
}

#else

typedef lanes_i lanes_m;
static inline lanes_m f_less(lanes_f a, lanes_f b) {
  return a < b;
}
static inline lanes_m i_less(lanes_i a, lanes_i b) {
  return a < b;
}
static inline lanes_m m_and(lanes_m a, lanes_m b) {
  return a & b;
}
static inline lanes_m m_not(lanes_m a) {
  return ~a;
}
static inline lanes_i i_count(lanes_i n, lanes_m mask) {
  return n - mask;
}

#if LANES == 8

static inline uint64_t m_bits(lanes_m a) {
  return (uint64_t)(unsigned)_mm256_movemask_ps((__m256)a);
}
static inline lanes_f f_if(lanes_m mask, lanes_f yes, lanes_f no) {
  return (lanes_f)_mm256_blendv_ps((__m256)no, (__m256)yes, (__m256)mask);
}
static inline lanes_i i_if(lanes_m mask, lanes_i yes, lanes_i no) {
  return (lanes_i)f_if(mask, (lanes_f)yes, (lanes_f)no);
}
static inline lanes_f f_min(lanes_f a, lanes_f b) {
  return (lanes_f)_mm256_min_ps((__m256)a, (__m256)b);
}
static inline lanes_f f_max(lanes_f a, lanes_f b) {
  return (lanes_f)_mm256_max_ps((__m256)a, (__m256)b);
}
static inline lanes_i i_min(lanes_i a, lanes_i b) {
  return (lanes_i)_mm256_min_epi32((__m256i)a, (__m256i)b);
}
static inline lanes_i i_max(lanes_i a, lanes_i b) {
  return (lanes_i)_mm256_max_epi32((__m256i)a, (__m256i)b);
}
static inline lanes_f f_root(lanes_f a) {
  return (lanes_f)_mm256_sqrt_ps((__m256)a);
}
static inline lanes_i i_running(lanes_i a) {
  __m256i x = (__m256i)a;
  x = _mm256_add_epi32(x, _mm256_slli_si256(x, 4));
  x = _mm256_add_epi32(x, _mm256_slli_si256(x, 8));
  __m256i low_half = _mm256_permute2x128_si256(x, x, 0x08); /* moved up, zero below */
  return (lanes_i)_mm256_add_epi32(x, _mm256_shuffle_epi32(low_half, 0xff));
}
static inline lanes_i i_last(lanes_i a) {
  return (lanes_i)_mm256_permutevar8x32_epi32((__m256i)a, _mm256_set1_epi32(7));
}
static inline lanes_i i_take(const int32_t *table, const struct lanes_place *place,
                             enum lanes_spread spread) {
  if (spread == LANES_FAR)
    return (lanes_i)_mm256_i32gather_epi32(table, (__m256i)i_load(place->index), 4);
  const int32_t *from = table + place->first;
  __m256i offset = (__m256i)place->offset;
  __m256i low = _mm256_permutevar8x32_epi32((__m256i)i_load(from), offset);
  if (spread == LANES_IN_ONE) return (lanes_i)low;
  __m256i high = _mm256_permutevar8x32_epi32((__m256i)i_load(from + LANES), offset);
  /* bit 3 of an offset, as a sign, chooses */
  return i_if((lanes_i)_mm256_slli_epi32(offset, 28), (lanes_i)high, (lanes_i)low);
}

#else /* four lanes: any processor */

static inline lanes_f f_if(lanes_m mask, lanes_f yes, lanes_f no) {
  return (lanes_f)((mask & (lanes_i)yes) | (~mask & (lanes_i)no));
}
static inline lanes_i i_if(lanes_m mask, lanes_i yes, lanes_i no) {
  return (mask & yes) | (~mask & no);
}
static inline lanes_i i_min(lanes_i a, lanes_i b) {
  return i_if(a < b, a, b);
}
static inline lanes_i i_max(lanes_i a, lanes_i b) {
  return i_if(a < b, b, a);
}
static inline lanes_i i_take(const int32_t *table, const struct lanes_place *place,
                             enum lanes_spread spread) {
  (void)spread;
  const int32_anywhere *from = (const int32_anywhere *)table;
  const int32_t *index = place->index;
  return (lanes_i){from[index[0]], from[index[1]], from[index[2]], from[index[3]]};
}

#if defined(LANES_SSE2)
static inline uint64_t m_bits(lanes_m a) {
  return (uint64_t)(unsigned)_mm_movemask_ps((__m128)a);
}
static inline lanes_f f_min(lanes_f a, lanes_f b) {
  return (lanes_f)_mm_min_ps((__m128)a, (__m128)b);
}
static inline lanes_f f_max(lanes_f a, lanes_f b) {
  return (lanes_f)_mm_max_ps((__m128)a, (__m128)b);
}
static inline lanes_f f_root(lanes_f a) {
  return (lanes_f)_mm_sqrt_ps((__m128)a);
}
static inline lanes_i i_running(lanes_i a) {
  __m128i x = (__m128i)a;
  x = _mm_add_epi32(x, _mm_slli_si128(x, 4));
  return (lanes_i)_mm_add_epi32(x, _mm_slli_si128(x, 8));
}
static inline lanes_i i_last(lanes_i a) {
  return (lanes_i)_mm_shuffle_epi32((__m128i)a, 0xff);
}
#else
static inline uint64_t m_bits(lanes_m a) {
  return (uint64_t)((a[0] & 1) | (a[1] & 2) | (a[2] & 4) | (a[3] & 8));
}
static inline lanes_f f_min(lanes_f a, lanes_f b) {
  return f_if(a < b, a, b);
}
static inline lanes_f f_max(lanes_f a, lanes_f b) {
  return f_if(a > b, a, b);
}
static inline lanes_f f_root(lanes_f a) {
  return (lanes_f){sqrtf(a[0]), sqrtf(a[1]), sqrtf(a[2]), sqrtf(a[3])};
}
static inline lanes_i i_running(lanes_i a) {
  a[1] += a[0];
  a[2] += a[1];
  a[3] += a[2];
  return a;
}
static inline lanes_i i_last(lanes_i a) {
  return i_all(a[3]);
}
#endif
#endif

static inline bool m_any(lanes_m a) {
  return m_bits(a) != 0;
}
static inline bool m_all(lanes_m a) {
  return m_bits(a) == (1u << LANES) - 1;
}

#endif

/* The same from a table whose entry of the place's first lane is at `first`. */
static inline lanes_i i_take_from(const int32_t *first, const struct lanes_place *place,
                                  enum lanes_spread spread) {
#if LANES == 16
  if (spread == LANES_FAR) return (lanes_i)_mm512_i32gather_epi32((__m512i)place->offset, first, 4);
#elif LANES == 8
  if (spread == LANES_FAR) return (lanes_i)_mm256_i32gather_epi32(first, (__m256i)place->offset, 4);
#endif
  return i_take(first - place->first, place, spread);
}

static inline lanes_f f_take(const float *table, const struct lanes_place *place,
                             enum lanes_spread spread) {
  return (lanes_f)i_take((const int32_t *)(const void *)table, place, spread);
}
static inline lanes_f f_clamp(lanes_f value, float least, float most) {
  return f_min(f_max(value, f_all(least)), f_all(most));
}
/* The least lane. */
static inline float f_least(lanes_f a) {
#if LANES == 16
  return _mm512_reduce_min_ps((__m512)a);
#elif LANES == 8
  __m128 b = _mm_min_ps(_mm256_castps256_ps128((__m256)a), _mm256_extractf128_ps((__m256)a, 1));
  b = _mm_min_ps(b, _mm_movehl_ps(b, b));
  return _mm_cvtss_f32(_mm_min_ss(b, _mm_shuffle_ps(b, b, 1)));
#else
  float b = a[0] < a[1] ? a[0] : a[1], c = a[2] < a[3] ? a[2] : a[3];
  return b < c ? b : c;
#endif
}
/* The largest lane. */
static inline int32_t i_most(lanes_i a) {
#if LANES == 16
  return _mm512_reduce_max_epi32((__m512i)a);
#elif LANES == 8
  __m128i b =
      _mm_max_epi32(_mm256_castsi256_si128((__m256i)a), _mm256_extracti128_si256((__m256i)a, 1));
  b = _mm_max_epi32(b, _mm_shuffle_epi32(b, 0x4e));
  return _mm_cvtsi128_si32(_mm_max_epi32(b, _mm_shuffle_epi32(b, 0xb1)));
#else
  const int32_t b = a[0] > a[1] ? a[0] : a[1], c = a[2] > a[3] ? a[2] : a[3];
  return b > c ? b : c;
#endif
}
/* yes where sign is negative. */
static inline lanes_f f_if_negative(lanes_f sign, lanes_f yes, lanes_f no) {
#if LANES == 8
  return f_if((lanes_m)sign, yes, no); /* only the sign bit counts */
#else
  return f_if(f_less(sign, f_all(0.0f)), yes, no);
#endif
}
/* Of values not below 0. */
static inline lanes_i i_nearest(lanes_f value) {
  return i_of_f(value + 0.5f);
}

#endif

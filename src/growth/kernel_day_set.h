/* Days of a year, a bit each, and a vector's share of them. */
#ifndef ISW_GROWTH_KERNEL_DAY_SET_H
#define ISW_GROWTH_KERNEL_DAY_SET_H

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"

enum { DAY_WORDS = ISW_KERNEL_YEAR_WORDS };

struct day_set {
  uint64_t words[DAY_WORDS];
};

static inline bool bit_of(const uint64_t *words, int i) {
  return (words[i / 64] >> (i % 64) & 1) != 0;
}
static inline void set_bit(uint64_t *words, int i) {
  words[i / 64] |= UINT64_C(1) << (i % 64);
}

static inline uint32_t vector_bits(const uint64_t *words, int vector) {
  const int day = vector * LANES;
  return (uint32_t)(words[day / 64] >> (day % 64)) & ((UINT32_C(1) << LANES) - 1);
}
static inline uint32_t vector_of(const struct day_set *set, int vector) {
  return vector_bits(set->words, vector);
}
static inline void add_vector(struct day_set *set, int vector, uint32_t bits) {
  const int day = vector * LANES;
  set->words[day / 64] |= (uint64_t)bits << (day % 64);
}
static inline bool is_empty(const struct day_set *set) {
  uint64_t any = 0;
  for (int i = 0; i < DAY_WORDS; i++) any |= set->words[i];
  return any == 0;
}

/* The vectors that hold a day, one after the other; bits 0: past the last. */
struct day_set_walk {
  int vector;
  uint32_t bits;
  uint64_t left; /* of the word */
};
static inline struct day_set_walk vector_from(const struct day_set *set, int word, uint64_t left) {
  while (left == 0) {
    if (++word == DAY_WORDS) return (struct day_set_walk){0};
    left = set->words[word];
  }
  const uint64_t lanes = (UINT64_C(1) << LANES) - 1;
  const int first = __builtin_ctzll(left) / LANES * LANES;
  return (struct day_set_walk){(64 * word + first) / LANES, (uint32_t)(left >> first & lanes),
                               left & ~(lanes << first)};
}
static inline struct day_set_walk first_vector(const struct day_set *set) {
  return vector_from(set, 0, set->words[0]);
}
static inline struct day_set_walk next_vector(const struct day_set *set, struct day_set_walk at) {
  return vector_from(set, at.vector * LANES / 64, at.left);
}

/* All bits of the lanes whose bit is set, none of the others'. */
static inline lanes_i lanes_of_bits(uint32_t bits) {
  const lanes_i own = i_all(1) << i_lane_numbers();
  return (lanes_i)((own & (int32_t)bits) == own);
}

#endif

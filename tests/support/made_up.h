/* Numbers without a pattern that come out the same on every machine (xorshift, fixed start). */
#ifndef ISW_TEST_MADE_UP_H
#define ISW_TEST_MADE_UP_H

#include <stdint.h>

static inline double made_up(uint64_t *state, double from, double to) {
  *state ^= *state << 13;
  *state ^= *state >> 7;
  *state ^= *state << 17;
  return from + (to - from) * ((double)(*state >> 11) / 9007199254740992.0);
}

#endif

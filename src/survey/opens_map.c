#include "survey/opens_map.h"

/* Codes of a type with a window: above 0, and not risky. */
static bool has_window(uint8_t pick) {
  return pick > 0 && pick <= ISW_PICK_RISKY_CODE;
}

void isw_survey_opens_codes(const struct isw_block *block, int n_shelters, const int *shelters,
                            int s, uint8_t *out) {
  const size_t cells = (size_t)block->width * (size_t)block->height;
  for (size_t cell = 0; cell < cells; cell++) {
    const size_t at = (size_t)s * cells + cell;
    if ((block->flags[cell] & ISW_CELL_VALID) == 0) {
      out[cell] = ISW_PICK_NODATA;
      continue;
    }
    int plan = 0;
    while (plan <= n_shelters && !has_window(block->picks[plan][at])) plan++;
    out[cell] = plan > n_shelters ? ISW_OPENS_CODE_NOTHING
                : plan == 0       ? ISW_OPENS_CODE_ALREADY
                                  : (uint8_t)(ISW_OPENS_CODE_FIRST_SHELTER + shelters[plan - 1]);
  }
}

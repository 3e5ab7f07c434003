#include "growth/result.h"

#include <math.h>
#include <stdio.h>

const char *isw_growth_limit_name(const struct isw_sheet *sheet, int limit,
                                  char out[ISW_LIMIT_NAME_SIZE]) {
  const char *fixed = limit == ISW_LIMIT_NOTHING         ? "nothing"
                      : limit == ISW_LIMIT_FROST         ? "frost"
                      : limit == ISW_LIMIT_BOLTING       ? "bolting"
                      : limit == ISW_LIMIT_NEVER_MATURES ? "never matures"
                      : limit == ISW_LIMIT_CUT_OUTSIDE   ? "cut outside"
                                                         : NULL;
  if (fixed != NULL) {
    snprintf(out, ISW_LIMIT_NAME_SIZE, "%s", fixed);
  } else {
    int stage = (limit - 1) / 2;
    const char *name = stage < sheet->n_stages ? sheet->varieties[0].stages[stage].name : "?";
    snprintf(out, ISW_LIMIT_NAME_SIZE, "%s too %s", name, limit % 2 == 1 ? "cold" : "warm");
  }
  return out;
}

int isw_growth_round_tenths(double percent) {
  return (int)floor(percent * 10.0 + 0.5);
}

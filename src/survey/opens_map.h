/* Of every cell, what opens a season: nothing more than it has, or which of the sheet's field
 * shelters over the field stages (method, equation 19, its first part). */
#ifndef ISW_SURVEY_OPENS_MAP_H
#define ISW_SURVEY_OPENS_MAP_H

#include "survey/survey.h"

enum {
  ISW_OPENS_CODE_NOTHING = 0,      /* none of the shelters does */
  ISW_OPENS_CODE_ALREADY = 1,      /* some type has a window as it is */
  ISW_OPENS_CODE_FIRST_SHELTER = 2 /* and on: the sheet's shelters by index, all counted */
};
enum { ISW_OPENS_CODES_MAX = ISW_OPENS_CODE_FIRST_SHELTER + ISW_SHELTERS_MAX };

/* Area of each code in one season, m2. */
struct isw_opens_tally {
  double code_m2[ISW_OPENS_CODES_MAX];
};

/* The codes of a block's cells in chosen season s, ISW_PICK_NODATA where there are no data. block:
 * of a run of 1 + n_shelters plans, the plan as it is and then isw_survey_new_sheltered_plan of
 * each of shelters (sheet indexes, ascending). out: width * height. */
void isw_survey_opens_codes(const struct isw_block *block, int n_shelters, const int *shelters,
                            int s, uint8_t *out);

#endif

#include "survey/cell_normals.h"

#include <math.h>

void isw_survey_take_normals(const float *cell, float year_spread_K, struct isw_normals *out) {
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    out->tmin_C[m] = cell[m];
    out->tmax_C[m] = cell[ISW_YEAR_MONTHS + m];
  }
  out->has_year_spread = !isnan(year_spread_K);
  out->year_spread_K = out->has_year_spread ? year_spread_K : 0.0;
}

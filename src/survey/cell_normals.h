/* A cell as the climate room reads it, as the growing model takes it. */
#ifndef ISW_SURVEY_CELL_NORMALS_H
#define ISW_SURVEY_CELL_NORMALS_H

#include "growth/daily_curve.h"

/* cell: 24 values in degC, as isw_climate_read_cells gives them; year_spread_K: >= 0, NAN where the
 * place has none of its own. */
void isw_survey_take_normals(const float *cell, float year_spread_K, struct isw_normals *out);

#endif

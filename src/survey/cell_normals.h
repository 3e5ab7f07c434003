/* A cell as the climate room reads it, as the growing model takes it. */
#ifndef ISW_SURVEY_CELL_NORMALS_H
#define ISW_SURVEY_CELL_NORMALS_H

#include "growth/daily_curve.h"

/* cell: 24 values, as isw_climate_read_cells gives them; year_spread_K: NAN where there is none. */
void isw_survey_take_normals(const float *cell, float year_spread_K, struct isw_normals *out);

#endif

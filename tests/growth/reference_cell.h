/* The plain way through the model, kept as the kernel's reference: every sowing day of every
 * programme followed through its stages in double precision, in the normal year and in ten others
 * (reference_years.h), and its seasons read day by day (reference_season.h). */
#ifndef ISW_TEST_REFERENCE_CELL_H
#define ISW_TEST_REFERENCE_CELL_H

#include "reference_season.h"

/* What isw_growth_cell returns, the plain way. */
void reference_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                    struct reference_memory *memory, struct isw_result *results);

#endif

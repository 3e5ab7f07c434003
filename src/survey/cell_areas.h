/* Ground area of cells, block by block. */
#ifndef ISW_SURVEY_CELL_AREAS_H
#define ISW_SURVEY_CELL_AREAS_H

#include "climate/grid.h"

struct isw_cell_areas;

/* For a grid's cells. *out is new, to be freed. ISW_INPUT_CONTENT as
 * isw_climate_new_locator. */
enum isw_status isw_survey_new_cell_areas(const struct isw_grid *grid, struct isw_cell_areas **out,
                                          struct isw_error *error);
void isw_survey_free_cell_areas(struct isw_cell_areas *areas); /* takes NULL */

/* m2 of every cell of a block (its first column and row, its size in cells), row-major. On degree
 * grids exact, a row sharing one; elsewhere area varies smoothly and is interpolated between every
 * sixteenth cell. The memory is the areas' and holds until the next call. */
const double *isw_survey_areas_of_block(struct isw_cell_areas *areas, int col, int row, int width,
                                        int height);

#endif

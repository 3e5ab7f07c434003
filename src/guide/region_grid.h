/* The region's results on a compact grid in memory: every step-th cell, at most 300 x 300. What the
 * page carries, and what a typical place of a district is chosen from. */
#ifndef ISW_GUIDE_REGION_GRID_H
#define ISW_GUIDE_REGION_GRID_H

#include "guide/district_table.h"
#include "regions/district_cells.h"
#include "survey/survey.h"

enum { ISW_REGION_CELLS_MAX = 300 }; /* along a side */

struct isw_region_grid {
  const struct isw_plan *plan;
  int step; /* cells of the grid per cell here; the middle one is taken */
  int width, height;
  uint8_t *flags;          /* [cell] ISW_CELL_* */
  int16_t *district;       /* [cell] the first district that holds it, -1: none */
  int32_t *elevation_band; /* [cell] of guide/areas.h; ISW_NO_BAND */
  int16_t *area;           /* [cell] the area (guide/areas.h) of that district; -1; when settled */
  int16_t **bands;         /* [result][cell][ISW_CELL_BANDS] */
  uint8_t **picks;         /* [season][cell] */
};

/* For a full grid of width x height cells; plan is borrowed. New, to be freed. */
struct isw_region_grid *isw_guide_new_region_grid(const struct isw_plan *plan, int width,
                                                  int height);
void isw_guide_free_region_grid(struct isw_region_grid *region); /* takes NULL */

/* Take the cells of a finished block; parameters as isw_guide_add_block's, band_m as
 * isw_guide_new_table's. */
void isw_guide_add_region_block(struct isw_region_grid *region, const struct isw_block *block,
                                int plan_index, const float *height_m, double band_m, int n_found,
                                const struct isw_district_cells *found);
/* When the table's areas are settled: which each cell lies in. */
void isw_guide_settle_region(struct isw_region_grid *region, const struct isw_guide_areas *areas);

/* Column and row in the full grid of the cell behind a cell here. */
void isw_guide_full_cell(const struct isw_region_grid *region, int cell, int *col, int *row);

/* The cell here that is most like its area: whose best days and scores lie nearest to the area's
 * medians, over the seasons, each of the type to choose in it (all types, where there is nothing to
 * choose in any). -1: none of its cells is here. */
int isw_guide_typical_cell(const struct isw_region_grid *region,
                           const struct isw_district_table *table, int area);

#endif

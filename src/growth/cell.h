/* The whole model for one place: 24 normals in, a result per variety and season out. This is the
 * one door for rasters, and for `site` where it wants the rasters' numbers. */
#ifndef ISW_GROWTH_CELL_H
#define ISW_GROWTH_CELL_H

#include "growth/pick.h"

/* Memory of one worker for one plan, to be started once before its first cell. */
struct isw_growth_workspace {
  struct isw_year year;
  struct isw_programme_sums sums;
  struct isw_scores scores;
};

void isw_growth_start_workspace(const struct isw_plan *plan,
                                struct isw_growth_workspace *workspace);

/* results: plan->n_varieties * plan->n_seasons entries. normals must be finite. */
void isw_growth_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                     struct isw_growth_workspace *workspace, struct isw_result *results);

#endif

/* The whole model for one place: 24 normals in, a result per variety and season out. This is the
 * one door for rasters, and for `site` where it wants the rasters' numbers. */
#ifndef ISW_GROWTH_CELL_H
#define ISW_GROWTH_CELL_H

#include "growth/pick.h"

/* Memory of one worker. Give each worker its own; contents need no initialisation. */
struct isw_growth_workspace {
  struct isw_year year;
  struct isw_programme_sums sums;
  struct isw_scores scores;
};

/* results: plan->n_varieties * plan->n_seasons entries. normals must be finite. */
void isw_growth_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                     struct isw_growth_workspace *workspace, struct isw_result *results);

#endif

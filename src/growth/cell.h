/* The whole model for one place: 24 normals in, a result per variety and season out. This is the
 * one door for rasters, and for `site` where it wants the rasters' numbers.
 *
 * Scores are within 0.05 of those of growth/sowing.h, which follows one sowing day through its
 * stages in double precision; best days and windows are the same except where a day lies within
 * that of a threshold or of another best day, or a stage within 1e-4 days of its end. The same
 * bytes on any processor. */
#ifndef ISW_GROWTH_CELL_H
#define ISW_GROWTH_CELL_H

#include "growth/kernel.h"
#include "growth/pick.h"

/* Memory of one worker for one plan (about 1.5 MB, of which a common sheet touches a fifth), to be
 * started once before its first cell, and not copied after. */
struct isw_growth_workspace {
  const struct isw_kernel_routines *routines;
  struct isw_kernel_program program;
  unsigned char tables[sizeof(struct isw_kernel_tables) + 64]; /* used from a multiple of 64 on */
};

void isw_growth_start_workspace(const struct isw_plan *plan,
                                struct isw_growth_workspace *workspace);

/* results: plan->n_varieties * plan->n_seasons entries. normals must be finite. */
void isw_growth_cell(const struct isw_plan *plan, const struct isw_normals *normals, bool south,
                     struct isw_growth_workspace *workspace, struct isw_result *results);

#endif

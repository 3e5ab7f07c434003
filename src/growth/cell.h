/* The whole model for one place: 24 normals in; out come a result per variety and season and, on
 * demand, every sowing day of one programme and the stages of one sowing day. This is the room's
 * one door: all three are read from the same tables, so that card, chart and rasters cannot
 * disagree.
 *
 * Accuracy, against the plain way in double precision (tests/growth/plain_path.h): scores within
 * 0.05; fits, survive and stay within 1e-4; days and codes the same except where a day lies within
 * that of a threshold or of another best day, or a stage within 1e-4 days of its end; years the
 * same except where that is so in one of the ten years. Tested on normals from -60 to 60 degC with
 * swings of 0 to 90 K within a day and 80 K within a year, on any sheet with ramps of 1 K and more.
 * The same bytes on any processor. */
#ifndef ISW_GROWTH_CELL_H
#define ISW_GROWTH_CELL_H

#include "growth/daily_curve.h"
#include "growth/plan.h"
#include "growth/result.h"
#include "growth/workspace.h"

/* Make the plan's tables in *workspace, which the caller owns and which needs no release. Any plan
 * of isw_growth_make_plan; it is not needed after. */
void isw_growth_start_workspace(const struct isw_plan *plan,
                                struct isw_growth_workspace *workspace);

/* The place's results (method, equations 1-15). results: plan->n_varieties * plan->n_seasons
 * entries, laid out as isw_growth_result_index says. normals: degC, finite. south: southern
 * seasons. */
void isw_growth_cell(struct isw_growth_workspace *workspace, const struct isw_normals *normals,
                     bool south, struct isw_result *results);

/* Every sowing day of one of the plan's programmes (0..n_programmes-1); normals as above. */
void isw_growth_score_year(struct isw_growth_workspace *workspace,
                           const struct isw_normals *normals, int programme,
                           struct isw_scores *out);

/* One sowing day (0..364) of one of the plan's programmes, stage by stage; the rest as above. */
void isw_growth_follow_sowing(struct isw_growth_workspace *workspace,
                              const struct isw_normals *normals, int programme, int sow_day,
                              struct isw_sowing *out);

#endif

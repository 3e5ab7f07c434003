/* Answers about sowing on one date, and planting plans, as JSON; null where there is no date.
 *
 *   {"isosow": version, "crop": id, "sow": "MM-DD", "places": [{"name", "lat", "lon", "hemisphere",
 *     "period", "season": id, "start": "nursery", "type": variety, "next_window": {"variety",
 *     "season", "sow_from", "sow_to"}, "sowings": [{"variety", "score", "years", "good",
 *     "transplant", "harvest", "growing_days", "limit", "frost_risk", "bolt_risk"}]}]}
 *   {"isosow": version, "crop": id, "cut": {"from", "to"}, "every": days, "places": [{...,
 *     "cuts": [{"cut", "variety", "sow", "transplant", "harvest", "years"}]}]} */
#ifndef ISW_OUTPUT_DAYS_JSON_H
#define ISW_OUTPUT_DAYS_JSON_H

#include <glib.h>

#include "survey/planting_plan.h"

/* A start, then place by place, then isw_output_append_json_end. first: no comma before it. Days
 * 0..364; every: days; cuts: n, as isw_survey_plan_cuts gives them. */
void isw_output_append_sowing_start(GString *out, const struct isw_plan *plan, int day);
void isw_output_append_sowing_place(GString *out, const struct isw_place_days *days, int day,
                                    bool first);

void isw_output_append_cuts_start(GString *out, const struct isw_plan *plan, int from_day,
                                  int to_day, int every);
void isw_output_append_cuts_place(GString *out, const struct isw_place_days *days, int n,
                                  const struct isw_planned_cut *cuts, bool first);

#endif

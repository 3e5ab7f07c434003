/* Which variety to choose in a season (method, equation 16). */
#ifndef ISW_GROWTH_PICK_H
#define ISW_GROWTH_PICK_H

#include "growth/plan.h"
#include "growth/result.h"

struct isw_pick {
  int variety; /* sheet index, or -1: none */
  bool risky;
};

enum {
  ISW_PICK_WINDOW_DAYS = 7,
  ISW_PICK_RISKY_YEARS = 3,    /* of the best day, where no variety has a window */
  ISW_PICK_RISKY_TENTHS = 500, /* instead, where years are not counted */
  ISW_PICK_RISKY_CODE = 100
};

/* In the season's order of preference: the first variety with a window of ISW_PICK_WINDOW_DAYS or
 * more; else the first with any window; else, risky, the one whose best day has the most years,
 * then the highest score, if it is worth a risk; else none. results: the cell's, laid out as
 * isw_growth_result_index says. s: chosen season. */
struct isw_pick isw_growth_pick(const struct isw_plan *plan, int s,
                                const struct isw_result *results);

/* Without a window: does the best day succeed often enough for a risky pick? */
bool isw_growth_is_worth_a_risk(const struct isw_plan *plan, const struct isw_result *result);

/* The pick as rasters hold it: 0 none, 1.. variety in sheet order, 101.. the same but risky. */
int isw_growth_pick_code(struct isw_pick pick);

#endif

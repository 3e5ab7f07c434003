/* What `map --what-opens` makes beside the rest: per season a raster and a map of what opens it. */
#ifndef ISW_JOBS_OPENS_JOB_H
#define ISW_JOBS_OPENS_JOB_H

#include <glib.h>

#include "chart/map_page.h"
#include "output/folder.h"
#include "survey/opens_map.h"

struct isw_opens_job;

/* The names of its results, appended (new strings). pages: with the maps. */
void isw_jobs_list_opens(const struct isw_plan *plan, bool pages, GPtrArray *names);

/* plan is borrowed and must outlive it; the rasters are created in the folder. *out is new, to be
 * freed. Statuses of rasters and cell areas. */
enum isw_status isw_jobs_new_opens(const struct isw_plan *plan, const struct isw_grid *grid,
                                   const char *period, struct isw_folder *folder,
                                   struct isw_opens_job **out, struct isw_error *error);
void isw_jobs_free_opens(struct isw_opens_job *opens); /* takes NULL */

/* The plans of the run, the one as it is first; borrowed. */
const struct isw_plan *const *isw_jobs_opens_plans(const struct isw_opens_job *opens, int *n);

/* Areas of what opens each chosen season; borrowed, complete after the run. */
const struct isw_opens_tally *isw_jobs_opens_tallies(const struct isw_opens_job *opens);

/* One chosen season's share of a finished block: a sink job of its own. ISW_OUTPUT. */
enum isw_status isw_jobs_do_opens_job(struct isw_opens_job *opens, const struct isw_block *block,
                                      int s, struct isw_error *error);

/* Close and check the rasters; then draw the maps, unless pages is false. */
enum isw_status isw_jobs_finish_opens(struct isw_opens_job *opens, bool pages,
                                      const struct isw_map_page *page, struct isw_error *error);

#endif

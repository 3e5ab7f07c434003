/* Computing one part of a map run. */
#ifndef ISW_JOBS_PART_JOB_H
#define ISW_JOBS_PART_JOB_H

#include "jobs/map_job.h"
#include "output/part_file.h"
#include "output/part_run.h"

/* "K/N", or "auto": which task of a Slurm job array this is (its environment variables). ISW_USAGE.
 */
enum isw_status isw_jobs_parse_part(const char *text, int *number, int *of,
                                    struct isw_error *error);

/* What blocks of a plan on a grid consist of. */
struct isw_part_shape isw_jobs_part_shape(const struct isw_grid *grid, const struct isw_plan *plan);

/* "Only N blocks": ISW_USAGE, when a grid has fewer blocks than parts are asked for. */
enum isw_status isw_jobs_check_parts(const struct isw_grid *grid, int of, struct isw_error *error);

/* After isw_jobs_open_map_inputs: compute the part into the results folder's parts. A part that is
 * there already, whole and of this run, is left as it is, so that a task may be run again.
 * ISW_USAGE_EXISTS: a part of another run, or finished results, are there and overwrite is not set.
 */
enum isw_status isw_jobs_compute_part(struct isw_map_job *job, int number, int of,
                                      struct isw_error *error);

#endif

/* isosow normals of a grid; the other half of the call is src/jobs/normals_job.c. */
#ifndef ISW_JOBS_NORMALS_GRID_H
#define ISW_JOBS_NORMALS_GRID_H

#include "jobs/request.h"

/* Series --tmin and --tmax to rasters in --out; answers with a summary. ISW_USAGE,
 * ISW_USAGE_EXISTS, ISW_INPUT_*, ISW_OUTPUT, ISW_RESOURCES, ISW_INTERRUPTED. */
enum isw_status isw_jobs_make_grid_normals(const struct isw_request *request,
                                           struct isw_error *error);

#endif

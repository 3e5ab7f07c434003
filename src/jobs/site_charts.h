/* `site --charts`: the year at every place, a file each. */
#ifndef ISW_JOBS_SITE_CHARTS_H
#define ISW_JOBS_SITE_CHARTS_H

#include "jobs/request.h"
#include "survey/place.h"

struct isw_charts_request {
  const struct isw_request *request;
  int n_crops;
  struct isw_plan *const *plans;
  int n_sites;
  const struct isw_site *sites; /* those without data have no chart */
  bool fahrenheit;
};

/* Draws them into a temporary folder in the folder that is asked for, which is made where it is not
 * there, and puts them in place when all are drawn. Of several crops names begin with the crop's.
 * ISW_USAGE_EXISTS: one is there, and not to be replaced. ISW_OUTPUT, ISW_RESOURCES,
 * ISW_INTERRUPTED: none is there. */
enum isw_status isw_jobs_write_charts(const struct isw_charts_request *charts,
                                      struct isw_error *error);

#endif

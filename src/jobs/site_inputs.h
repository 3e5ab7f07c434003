/* The places that `site` is asked about: a point of a grid, stations of a table, or those of a
 * record. */
#ifndef ISW_JOBS_SITE_INPUTS_H
#define ISW_JOBS_SITE_INPUTS_H

#include "climate/station_record.h"
#include "climate/stations.h"
#include "jobs/run_inputs.h"
#include "survey/place.h"

struct isw_site_inputs {
  int count;
  struct isw_site *sites;
  char *note;                    /* a remark on a single place, or NULL */
  struct isw_stations *stations; /* what the sites point into; or */
  char *texts[4];                /* name, lat, lon, period of a point; or */
  struct isw_record *record;     /* NULL: none */
  char *record_period;
};

/* What the options ask about. *out is to be freed. ISW_USAGE: options, names, the point;
 * ISW_INPUT_*: the grid or the table. */
enum isw_status isw_jobs_read_sites(const struct isw_options *options, struct isw_log *log,
                                    struct isw_site_inputs *out, struct isw_error *error);
/* Release what inputs holds; the struct is the caller's. */
void isw_jobs_free_sites(struct isw_site_inputs *inputs);

#endif

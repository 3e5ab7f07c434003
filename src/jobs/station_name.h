/* Which station of a table is meant by a name as people type it. */
#ifndef ISW_JOBS_STATION_NAME_H
#define ISW_JOBS_STATION_NAME_H

#include "base/status.h"

/* Index of the one of n names (UTF-8) that is `wanted`; else, letters' case aside, of the only one
 * that is; else of the only one that holds it as a part. ISW_USAGE: there is none (the message
 * names one of a near spelling) or several (it lists them); file is what messages call the table.
 */
enum isw_status isw_jobs_find_station(const char *wanted, int n, const char *const *names,
                                      const char *file, int *index, struct isw_error *error);

#endif

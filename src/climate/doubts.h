/* What a look at the values alone makes doubtful: the annual cycle against the hemisphere, a cycle
 * too rough for months in order, months that are copies or one value, two sources that look
 * exchanged or are the same. */
#ifndef ISW_CLIMATE_DOUBTS_H
#define ISW_CLIMATE_DOUBTS_H

#include "base/log.h"
#include "climate/source.h"

/* Adds to source->doubts, from its sample. */
void isw_climate_doubt_cycle(struct isw_source *source);

/* ISW_INPUT_DOUBT when the sample of tmin lies mostly above that of tmax, or equals it. Warns log
 * when the months of one run after those of the other. */
enum isw_status isw_climate_doubt_pair(const struct isw_source *tmin, struct isw_source *tmax,
                                       struct isw_log *log, struct isw_error *error);

#endif

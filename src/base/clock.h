/* The clock, as results may show it. */
#ifndef ISW_BASE_CLOCK_H
#define ISW_BASE_CLOCK_H

#include "base/status.h"

/* Seconds since 1970: SOURCE_DATE_EPOCH (reproducible-builds.org) where isw_base_check_clock takes
 * it, else the system's clock. */
long long isw_base_now(void);

/* Seconds since 1970 for a file that must state a time, yet be the same bytes of the same inputs:
 * SOURCE_DATE_EPOCH where isw_base_check_clock takes it, else 0. */
long long isw_base_stated_time(void);

/* ISW_USAGE: SOURCE_DATE_EPOCH is set, and neither empty nor seconds [0, 253402300799], the last
 * one of the year 9999; the specification wants that refused. */
enum isw_status isw_base_check_clock(struct isw_error *error);

#endif

/* The clock, as results may show it. */
#ifndef ISW_BASE_CLOCK_H
#define ISW_BASE_CLOCK_H

/* Seconds since 1970: SOURCE_DATE_EPOCH (reproducible-builds.org) where it is set to a whole number
 * of 0 or more, else the system's clock. */
long long isw_base_now(void);

#endif

/* Seasons as days of the year, and runs of good days (method, equations 14 and 15). */
#ifndef ISW_GROWTH_WINDOWS_H
#define ISW_GROWTH_WINDOWS_H

#include "growth/result.h"

/* The season's sowing dates in this hemisphere, 0..364 inclusive. south: southern dates. */
struct isw_window isw_growth_season_days(const struct isw_season *season, bool south);

/* The whole run of good days around `day` (which must be good); all good: 0..364, 365 days. */
struct isw_window isw_growth_run_around(const bool good[ISW_YEAR_DAYS], int day);

#endif

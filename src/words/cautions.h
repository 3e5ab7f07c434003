/* What is said on every report, whatever it reports. All texts are new. */
#ifndef ISW_WORDS_CAUTIONS_H
#define ISW_WORDS_CAUTIONS_H

#include "growth/plan.h"

enum { ISW_OLD_NORMALS_YEARS = 20 };

/* The cautions one by one, NULL past the last: the average year, what nothing here knows, frost
 * odds, labels, raw manure, nursery (where there is one), frozen produce. index: 0 and on. New. */
enum { ISW_CAUTION_MANURE = 4 };
char *isw_words_caution(const struct isw_plan *plan, int index);

/* "Normals of 1991-2020.", "Normals, period not stated." (period NULL). New. */
char *isw_words_normals(const char *period);
/* That they end more than ISW_OLD_NORMALS_YEARS before this year. New; NULL: they do not. */
char *isw_words_old_normals(const char *period, int this_year);

/* The year a period ends in ("1991-2020": 2020), or 0. NULL is no period. */
int isw_words_period_end(const char *period);

#endif

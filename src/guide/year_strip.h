/* A region's year as one strip, for page and print: from January, where most of the guide lies in
 * the south from July, so that seasons stand in their order. */
#ifndef ISW_GUIDE_YEAR_STRIP_H
#define ISW_GUIDE_YEAR_STRIP_H

#include "guide/guide_facts.h"

struct isw_year_run {
  int variety;  /* sheet index */
  int from, to; /* days since the strip's first day, inclusive */
};
struct isw_year_strip {
  int first_month, first_day; /* of the strip: month 0..11, day 0..364 */
  bool has_data;              /* the region has cells with climate data */
  int n_runs, n_best;
  struct isw_year_run runs[ISW_YEAR_DAYS]; /* in order of date */
  int best[ISW_SEASONS_MAX]; /* best days of the seasons' types to choose, days since the first */
};

/* region: as in district_table.h. A risky type has no best day here, nor one whose median
 * is no date of the strip. */
void isw_guide_make_strip(const struct isw_guide_facts *facts, int region,
                          struct isw_year_strip *out);

/* "26 Jul-7 Aug Late storage type, to 14 Aug Standard type.", or that there is none. New. */
char *isw_guide_strip_words(const struct isw_guide_facts *facts,
                            const struct isw_year_strip *strip);

#endif

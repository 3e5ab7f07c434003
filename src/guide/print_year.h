/* The year by district, as a picture: when to sow what. */
#ifndef ISW_GUIDE_PRINT_YEAR_H
#define ISW_GUIDE_PRINT_YEAR_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

struct isw_guide_year {
  const struct isw_guide_facts *facts;
  double stretch; /* of the lines' height, 1 and more */
};

/* A line for each district and season: a bar from the middle first day of the window of the type to
 * choose to its middle last day, a mark on the best day. Goes over the page's end where there are
 * more districts than fit. self: struct isw_guide_year. */
void isw_guide_print_year(struct isw_print *print, const void *self);

#endif

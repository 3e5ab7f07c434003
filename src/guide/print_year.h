/* The year as one strip: which type can be sown on which date. */
#ifndef ISW_GUIDE_PRINT_YEAR_H
#define ISW_GUIDE_PRINT_YEAR_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

struct isw_guide_year {
  const struct isw_guide_facts *facts;
  int first, n;   /* districts */
  bool words;     /* the types with their dates below each strip */
  bool alone;     /* one district that its page is about: no heading, no name */
  double stretch; /* of the strips' height, 1 and more */
};

/* A strip for each district, from January (in the south July) on: on each date the type that most
 * of the area can sow, a mark on the best day of each season; then the key. Goes over the page's
 * end where there are more districts than fit. self: struct isw_guide_year. */
void isw_guide_print_year(struct isw_print *print, const void *self);

#endif

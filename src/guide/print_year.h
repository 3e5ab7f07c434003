/* The year as one strip: which type can be sown on which date. */
#ifndef ISW_GUIDE_PRINT_YEAR_H
#define ISW_GUIDE_PRINT_YEAR_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

struct isw_guide_year {
  const struct isw_guide_facts *facts;
  int first, n;   /* areas */
  bool words;     /* the types with their dates below each strip */
  bool alone;     /* one area that its page is about: no heading, no name */
  bool tight;     /* strips as low as can be read, names in small letters */
  double stretch; /* of the strips' height, 1 and more */
};

/* A strip for each area, from January (in the south July) on: on each date the type that most of it
 * can sow, a mark on the best day of each season; then the key. The district's name stands once,
 * its heights at their strips. Goes over the page's end where there are more than fit; a heading
 * says where the first is not the guide's first. self: struct isw_guide_year. */
void isw_guide_print_year(struct isw_print *print, const void *self);

/* How many of year->n strips fit, with heading and key, in room_mm of an empty part of a page. */
int isw_guide_count_strips(struct isw_print *print, const struct isw_guide_year *year,
                           double room_mm);

#endif

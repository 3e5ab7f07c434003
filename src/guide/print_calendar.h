/* The printed calendar of one typical place. */
#ifndef ISW_GUIDE_PRINT_CALENDAR_H
#define ISW_GUIDE_PRINT_CALENDAR_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

/* Kept whole on its page. district: index of the set's. */
void isw_guide_print_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                              const struct isw_guide_site *site);
/* Where it stands; goes over the page's end. */
void isw_guide_draw_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                             const struct isw_guide_site *site);

#endif

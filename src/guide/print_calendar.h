/* The printed calendar of one typical place. */
#ifndef ISW_GUIDE_PRINT_CALENDAR_H
#define ISW_GUIDE_PRINT_CALENDAR_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

/* Kept whole on its page; beside the heading a code that opens the place on the page. */
void isw_guide_print_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                              const struct isw_guide_site *site);
/* Where it stands, without the code; goes over the page's end. */
void isw_guide_draw_calendar(struct isw_print *print, const struct isw_guide_facts *facts,
                             const struct isw_guide_site *site);

#endif

/* Where the educator publishes the page, and how a print leads there: in words with the imprint,
 * and as a QR code that opens a place's card. */
#ifndef ISW_GUIDE_PAGE_LINK_H
#define ISW_GUIDE_PAGE_LINK_H

#include "chart/pen.h"
#include "guide/guide_facts.h"
#include "guide/print_page.h"

/* "https://...#at=43.9400,-149.6200", in a guide of several crops with "&crop=broccoli"; site NULL,
 * or without climate data: the page as it opens. New; NULL: it is published nowhere. */
char *isw_guide_page_link(const struct isw_guide_facts *facts, const struct isw_guide_site *site);

/* The link as a code, with a line below it that says what it opens; its right edge at right_mm, its
 * upper at the place of the print's next thing, which stays. A module is at least 0.4 mm on paper,
 * however much the page is shrunk. Its size; 0 and nothing drawn without a link. */
struct isw_extent isw_guide_print_page_code(struct isw_print *print,
                                            const struct isw_guide_facts *facts,
                                            const struct isw_guide_site *site, double right_mm);

#endif

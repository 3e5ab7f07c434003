/* handouts.pdf: a page for each district, to be given away by itself. */
#ifndef ISW_GUIDE_PRINT_HANDOUTS_H
#define ISW_GUIDE_PRINT_HANDOUTS_H

#include "guide/guide_facts.h"

/* The strip of the year, the seasons, the dated work at the typical place, the cautions, on exactly
 * one page per district and crop, those of a district together: what would not fit is drawn
 * smaller. ISW_OUTPUT. */
enum isw_status isw_guide_write_handouts(int n, const struct isw_guide_facts *crops,
                                         const char *path, struct isw_error *error);

#endif

/* index.html: the guide as one self-contained page. */
#ifndef ISW_GUIDE_PAGE_FILE_H
#define ISW_GUIDE_PAGE_FILE_H

#include "guide/guide_facts.h"

/* A part for each of n crops of a region, the first shown until another is chosen. Written as path
 * stands (the caller renames). ISW_OUTPUT; ISW_INPUT_CONTENT as isw_guide_make_page_data. */
enum isw_status isw_guide_write_page(int n, const struct isw_guide_facts *crops, const char *path,
                                     struct isw_error *error);

#endif

/* The page's template as the build made it from src/guide/page/. */
#ifndef ISW_GUIDE_PAGE_TEXTS_H
#define ISW_GUIDE_PAGE_TEXTS_H

#include <stddef.h>

struct isw_page_text {
  const char *name;          /* "page.html"; NULL past the last */
  const unsigned char *text; /* NUL-terminated */
};

extern const struct isw_page_text isw_guide_page_texts[];

#endif

/* What cairo cannot write into a print's file: its language, and texts in place of figures. */
#ifndef ISW_GUIDE_PRINT_FILE_H
#define ISW_GUIDE_PRINT_FILE_H

#include <glib.h>

#include "base/status.h"

/* Complete a PDF whose structure isw_guide_begin_structure began: /Lang (BCP 47), /Alt of its
 * figures in their order (of char *), the title in the window's frame. The file is replaced; the
 * same input gives the same bytes. ISW_OUTPUT: it cannot be read or written; ISW_INTERNAL: it has
 * not as many figures as alternatives. */
enum isw_status isw_guide_complete_pdf(const char *path, const char *language,
                                       const GPtrArray *alternatives, struct isw_error *error);

#endif

/* How the real years of a named place went, for page and print: the sentences of the card. */
#ifndef ISW_GUIDE_RECORD_LINES_H
#define ISW_GUIDE_RECORD_LINES_H

#include <glib.h>

#include "guide/guide_facts.h"

/* A heading, what a year is, a line for each crop that the place's calendar names, and what a
 * record cannot say. brief: of each crop only the good years and what went wrong in the others.
 * New, g_ptr_array_unref; NULL: the place has no record. */
GPtrArray *isw_guide_record_lines(const struct isw_guide_facts *facts,
                                  const struct isw_guide_site *site, bool brief);

#endif

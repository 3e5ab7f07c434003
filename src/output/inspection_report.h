/* What a look at climate sources found, for people and as JSON. */
#ifndef ISW_OUTPUT_INSPECTION_REPORT_H
#define ISW_OUTPUT_INSPECTION_REPORT_H

#include <glib.h>

#include "climate/inspection.h"

/* One source: an inspection, or why it is refused. */
struct isw_finding {
  const char *src;
  struct isw_inspection *inspection; /* NULL: refused */
  struct isw_error error;
};

/* Append what `count` findings say. command: the command line that the sources make, NULL: none;
 * pair_error: why minimum and maximum do not go together, NULL: they do, or are not both there. */
void isw_output_append_inspection_text(GString *out, const struct isw_finding *findings, int count,
                                       const char *command, const struct isw_error *pair_error);
void isw_output_append_inspection_json(GString *out, const struct isw_finding *findings, int count,
                                       const char *command, const struct isw_error *pair_error);

#endif

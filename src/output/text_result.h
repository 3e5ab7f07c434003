/* A result that is text: a table, a style. */
#ifndef ISW_OUTPUT_TEXT_RESULT_H
#define ISW_OUTPUT_TEXT_RESULT_H

#include <glib.h>

#include "base/status.h"

/* Write text to path, in a run's temporary folder; an existing file is replaced. text is freed,
 * also after a failure. ISW_OUTPUT. */
enum isw_status isw_output_write_text(GString *text, const char *path, struct isw_error *error);

#endif

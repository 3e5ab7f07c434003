/* Inputs that must stay as they are while a run reads them: a record vouches for the bytes that the
 * numbers came from, or there is no record. */
#ifndef ISW_OUTPUT_INPUT_WATCH_H
#define ISW_OUTPUT_INPUT_WATCH_H

#include <glib.h>

#include "base/status.h"

struct isw_input_watch;

/* Note which files these names stand for; before they are opened to be read. New. */
struct isw_input_watch *isw_output_watch_inputs(int n, const char *const *paths);

/* After the last byte and the checksums were read. ISW_INPUT_FILE: a name stands for another file
 * now, or its file was written to; the message names it. */
enum isw_status isw_output_check_inputs(const struct isw_input_watch *watch,
                                        struct isw_error *error);
void isw_output_free_watch(struct isw_input_watch *watch); /* takes NULL */

/* Append the paths of the files of a vector or raster source, those beside it included, new texts;
 * none for a source that is no file. */
void isw_output_list_files_of(const char *source, GPtrArray *paths);

#endif

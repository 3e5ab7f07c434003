/* A single file that is whole or not there: written under a name that nobody can guess, in the same
 * folder, brought to the disk, and only then given its own name. */
#ifndef ISW_OUTPUT_WHOLE_FILE_H
#define ISW_OUTPUT_WHOLE_FILE_H

#include <stdio.h>

#include "base/status.h"

struct isw_whole_file;

/* Start a file that will be called path; its folder must be there. What killed writers of the same
 * name left beside it is removed. No link is followed, neither of the temporary name nor of the
 * final one. *out is new, to be finished or dropped. ISW_OUTPUT. */
enum isw_status isw_output_start_file(const char *path, struct isw_whole_file **out,
                                      struct isw_error *error);

/* To write to; not to be closed. */
FILE *isw_output_file_stream(struct isw_whole_file *file);

/* All is written: give it its name, instead of the file that had the name when it was started. The
 * file is gone afterwards, also when that failed. ISW_OUTPUT: the bytes did not all arrive, or
 * another file has taken the name meanwhile. */
enum isw_status isw_output_finish_file(struct isw_whole_file *file, struct isw_error *error);

/* Give up: nothing stays. Takes NULL. */
void isw_output_drop_file(struct isw_whole_file *file);

#endif

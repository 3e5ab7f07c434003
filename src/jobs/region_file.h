/* A region file: a command's options in YAML, so that next year's guide is one command. */
#ifndef ISW_JOBS_REGION_FILE_H
#define ISW_JOBS_REGION_FILE_H

#include "jobs/options.h"

/* Read "key: value" lines, the keys being the options of `guide` without their dashes, into
 * started options; paths are taken from the file's folder, an option that may be given several
 * times may be a list, numbers with commas between may be one, a flag is true or false, pairs are a
 * group of names with a text, or a list of paragraphs, each.
 * ISW_INPUT_FILE: cannot be read; ISW_INPUT_CONTENT: "file:line: ...". */
enum isw_status isw_jobs_read_region_file(const char *path, struct isw_options *options,
                                          struct isw_error *error);

#endif

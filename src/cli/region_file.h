/* A region file: a command's options in YAML, so that next year's guide is one command. */
#ifndef ISW_CLI_REGION_FILE_H
#define ISW_CLI_REGION_FILE_H

#include <glib.h>

#include "base/status.h"

/* Read "key: value" lines, the keys being the long options of `guide` without their dashes, and
 * append "--key=value" words (new strings); paths are taken from the file's folder. variety and
 * season may be lists, lapse-monthly one of numbers, overwrite and quiet true or false.
 * ISW_INPUT_FILE: cannot be read; ISW_INPUT_CONTENT: "file:line: ...". */
enum isw_status isw_cli_read_region_file(const char *path, GPtrArray *words,
                                         struct isw_error *error);

#endif

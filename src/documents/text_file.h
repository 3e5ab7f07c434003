/* The whole text of a file, up to a size, whatever hangs at the other end. */
#ifndef ISW_DOCUMENTS_TEXT_FILE_H
#define ISW_DOCUMENTS_TEXT_FILE_H

#include <stddef.h>
#include <stdio.h>

#include "base/status.h"

/* Refuses what is no file but would be read for ever, or never: pipes, sockets, devices. Other
 * names, also those of nothing, pass. ISW_INPUT_FILE. */
enum isw_status isw_documents_check_kind(const char *path, struct isw_error *error);

/* *text is new (g_free), ends with a NUL byte beyond *size, and holds at most most + 1 bytes: the
 * one more says that the file is larger. ISW_INPUT_FILE: a pipe or device, or
 * "path: cannot be opened" or read, and why.
 */
enum isw_status isw_documents_read_file(const char *path, size_t most, char **text, size_t *size,
                                        struct isw_error *error);

/* The same from an open stream; origin is what messages call it. ISW_INPUT_FILE: cannot be read. */
enum isw_status isw_documents_read_stream(FILE *stream, const char *origin, size_t most,
                                          char **text, size_t *size, struct isw_error *error);

#endif

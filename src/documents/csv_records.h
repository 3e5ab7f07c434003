/* Records of a CSV text after RFC 4180: quoted fields may hold commas, quotes and line breaks.
 * Stricter than most readers where leniency would hide a damaged file; keeps line numbers. */
#ifndef ISW_DOCUMENTS_CSV_RECORDS_H
#define ISW_DOCUMENTS_CSV_RECORDS_H

#include <glib.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"

struct isw_csv_reader {
  const char *name; /* of the file, for messages */
  const char *at, *end;
  int line; /* of `at`, 1-based */
};

/* A UTF-8 byte order mark is skipped. */
struct isw_csv_reader isw_documents_start_csv(const char *name, const char *text, size_t length);

/* Next record that is not a blank line: fields (char *, cleared first) and the line it starts on.
 * *more is false at the end. ISW_INPUT_CONTENT: a quote inside or behind a field, an open quote at
 * the end, a NUL byte. */
enum isw_status isw_documents_next_record(struct isw_csv_reader *reader, GPtrArray *fields,
                                          int *line, bool *more, struct isw_error *error);

#endif

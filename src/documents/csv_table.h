/* Tables of CSV with a first line that names the columns: what station tables and published
 * calendars have in common. `name` is the file's, for messages. */
#ifndef ISW_DOCUMENTS_CSV_TABLE_H
#define ISW_DOCUMENTS_CSV_TABLE_H

#include <glib.h>
#include <stddef.h>

#include "base/status.h"

/* The text of a table file, at most 32 MB of it; new, g_free. ISW_INPUT_FILE: cannot be read, or
 * larger. */
enum isw_status isw_documents_load_table(const char *path, char **text, size_t *length,
                                         struct isw_error *error);

/* Takes a record: its fields (char *, UTF-8) and the line it starts on. */
typedef enum isw_status isw_csv_take(void *into, const GPtrArray *fields, int line,
                                     struct isw_error *error);

/* First record to `header`, each further one to `row`, until one of them fails; rows have as many
 * fields as the header. ISW_INPUT_CONTENT "name:line: ...": not so, not UTF-8, not CSV; else what
 * `header` and `row` return. */
enum isw_status isw_documents_read_table(const char *name, const char *text, size_t length,
                                         isw_csv_take *header, isw_csv_take *row, void *into,
                                         struct isw_error *error);

/* Where a column of this name (lower case, no blanks around it) is kept, or NULL: not wanted. */
typedef int *isw_csv_slot(void *columns, const char *name);

/* Index of each wanted column into its slot; slots must be -1 before. ISW_INPUT_CONTENT: a column
 * is there twice. */
enum isw_status isw_documents_find_columns(const char *name, const GPtrArray *fields, int line,
                                           isw_csv_slot *slot, void *columns,
                                           struct isw_error *error);

/* The same for n columns that must all be there, by their names; columns[i] is that of names[i].
 * ISW_INPUT_CONTENT: one is missing (the message lists all of them), or there twice. */
enum isw_status isw_documents_find_all_columns(const char *name, const GPtrArray *fields, int line,
                                               int n, const char *const *names, int *columns,
                                               struct isw_error *error);

#endif

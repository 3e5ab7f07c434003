#include "climate/csv_table.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <stdio.h>

#include "climate/csv_records.h"

/* 200000 stations and more, and at most some hundred MB of memory whatever is in the file. */
enum { FILE_BYTES_MAX = 32 * 1024 * 1024 };

/* Never more than one byte past the largest table, whatever hangs at the other end of a pipe. */
enum isw_status isw_climate_load_table(const char *path, char **text, size_t *length,
                                       struct isw_error *error) {
  FILE *file = g_fopen(path, "rb");
  if (file == NULL) return isw_base_fail(error, ISW_INPUT_FILE, "%s: %s", path, g_strerror(errno));
  GString *read = g_string_new(NULL);
  char chunk[16384];
  size_t got;
  errno = 0;
  while (read->len <= FILE_BYTES_MAX && (got = fread(chunk, 1, sizeof chunk, file)) > 0)
    g_string_append_len(read, chunk, (gssize)got);
  enum isw_status status = ISW_OK;
  if (ferror(file))
    status = isw_base_fail(error, ISW_INPUT_FILE, "%s: %s", path, g_strerror(errno));
  else if (read->len > FILE_BYTES_MAX)
    status = isw_base_fail(error, ISW_INPUT_FILE, "%s: more than %d MB is too large for a table",
                           path, FILE_BYTES_MAX / (1024 * 1024));
  fclose(file);
  *length = read->len;
  *text = g_string_free(read, status != ISW_OK);
  return status;
}

static enum isw_status check_fields(const char *name, const GPtrArray *fields, int line,
                                    guint columns, struct isw_error *error) {
  for (guint i = 0; i < fields->len; i++)
    if (!g_utf8_validate(g_ptr_array_index(fields, i), -1, NULL))
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: field %u is not UTF-8\nSave the table as UTF-8", name, line,
                           i + 1);
  if (fields->len == columns) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: %u fields, but the first line names %u columns", name, line,
                       fields->len, columns);
}

enum isw_status isw_climate_read_table(const char *name, const char *text, size_t length,
                                       isw_csv_take *header, isw_csv_take *row, void *into,
                                       struct isw_error *error) {
  struct isw_csv_reader reader = isw_climate_start_csv(name, text, length);
  GPtrArray *fields = g_ptr_array_new_with_free_func(g_free);
  bool more = true, first = true;
  int line = 0;
  guint columns = 0;
  enum isw_status status = ISW_OK;
  while (status == ISW_OK) {
    status = isw_climate_next_record(&reader, fields, &line, &more, error);
    if (status != ISW_OK || !more) break;
    if (first) columns = fields->len;
    status = check_fields(name, fields, line, columns, error);
    if (status == ISW_OK) status = (first ? header : row)(into, fields, line, error);
    first = false;
  }
  g_ptr_array_free(fields, TRUE);
  return status;
}

enum isw_status isw_climate_find_columns(const char *name, const GPtrArray *fields, int line,
                                         isw_csv_slot *slot, void *columns,
                                         struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (guint i = 0; i < fields->len && status == ISW_OK; i++) {
    char *title = g_strstrip(g_ascii_strdown(g_ptr_array_index(fields, i), -1));
    int *place = slot(columns, title);
    if (place != NULL && *place >= 0)
      status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: column %s is there twice", name,
                             line, title);
    else if (place != NULL)
      *place = (int)i;
    g_free(title);
  }
  return status;
}

#include "documents/csv_table.h"

#include <string.h>

#include "documents/csv_records.h"
#include "documents/text_file.h"

/* 200000 stations and more, and at most some hundred MB of memory whatever is in the file. */
enum { FILE_BYTES_MAX = 32 * 1024 * 1024 };

enum isw_status isw_documents_load_table(const char *path, char **text, size_t *length,
                                         struct isw_error *error) {
  enum isw_status status = isw_documents_read_file(path, FILE_BYTES_MAX, text, length, error);
  if (status != ISW_OK || *length <= FILE_BYTES_MAX) return status;
  g_free(*text);
  *text = NULL;
  return isw_base_fail(error, ISW_INPUT_FILE, "%s: more than %d MB is too large for a table", path,
                       FILE_BYTES_MAX / (1024 * 1024));
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

enum isw_status isw_documents_read_table(const char *name, const char *text, size_t length,
                                         isw_csv_take *header, isw_csv_take *row, void *into,
                                         struct isw_error *error) {
  struct isw_csv_reader reader = isw_documents_start_csv(name, text, length);
  GPtrArray *fields = g_ptr_array_new_with_free_func(g_free);
  bool more = true, first = true;
  int line = 0;
  guint columns = 0;
  enum isw_status status = ISW_OK;
  while (status == ISW_OK) {
    status = isw_documents_next_record(&reader, fields, &line, &more, error);
    if (status != ISW_OK || !more) break;
    if (first) columns = fields->len;
    status = check_fields(name, fields, line, columns, error);
    if (status == ISW_OK) status = (first ? header : row)(into, fields, line, error);
    first = false;
  }
  g_ptr_array_free(fields, TRUE);
  return status;
}

enum isw_status isw_documents_find_columns(const char *name, const GPtrArray *fields, int line,
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

struct named_columns {
  int n;
  const char *const *names;
  int *columns;
};

static int *named_slot(void *into, const char *title) {
  const struct named_columns *wanted = into;
  for (int i = 0; i < wanted->n; i++)
    if (strcmp(title, wanted->names[i]) == 0) return &wanted->columns[i];
  return NULL;
}

enum isw_status isw_documents_find_all_columns(const char *name, const GPtrArray *fields, int line,
                                               int n, const char *const *names, int *columns,
                                               struct isw_error *error) {
  struct named_columns wanted = {n, names, columns};
  GString *all = g_string_new(NULL);
  for (int i = 0; i < n; i++) {
    columns[i] = -1;
    g_string_append_printf(all, "%s%s", i > 0 ? "," : "", names[i]);
  }
  enum isw_status status =
      isw_documents_find_columns(name, fields, line, named_slot, &wanted, error);
  for (int i = 0; i < n && status == ISW_OK; i++)
    if (columns[i] < 0)
      status = isw_base_fail(error, ISW_INPUT_CONTENT,
                             "%s:%d: no column %s\nThe first line names the columns: %s", name,
                             line, names[i], all->str);
  g_string_free(all, TRUE);
  return status;
}

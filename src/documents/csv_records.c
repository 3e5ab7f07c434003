#include "documents/csv_records.h"

#include <string.h>

struct isw_csv_reader isw_documents_start_csv(const char *name, const char *text, size_t length) {
  static const char mark[] = "\xef\xbb\xbf";
  size_t skip = length >= 3 && memcmp(text, mark, 3) == 0 ? 3 : 0;
  return (struct isw_csv_reader){.name = name, .at = text + skip, .end = text + length, .line = 1};
}

static bool at_break(const struct isw_csv_reader *reader) {
  return reader->at < reader->end && (*reader->at == '\n' || *reader->at == '\r');
}

/* CRLF, LF or a lone CR. */
static void skip_break(struct isw_csv_reader *reader) {
  if (*reader->at == '\r' && reader->at + 1 < reader->end && reader->at[1] == '\n') reader->at++;
  reader->at++;
  reader->line++;
}

static enum isw_status read_quoted(struct isw_csv_reader *reader, GString *field,
                                   struct isw_error *error) {
  int opened = reader->line;
  reader->at++;
  for (;;) {
    if (reader->at >= reader->end)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: a quote is opened here and never closed", reader->name, opened);
    if (*reader->at == '"') {
      reader->at++;
      if (reader->at >= reader->end || *reader->at != '"') return ISW_OK;
    } else if (at_break(reader)) {
      g_string_append_c(field, '\n');
      skip_break(reader);
      continue;
    }
    g_string_append_c(field, *reader->at++);
  }
}

static enum isw_status read_field(struct isw_csv_reader *reader, GString *field,
                                  struct isw_error *error) {
  g_string_truncate(field, 0);
  bool quoted = reader->at < reader->end && *reader->at == '"';
  if (quoted) {
    enum isw_status status = read_quoted(reader, field, error);
    if (status != ISW_OK) return status;
  }
  while (reader->at < reader->end && *reader->at != ',' && !at_break(reader)) {
    if (quoted || *reader->at == '"')
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: %s\nPut the whole field into quotes and double the quotes "
                           "inside it",
                           reader->name, reader->line,
                           quoted ? "text follows a closing quote" : "a quote inside a field");
    g_string_append_c(field, *reader->at++);
  }
  return ISW_OK;
}

enum isw_status isw_documents_next_record(struct isw_csv_reader *reader, GPtrArray *fields,
                                          int *line, bool *more, struct isw_error *error) {
  g_ptr_array_set_size(fields, 0);
  while (at_break(reader)) skip_break(reader);
  *more = reader->at < reader->end;
  *line = reader->line;
  if (!*more) return ISW_OK;
  GString *field = g_string_new(NULL);
  enum isw_status status = ISW_OK;
  for (bool another = true; another && status == ISW_OK;) {
    status = read_field(reader, field, error);
    if (status == ISW_OK && memchr(field->str, '\0', field->len) != NULL)
      status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: a NUL byte; this is not a text file",
                             reader->name, reader->line);
    g_ptr_array_add(fields, g_strdup(field->str));
    another = reader->at < reader->end && *reader->at == ',';
    if (another) reader->at++;
  }
  if (status == ISW_OK && at_break(reader)) skip_break(reader);
  g_string_free(field, TRUE);
  return status;
}

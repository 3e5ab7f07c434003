#define _DEFAULT_SOURCE /* S_ISSOCK */
#include "documents/text_file.h"

#include <errno.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdbool.h>
#include <sys/stat.h>

enum isw_status isw_documents_read_stream(FILE *stream, const char *origin, size_t most,
                                          char **text, size_t *size, struct isw_error *error) {
  GString *read = g_string_new(NULL);
  char chunk[16384];
  size_t got;
  errno = 0;
  while (read->len <= most && (got = fread(chunk, 1, sizeof chunk, stream)) > 0)
    g_string_append_len(read, chunk, (gssize)MIN(got, most + 1 - read->len));
  bool failed = ferror(stream) != 0;
  if (failed)
    isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read: %s", origin, g_strerror(errno));
  *size = failed ? 0 : read->len;
  *text = g_string_free(read, failed);
  return failed ? ISW_INPUT_FILE : ISW_OK;
}

enum isw_status isw_documents_check_kind(const char *path, struct isw_error *error) {
  GStatBuf about;
  if (g_stat(path, &about) != 0) return ISW_OK;
  bool odd = S_ISFIFO(about.st_mode) || S_ISSOCK(about.st_mode) || S_ISCHR(about.st_mode) ||
             S_ISBLK(about.st_mode);
  if (!odd) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_FILE,
                       "%s: is a %s, not a file; write what it gives into a file first", path,
                       S_ISFIFO(about.st_mode) || S_ISSOCK(about.st_mode) ? "pipe" : "device");
}

enum isw_status isw_documents_read_file(const char *path, size_t most, char **text, size_t *size,
                                        struct isw_error *error) {
  *text = NULL;
  *size = 0;
  enum isw_status kind = isw_documents_check_kind(path, error);
  if (kind != ISW_OK) return kind;
  FILE *file = g_fopen(path, "rb");
  if (file == NULL)
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be opened: %s; check the path", path,
                         g_strerror(errno));
  enum isw_status status = isw_documents_read_stream(file, path, most, text, size, error);
  fclose(file);
  return status;
}

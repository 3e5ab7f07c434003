#include <errno.h>
#include <glib.h>
#include <stdio.h>
#include <string.h>

#include "crop/sheet.h"
#include "crop/sheet_document.h"
#include "crop/sheet_nearest.h"

enum { BUILTINS_SHOWN_MAX = 64 };

static enum isw_status load_builtin(const char *name, struct isw_sheet **out,
                                    struct isw_error *error) {
  const char *names[BUILTINS_SHOWN_MAX];
  int n = 0;
  for (; n < BUILTINS_SHOWN_MAX && isw_crop_builtin_name(n) != NULL; n++) {
    names[n] = isw_crop_builtin_name(n);
    if (strcmp(names[n], name) != 0) continue;
    size_t size = 0;
    const char *text = isw_crop_builtin_text(n, &size);
    char *origin = g_strdup_printf("built-in %s", name);
    enum isw_status status = isw_crop_parse_sheet(text, size, origin, out, error);
    g_free(origin);
    return status;
  }
  const char *near = isw_crop_nearest_word(name, n, names);
  GString *all = g_string_new(NULL);
  for (int i = 0; i < n; i++) g_string_append_printf(all, "%s%s", i == 0 ? "" : ", ", names[i]);
  enum isw_status status =
      isw_base_fail(error, ISW_USAGE,
                    "no built-in crop sheet is called '%.200s'%s%s%s (built in: %s); for a file of "
                    "your own give a path with a '/' or an ending .yaml",
                    name, near == NULL ? "" : "; did you mean '", near == NULL ? "" : near,
                    near == NULL ? "" : "'?", all->str);
  g_string_free(all, TRUE);
  return status;
}

/* Everything from stream, but never more than one byte past the largest sheet: enough to refuse it,
 * whatever hangs at the other end. */
static enum isw_status read_stream(FILE *stream, const char *origin, GString *out,
                                   struct isw_error *error) {
  char chunk[16384];
  size_t got;
  errno = 0;
  while (out->len <= ISW_SHEET_BYTES_MAX && (got = fread(chunk, 1, sizeof chunk, stream)) > 0)
    g_string_append_len(out, chunk, (gssize)got);
  if (ferror(stream))
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read: %s", origin, strerror(errno));
  return ISW_OK;
}

static enum isw_status load_stream(FILE *stream, const char *origin, struct isw_sheet **out,
                                   struct isw_error *error) {
  GString *text = g_string_new(NULL);
  enum isw_status status = read_stream(stream, origin, text, error);
  if (status == ISW_OK) status = isw_crop_parse_sheet(text->str, text->len, origin, out, error);
  g_string_free(text, TRUE);
  return status;
}

enum isw_status isw_crop_load_sheet(const char *name_or_path, struct isw_sheet **out,
                                    struct isw_error *error) {
  *out = NULL;
  if (name_or_path == NULL || name_or_path[0] == '\0')
    return isw_base_fail(error, ISW_USAGE,
                         "no crop sheet named; give a built-in name, a path, or - for standard "
                         "input");
  if (strcmp(name_or_path, "-") == 0) return load_stream(stdin, "standard input", out, error);
  if (strchr(name_or_path, '/') == NULL && !g_str_has_suffix(name_or_path, ".yaml") &&
      !g_str_has_suffix(name_or_path, ".yml"))
    return load_builtin(name_or_path, out, error);
  FILE *file = fopen(name_or_path, "rb");
  if (file == NULL)
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be opened: %s; check the path",
                         name_or_path, strerror(errno));
  enum isw_status status = load_stream(file, name_or_path, out, error);
  fclose(file);
  return status;
}

#include <glib.h>
#include <string.h>

#include "crop/sheet.h"
#include "documents/nearest_word.h"
#include "documents/text_file.h"
#include "documents/yaml_document.h"

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
  const char *near = isw_documents_nearest_word(name, n, names);
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

enum isw_status isw_crop_load_sheet(const char *name_or_path, struct isw_sheet **out,
                                    struct isw_error *error) {
  *out = NULL;
  if (name_or_path == NULL || name_or_path[0] == '\0')
    return isw_base_fail(error, ISW_USAGE,
                         "no crop sheet named; give a built-in name, a path, or - for standard "
                         "input");
  bool from_stream = strcmp(name_or_path, "-") == 0;
  if (!from_stream && strchr(name_or_path, '/') == NULL &&
      !g_str_has_suffix(name_or_path, ".yaml") && !g_str_has_suffix(name_or_path, ".yml"))
    return load_builtin(name_or_path, out, error);
  const char *origin = from_stream ? "standard input" : name_or_path;
  char *text = NULL;
  size_t size = 0;
  enum isw_status status =
      from_stream
          ? isw_documents_read_stream(stdin, origin, ISW_YAML_BYTES_MAX, &text, &size, error)
          : isw_documents_read_file(origin, ISW_YAML_BYTES_MAX, &text, &size, error);
  if (status == ISW_OK) status = isw_crop_parse_sheet(text, size, origin, out, error);
  g_free(text);
  return status;
}

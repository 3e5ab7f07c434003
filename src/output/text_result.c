#include "output/text_result.h"

enum isw_status isw_output_write_text(GString *text, const char *path, struct isw_error *error) {
  GError *failure = NULL;
  enum isw_status status = ISW_OK;
  if (!g_file_set_contents(path, text->str, (gssize)text->len, &failure)) {
    status = isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path, failure->message);
    g_error_free(failure);
  }
  g_string_free(text, TRUE);
  return status;
}

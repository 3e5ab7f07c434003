#include "output/file_names.h"

#include <stdbool.h>
#include <string.h>

enum { NAME_BYTES_MOST = 100 };

/* "Old Mill (north)" to "old-mill-north". New. */
static char *plain_name(const char *name) {
  char *valid = g_utf8_make_valid(name, -1);
  char *composed = g_utf8_normalize(valid, -1, G_NORMALIZE_NFC);
  char *lower = g_utf8_strdown(composed != NULL ? composed : valid, -1);
  GString *out = g_string_new(NULL);
  bool gap = false;
  for (const char *c = lower; *c != '\0'; c = g_utf8_next_char(c)) {
    const gunichar letter = g_utf8_get_char(c);
    const bool counts = g_unichar_isalnum(letter) || g_unichar_ismark(letter);
    const gsize size = (gsize)(g_utf8_next_char(c) - c) + (gap ? 1 : 0);
    if (counts && out->len + size > NAME_BYTES_MOST) break;
    if (counts && gap && out->len > 0) g_string_append_c(out, '-');
    if (counts) g_string_append_unichar(out, letter);
    gap = !counts;
  }
  g_free(lower);
  g_free(composed);
  g_free(valid);
  if (out->len == 0) g_string_append(out, "station");
  return g_string_free(out, FALSE);
}

/* Names that are devices on Windows, whatever their ending. */
static bool is_device(const char *name) {
  static const char *const devices[] = {"con", "prn", "aux", "nul"};
  for (size_t i = 0; i < G_N_ELEMENTS(devices); i++)
    if (strcmp(name, devices[i]) == 0) return true;
  return strlen(name) == 4 && (g_str_has_prefix(name, "com") || g_str_has_prefix(name, "lpt")) &&
         g_ascii_isdigit(name[3]);
}

char **isw_output_name_files(const char *prefix, int n, const char *const *names,
                             const char *ending) {
  GHashTable *taken = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  char **files = g_new0(char *, (gsize)n + 1);
  for (int i = 0; i < n; i++) {
    char *name = plain_name(names[i]), *own = g_strdup(name);
    for (int again = 2; is_device(own) || !g_hash_table_add(taken, g_utf8_casefold(own, -1));
         again++) {
      g_free(own);
      own = g_strdup_printf("%s-%d", name, again);
    }
    files[i] = g_strconcat(prefix, own, ending, NULL);
    g_free(own);
    g_free(name);
  }
  g_hash_table_unref(taken);
  return files;
}

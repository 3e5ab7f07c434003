#include "jobs/station_name.h"

#include <glib.h>
#include <stdbool.h>
#include <string.h>

#include "documents/nearest_word.h"

enum match { WHOLE, WHOLE_IN_ANY_CASE, PART, MATCHES };

static bool is_match(enum match match, const char *wanted, const char *folded, const char *name) {
  if (match == WHOLE) return strcmp(wanted, name) == 0;
  char *other = g_utf8_casefold(name, -1);
  bool found = match == PART ? strstr(other, folded) != NULL : strcmp(other, folded) == 0;
  g_free(other);
  return found;
}

/* "Northport, Southport and 3 more" */
static char *list_matches(const GArray *found, const char *const *names) {
  enum { LISTED_MOST = 8 };
  GString *list = g_string_new(NULL);
  for (guint i = 0; i < found->len && i < LISTED_MOST; i++)
    g_string_append_printf(list, "%s%s", i > 0 ? ", " : "", names[g_array_index(found, int, i)]);
  if (found->len > LISTED_MOST)
    g_string_append_printf(list, " and %u more", found->len - LISTED_MOST);
  return g_string_free(list, FALSE);
}

static enum isw_status refuse_unknown(const char *wanted, int n, const char *const *names,
                                      const char *file, struct isw_error *error) {
  isw_base_fail(error, ISW_USAGE, "--station %s: %s has no station with that in its name", wanted,
                file);
  const char *near = isw_documents_nearest_word(wanted, n, names);
  if (near != NULL) isw_base_append_error(error, "\nDid you mean %s?", near);
  return ISW_USAGE;
}

enum isw_status isw_jobs_find_station(const char *wanted, int n, const char *const *names,
                                      const char *file, int *index, struct isw_error *error) {
  if (!g_utf8_validate(wanted, -1, NULL))
    return isw_base_fail(error, ISW_USAGE, "--station: is not UTF-8");
  char *folded = g_utf8_casefold(wanted, -1);
  GArray *found = g_array_new(FALSE, FALSE, sizeof(int));
  for (int match = WHOLE; match < MATCHES && found->len == 0 && wanted[0] != '\0'; match++)
    for (int i = 0; i < n; i++)
      if (is_match((enum match)match, wanted, folded, names[i])) g_array_append_val(found, i);
  enum isw_status status = ISW_OK;
  if (found->len == 1) {
    *index = g_array_index(found, int, 0);
  } else if (found->len == 0) {
    status = refuse_unknown(wanted, n, names, file, error);
  } else {
    char *list = list_matches(found, names);
    status =
        isw_base_fail(error, ISW_USAGE,
                      "--station %s: several stations of %s have that in their name: %s\nWrite "
                      "more of the name",
                      wanted, file, list);
    g_free(list);
  }
  g_array_unref(found);
  g_free(folded);
  return status;
}

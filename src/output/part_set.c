#include "output/part_set.h"

#include <glib.h>
#include <string.h>

#include "output/part_run.h"

enum { MISSING_NAMED_MOST = 20 };

char *isw_output_parts_folder(const char *dir) {
  return g_build_filename(dir, "parts", NULL);
}

static int compare_names(gconstpointer a, gconstpointer b) {
  return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Sorted, so that messages do not depend on the folder's order. */
static GPtrArray *list_parts(const char *folder) {
  GPtrArray *paths = g_ptr_array_new_with_free_func(g_free);
  GDir *entries = g_dir_open(folder, 0, NULL);
  if (entries == NULL) return paths;
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL)
    if (isw_output_is_part_name(name)) g_ptr_array_add(paths, g_build_filename(folder, name, NULL));
  g_dir_close(entries);
  g_ptr_array_sort(paths, compare_names);
  return paths;
}

static enum isw_status add_first(struct isw_part_set *set, const struct isw_part *part,
                                 const char *run) {
  set->n_parts = part->of;
  set->paths = g_new0(char *, (size_t)part->of);
  set->run = g_strdup(run);
  return ISW_OK;
}

/* reference: a part that was accepted before. */
static enum isw_status add_part(struct isw_part_set *set, const char *path, const char *reference,
                                struct isw_error *error) {
  struct isw_part_reader *reader;
  enum isw_status status = isw_output_open_part(path, &reader, error);
  if (status != ISW_OK) return status;
  const struct isw_part *part = isw_output_part_share(reader);
  const char *run = isw_output_part_run(reader);
  if (set->run == NULL) status = add_first(set, part, run);
  char *difference = isw_output_compare_part_runs(set->run, run);
  if (difference != NULL)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: is a part of another run than %s: its %s differs; keep the parts "
                           "of one run only",
                           path, reference, difference);
  else if (part->of != set->n_parts)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: is part %d of %d, but %s is one of %d; keep the parts of one "
                           "division only",
                           path, part->number, part->of, reference, set->n_parts);
  else if (set->paths[part->number - 1] != NULL)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: is part %d of %d, and so is %s; remove one of them", path,
                           part->number, part->of, set->paths[part->number - 1]);
  if (status == ISW_OK) set->paths[part->number - 1] = g_strdup(path);
  g_free(difference);
  isw_output_close_part(reader);
  return status;
}

static enum isw_status name_missing(const struct isw_part_set *set, const char *folder,
                                    struct isw_error *error) {
  GString *names = g_string_new(NULL);
  int missing = 0;
  for (int i = 0; i < set->n_parts; i++) {
    if (set->paths[i] != NULL) continue;
    if (missing++ < MISSING_NAMED_MOST)
      g_string_append_printf(names, "%s%d", names->len > 0 ? ", " : "", i + 1);
  }
  if (missing > MISSING_NAMED_MOST) g_string_append(names, ", ...");
  enum isw_status status = ISW_OK;
  if (missing > 0)
    status = isw_base_fail(
        error, ISW_INPUT_FILE,
        "%s: %d of %d parts %s not there: %s; compute %s with the options of the rest", folder,
        missing, set->n_parts, missing == 1 ? "is" : "are", names->str,
        missing == 1 ? "it" : "them");
  g_string_free(names, TRUE);
  return status;
}

enum isw_status isw_output_find_parts(const char *dir, struct isw_part_set *out,
                                      struct isw_error *error) {
  char *folder = isw_output_parts_folder(dir);
  GPtrArray *paths = list_parts(folder);
  struct isw_part_set set = {.n_parts = 0};
  enum isw_status status = ISW_OK;
  if (paths->len == 0)
    status = isw_base_fail(error, ISW_INPUT_FILE,
                           "%s: holds no parts; compute the parts of a run first", folder);
  for (guint i = 0; i < paths->len && status == ISW_OK; i++)
    status = add_part(&set, g_ptr_array_index(paths, i), g_ptr_array_index(paths, 0), error);
  if (status == ISW_OK) status = name_missing(&set, folder, error);
  if (status == ISW_OK)
    *out = set;
  else
    isw_output_clear_parts(&set);
  g_ptr_array_unref(paths);
  g_free(folder);
  return status;
}

void isw_output_clear_parts(struct isw_part_set *set) {
  for (int i = 0; i < set->n_parts; i++) g_free(set->paths[i]);
  g_free(set->paths);
  g_free(set->run);
  *set = (struct isw_part_set){.n_parts = 0};
}

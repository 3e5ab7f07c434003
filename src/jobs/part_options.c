/* DESIGN: what only says how to compute (threads, memory) or where from (the sources: their
 * checksums stand elsewhere) is neither recorded nor carried; the table of options says which. */
#include "jobs/part_options.h"

#include <string.h>

static bool decides_results(const struct isw_option *option, enum isw_command command) {
  return option->unset != NULL && (option->commands & command) != 0;
}

static void clear_record(gpointer item) {
  const struct isw_run_option *option = item;
  g_free((char *)option->name);
  g_free((char *)option->value);
}

GArray *isw_jobs_new_record_list(void) {
  GArray *list = g_array_new(FALSE, FALSE, sizeof(struct isw_run_option));
  g_array_set_clear_func(list, clear_record);
  return list;
}

void isw_jobs_record_option(GArray *list, const char *name, const char *value) {
  struct isw_run_option option = {g_strdup(name), g_strdup(value)};
  g_array_append_val(list, option);
}

void isw_jobs_record_options(GArray *list, const struct isw_options *options,
                             enum isw_command command) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    if (!decides_results(&table[i], command)) continue;
    char *text = isw_jobs_option_text(options, &table[i]);
    isw_jobs_record_option(list, table[i].name, text != NULL ? text : table[i].unset);
    g_free(text);
  }
}

static void add_option(GArray *options, const char *name, const char *value) {
  struct isw_part_option option = {g_strdup(name), g_strdup(value)};
  g_array_append_val(options, option);
}

static const char folder_option[] = "districts-folder";

static bool is_beside(const char *path) {
  return path != NULL && !g_path_is_absolute(path) && g_file_test(path, G_FILE_TEST_EXISTS);
}

/* The run record names districts and layers as they were given; joining may happen in another
 * folder. */
static void add_folder_of(GArray *carried, const struct isw_options *options) {
  if (!is_beside(options->districts) && !is_beside(options->layers) &&
      !is_beside(options->hill_shade) && !is_beside(options->places) && !is_beside(options->mask))
    return;
  char *folder = g_get_current_dir();
  add_option(carried, folder_option, folder);
  g_free(folder);
}

static void find_in(const char *folder, char **path) {
  if (*path == NULL || folder == NULL || g_file_test(*path, G_FILE_TEST_EXISTS)) return;
  char *found = g_build_filename(folder, *path, NULL);
  g_free(*path);
  *path = found;
}

GArray *isw_jobs_list_part_options(const struct isw_options *options) {
  GArray *carried = g_array_new(FALSE, FALSE, sizeof(struct isw_part_option));
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    if (!decides_results(&table[i], ISW_COMMAND_MAP)) continue;
    if (isw_jobs_is_list(&table[i])) {
      char **texts = isw_jobs_option_texts(options, &table[i]);
      for (; texts != NULL && *texts != NULL; texts++) add_option(carried, table[i].name, *texts);
      continue;
    }
    char *text = isw_jobs_option_text(options, &table[i]);
    if (text != NULL) add_option(carried, table[i].name, text);
    g_free(text);
  }
  add_folder_of(carried, options);
  return carried;
}

enum isw_status isw_jobs_restore_options(const struct isw_part_run *run, const char *path,
                                         struct isw_options *options, struct isw_error *error) {
  const char *folder = NULL;
  for (int i = 0; i < run->n_options; i++) {
    const struct isw_part_option *carried = &run->options[i];
    if (strcmp(carried->name, folder_option) == 0) {
      folder = carried->value;
      continue;
    }
    const struct isw_option *option = isw_jobs_find_option(carried->name, ISW_COMMAND_MAP);
    if (option == NULL || carried->value == NULL)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: carries the option %s, which this isosow does not know", path,
                           carried->name);
    if (isw_jobs_set_option(options, option, carried->value, error) != ISW_OK) {
      isw_base_prefix_error(error, "%s: the option %s carried in it, %s, ", path, carried->name,
                            carried->value);
      if (error != NULL) error->status = ISW_INPUT_CONTENT;
      return ISW_INPUT_CONTENT;
    }
  }
  find_in(folder, &options->districts);
  find_in(folder, &options->layers);
  find_in(folder, &options->hill_shade);
  find_in(folder, &options->places);
  find_in(folder, &options->mask);
  return ISW_OK;
}

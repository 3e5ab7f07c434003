#include "jobs/input_files.h"

#include <string.h>

#include "jobs/run_inputs.h"

static void add_climate_files(const struct isw_climate *climate, GPtrArray *paths) {
  const char *file;
  for (int i = 0; (file = isw_climate_input_file(climate, i)) != NULL; i++)
    g_ptr_array_add(paths, g_strdup(file));
}

static void add_drawn_files(const struct isw_options *options, GPtrArray *paths) {
  const char *const sources[] = {options->districts,  options->layers, options->places,
                                 options->hill_shade, options->logo,   options->mask,
                                 options->heights,    options->record};
  for (size_t i = 0; i < G_N_ELEMENTS(sources); i++)
    if (sources[i] != NULL) isw_output_list_files_of(sources[i], paths);
}

/* A disk that stumbles over a file's metadata makes GDAL leave them out, with no failure: months
 * would then be taken in the order given. */
static enum isw_status compare_understanding(const struct isw_climate *first,
                                             const struct isw_climate *second,
                                             struct isw_error *error) {
  for (int i = 0;; i++) {
    const char *now = isw_climate_understood(second, i);
    const char *then = first != NULL ? isw_climate_understood(first, i) : now;
    if (g_strcmp0(now, then) != 0)
      return isw_base_fail(
          error, ISW_INPUT_FILE,
          "the inputs, opened twice, say two things (\"%s\", \"%s\"); is the disk in "
          "order, are they being replaced?",
          then != NULL ? then : "nothing", now != NULL ? now : "nothing");
    if (now == NULL) return ISW_OK;
  }
}

enum isw_status isw_jobs_open_watched_climate(const struct isw_options *options,
                                              struct isw_log *log, struct isw_climate **climate,
                                              struct isw_input_watch **watch,
                                              struct isw_error *error) {
  struct isw_climate_request request = isw_jobs_climate_request(options);
  GPtrArray *paths = g_ptr_array_new_with_free_func(g_free);
  /* Which files a source consists of shows only when it is open; what is read comes from the second
   * time, when they are watched. Whatever is to be said is said then. */
  struct isw_climate *first = NULL;
  if (isw_climate_open(&request, NULL, &first, NULL) == ISW_OK) add_climate_files(first, paths);
  add_drawn_files(options, paths);
  *watch = isw_output_watch_inputs((int)paths->len, (const char *const *)paths->pdata);
  g_ptr_array_unref(paths);
  enum isw_status status = isw_climate_open(&request, log, climate, error);
  if (status == ISW_OK) status = compare_understanding(first, *climate, error);
  isw_climate_free(first);
  return status;
}

static void add_option_paths(const struct isw_options *options, GPtrArray *paths) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    bool path = table[i].kind == ISW_OPTION_PATH || table[i].kind == ISW_OPTION_NUMBER_OR_PATH;
    char *value = path ? isw_jobs_option_text(options, &table[i]) : NULL;
    if (value != NULL) g_ptr_array_add(paths, value);
  }
  for (char **sheet = options->crops; sheet != NULL && *sheet != NULL; sheet++)
    g_ptr_array_add(paths, g_strdup(*sheet));
}

GPtrArray *isw_jobs_list_input_paths(const struct isw_request *request,
                                     const struct isw_options *options,
                                     const struct isw_climate *climate) {
  GPtrArray *paths = g_ptr_array_new_with_free_func(g_free);
  if (climate != NULL) add_climate_files(climate, paths);
  add_option_paths(options, paths);
  add_drawn_files(options, paths);
  for (int i = 0; i < request->argc; i++) g_ptr_array_add(paths, g_strdup(request->argv[i]));
  /* A side of compare is a sheet with a variety behind it. */
  for (int i = 0; i < request->n_words; i++) {
    const char *colon = strrchr(request->words[i], ':');
    if (colon != NULL)
      g_ptr_array_add(paths, g_strndup(request->words[i], (gsize)(colon - request->words[i])));
  }
  return paths;
}

#include "output/input_watch.h"

#include <cpl_string.h>
#include <gdal.h>

#include "documents/text_file.h"
#include "output/file_identity.h"

struct isw_input_watch {
  int n;
  char **paths;
  struct isw_file_identity *files;
};

struct isw_input_watch *isw_output_watch_inputs(int n, const char *const *paths) {
  struct isw_input_watch *watch = g_new0(struct isw_input_watch, 1);
  watch->n = n;
  watch->paths = g_new0(char *, (gsize)n + 1);
  watch->files = g_new0(struct isw_file_identity, (gsize)n + 1);
  for (int i = 0; i < n; i++) {
    watch->paths[i] = g_strdup(paths[i]);
    watch->files[i] = isw_output_identify_file(paths[i]);
  }
  return watch;
}

enum isw_status isw_output_check_inputs(const struct isw_input_watch *watch,
                                        struct isw_error *error) {
  for (int i = 0; i < watch->n; i++) {
    struct isw_file_identity now = isw_output_identify_file(watch->paths[i]);
    if (!isw_output_same_file(&now, &watch->files[i]))
      return isw_base_fail(error, ISW_INPUT_FILE,
                           "%s: was replaced or written to while this run read it, so its results "
                           "would be of no one file; leave the inputs alone and run again",
                           watch->paths[i]);
  }
  return ISW_OK;
}

void isw_output_free_watch(struct isw_input_watch *watch) {
  if (watch == NULL) return;
  g_strfreev(watch->paths);
  g_free(watch->files);
  g_free(watch);
}

void isw_output_list_files_of(const char *source, GPtrArray *paths) {
  /* Opening a pipe would wait for whoever writes into it; it is refused where it is read. */
  if (isw_documents_check_kind(source, NULL) != ISW_OK) return;
  GDALDatasetH set =
      GDALOpenEx(source, GDAL_OF_VECTOR | GDAL_OF_RASTER | GDAL_OF_READONLY, NULL, NULL, NULL);
  if (set == NULL) return;
  char **files = GDALGetFileList(set);
  for (char **file = files; file != NULL && *file != NULL; file++)
    g_ptr_array_add(paths, g_strdup(*file));
  CSLDestroy(files);
  GDALClose(set);
}

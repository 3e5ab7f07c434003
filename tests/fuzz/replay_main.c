/* The plain driver: every file of the folders named is one input. With any compiler, without a
 * fuzzer, this keeps what fuzzing found found. */
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>

#include "fuzz_input.h"

static int replay_folder(const char *folder) {
  GDir *entries = g_dir_open(folder, 0, NULL);
  if (entries == NULL) {
    fprintf(stderr, "%s: is no folder of inputs\n", folder);
    exit(EXIT_FAILURE);
  }
  int count = 0;
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL) {
    char *path = g_build_filename(folder, name, NULL), *data;
    gsize size;
    if (!g_file_get_contents(path, &data, &size, NULL)) {
      fprintf(stderr, "%s: cannot be read\n", path);
      exit(EXIT_FAILURE);
    }
    fprintf(stderr, "%s\n", path);
    LLVMFuzzerTestOneInput((const uint8_t *)data, size);
    g_free(data);
    g_free(path);
    count++;
  }
  g_dir_close(entries);
  return count;
}

int main(int argc, char **argv) {
  int count = 0;
  LLVMFuzzerTestOneInput((const uint8_t *)"", 0);
  for (int i = 1; i < argc; i++) count += replay_folder(argv[i]);
  printf("%d inputs\n", count);
  return count > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

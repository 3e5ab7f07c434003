/* A region file from any bytes: refused in words, or words that begin with a long option. */
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/region_file.h"
#include "fuzz_input.h"

static char file_path[256];

static void remove_file(void) {
  g_unlink(file_path);
}

/* One file for the whole run, written over for each input. */
static void open_file(void) {
  char *path = NULL;
  int descriptor = g_file_open_tmp(NULL, &path, NULL);
  if (descriptor < 0 || strlen(path) >= sizeof file_path) abort();
  close(descriptor);
  strcpy(file_path, path);
  g_free(path);
  atexit(remove_file);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (file_path[0] == '\0') open_file();
  FILE *file = fopen(file_path, "wb");
  if (file == NULL || fwrite(data, 1, size, file) != size || fclose(file) != 0) abort();
  GPtrArray *words = g_ptr_array_new_with_free_func(g_free);
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_cli_read_region_file(file_path, words, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  for (guint i = 0; status == ISW_OK && i < words->len; i++) {
    const char *word = g_ptr_array_index(words, i);
    FUZZ_EXPECT(g_str_has_prefix(word, "--") && g_ascii_islower(word[2]));
    FUZZ_EXPECT(g_utf8_validate(word, -1, NULL));
  }
  g_ptr_array_unref(words);
  return 0;
}

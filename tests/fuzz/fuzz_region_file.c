/* A region file from any bytes: refused in words, or options within their ranges. */
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fuzz_input.h"
#include "jobs/region_file.h"

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
  struct isw_options options;
  isw_jobs_start_options(&options);
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_jobs_read_region_file(file_path, &options, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  FUZZ_EXPECT(options.good >= 0.0 && options.good <= 100.0 && options.threads >= 1);
  FUZZ_EXPECT(options.title == NULL || g_utf8_validate(options.title, -1, NULL));
  isw_jobs_clear_options(&options);
  return 0;
}

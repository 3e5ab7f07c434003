#define _LARGEFILE64_SOURCE /* GDAL's struct of a file's facts */
#define _XOPEN_SOURCE 700

#include "output/checksum.h"

#include <cpl_vsi.h>
#include <glib.h>
#include <string.h>

#include "survey/thread_pool.h"

enum { READ_SIZE = 1 << 20 };

static enum isw_status check_file(void *self, int number, struct isw_error *error) {
  (void)error;
  struct isw_checked_file *checked = (struct isw_checked_file *)self + number;
  checked->there = false;
  VSIStatBufL facts = {.st_size = 0};
  /* A pipe or a device would be waited for. The other files are checked nevertheless. */
  if (VSIStatL(checked->path, &facts) != 0 || !VSI_ISREG(facts.st_mode)) return ISW_OK;
  VSILFILE *file = VSIFOpenL(checked->path, "rb");
  if (file == NULL) return ISW_OK;
  GChecksum *checksum = g_checksum_new(G_CHECKSUM_SHA256);
  guchar *buffer = g_malloc(READ_SIZE);
  checked->size = 0;
  size_t got;
  while ((got = VSIFReadL(buffer, 1, READ_SIZE, file)) > 0) {
    g_checksum_update(checksum, buffer, (gssize)got);
    checked->size += (long long)got;
  }
  /* An error of the disk looks like the end. */
  checked->there = checked->size == (long long)facts.st_size;
  g_strlcpy(checked->sha256, g_checksum_get_string(checksum), ISW_CHECKSUM_SIZE);
  g_free(buffer);
  g_checksum_free(checksum);
  VSIFCloseL(file);
  return ISW_OK;
}

enum isw_status isw_output_checksum_files(int n, struct isw_checked_file *files, int threads,
                                          struct isw_error *error) {
  enum isw_status status = isw_survey_do_tasks(n, threads, check_file, files, NULL, error);
  for (int i = 0; i < n && status == ISW_OK; i++)
    if (!files[i].there)
      status = isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read for its checksum",
                             files[i].path);
  return status;
}

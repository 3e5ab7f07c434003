#define _LARGEFILE64_SOURCE /* GDAL's struct of a file's facts */
#define _XOPEN_SOURCE 700

#include "output/checksum.h"

#include <cpl_vsi.h>
#include <glib.h>
#include <nettle/base16.h>
#include <nettle/sha2.h>

#include "survey/thread_pool.h"

enum { READ_SIZE = 1 << 20 };

/* Nettle uses the processor's own instructions for SHA; GLib's sum does not. */
static void write_digest(struct sha256_ctx *sums, char sha256[ISW_CHECKSUM_SIZE]) {
  uint8_t digest[SHA256_DIGEST_SIZE];
  G_STATIC_ASSERT(BASE16_ENCODE_LENGTH(SHA256_DIGEST_SIZE) == ISW_CHECKSUM_SIZE - 1);
  sha256_digest(sums, sizeof digest, digest);
  base16_encode_update(sha256, sizeof digest, digest);
  sha256[ISW_CHECKSUM_SIZE - 1] = '\0';
}

static enum isw_status check_file(void *self, int number, struct isw_error *error) {
  (void)error;
  struct isw_checked_file *checked = (struct isw_checked_file *)self + number;
  checked->there = false;
  VSIStatBufL facts = {.st_size = 0};
  /* A pipe or a device would be waited for. The other files are checked nevertheless. */
  if (VSIStatL(checked->path, &facts) != 0 || !VSI_ISREG(facts.st_mode)) return ISW_OK;
  VSILFILE *file = VSIFOpenL(checked->path, "rb");
  if (file == NULL) return ISW_OK;
  struct sha256_ctx sums;
  sha256_init(&sums);
  guchar *buffer = g_malloc(READ_SIZE);
  checked->size = 0;
  size_t got;
  while ((got = VSIFReadL(buffer, 1, READ_SIZE, file)) > 0) {
    sha256_update(&sums, got, buffer);
    checked->size += (long long)got;
  }
  /* An error of the disk looks like the end. */
  checked->there = checked->size == (long long)facts.st_size;
  write_digest(&sums, checked->sha256);
  g_free(buffer);
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

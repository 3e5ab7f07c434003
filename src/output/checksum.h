/* Size and SHA-256 of files. */
#ifndef ISW_OUTPUT_CHECKSUM_H
#define ISW_OUTPUT_CHECKSUM_H

#include <stdbool.h>

#include "base/status.h"

enum { ISW_CHECKSUM_SIZE = 65 };
struct isw_checked_file {
  const char *path; /* the rest is found out */
  bool there;
  long long size;                 /* bytes */
  char sha256[ISW_CHECKSUM_SIZE]; /* lower-case hex */
};

/* Size and SHA-256 (FIPS 180-4) of n files, by up to `threads` threads, through GDAL's file
 * systems, so that /vsizip/ works. ISW_INPUT_FILE: one of them cannot be read to its end; the
 * others are known nevertheless. */
enum isw_status isw_output_checksum_files(int n, struct isw_checked_file *files, int threads,
                                          struct isw_error *error);

#endif

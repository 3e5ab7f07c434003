#include <cpl_vsi.h>
#include <glib.h>
#include <string.h>

#include "output/folder.h"

enum { READ_SIZE = 1 << 20 };

enum isw_status isw_output_checksum_file(const char *path, char out[ISW_CHECKSUM_SIZE],
                                         long long *size, struct isw_error *error) {
  VSILFILE *file = VSIFOpenL(path, "rb");
  if (file == NULL)
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read for its checksum", path);
  GChecksum *checksum = g_checksum_new(G_CHECKSUM_SHA256);
  guchar *buffer = g_malloc(READ_SIZE);
  long long total = 0;
  size_t got;
  while ((got = VSIFReadL(buffer, 1, READ_SIZE, file)) > 0) {
    g_checksum_update(checksum, buffer, (gssize)got);
    total += (long long)got;
  }
  g_strlcpy(out, g_checksum_get_string(checksum), ISW_CHECKSUM_SIZE);
  *size = total;
  g_free(buffer);
  g_checksum_free(checksum);
  VSIFCloseL(file);
  return ISW_OK;
}

/* Which file a name stands for, and whether it is still that one, unchanged. */
#ifndef ISW_OUTPUT_FILE_IDENTITY_H
#define ISW_OUTPUT_FILE_IDENTITY_H

#include <stdbool.h>

struct isw_file_identity {
  bool there; /* false: all else is 0 */
  bool link;  /* a symbolic link itself */
  unsigned long long device, inode;
  long long size;                                       /* bytes */
  long long written_s, written_ns, status_s, status_ns; /* last change of its bytes, of its entry */
};

/* The file that path leads to, through GDAL's file systems, so that a member of an archive has a
 * size and a time, too. */
struct isw_file_identity isw_output_identify_file(const char *path);

/* The entry of that name itself: a link is not followed. */
struct isw_file_identity isw_output_identify_entry(const char *path);

/* Same file, nothing written to it since (as far as its times tell: to a file system's tick). */
bool isw_output_same_file(const struct isw_file_identity *a, const struct isw_file_identity *b);

/* One file under two names, written to or not. Members of archives are not told apart: false. */
bool isw_output_one_file(const struct isw_file_identity *a, const struct isw_file_identity *b);

#endif

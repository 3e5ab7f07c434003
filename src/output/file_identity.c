#define _LARGEFILE64_SOURCE /* GDAL's struct of a file's facts */
#define _XOPEN_SOURCE 700

#include "output/file_identity.h"

#include <cpl_vsi.h>
#include <sys/stat.h>

static struct isw_file_identity identity_of(const VSIStatBufL *facts) {
  return (struct isw_file_identity){.there = true,
                                    .link = S_ISLNK(facts->st_mode),
                                    .device = (unsigned long long)facts->st_dev,
                                    .inode = (unsigned long long)facts->st_ino,
                                    .size = (long long)facts->st_size,
                                    .written_s = (long long)facts->st_mtim.tv_sec,
                                    .written_ns = (long long)facts->st_mtim.tv_nsec,
                                    .status_s = (long long)facts->st_ctim.tv_sec,
                                    .status_ns = (long long)facts->st_ctim.tv_nsec};
}

struct isw_file_identity isw_output_identify_file(const char *path) {
  VSIStatBufL facts = {.st_size = 0};
  if (VSIStatL(path, &facts) != 0) return (struct isw_file_identity){.there = false};
  return identity_of(&facts);
}

struct isw_file_identity isw_output_identify_entry(const char *path) {
  struct stat facts;
  if (lstat(path, &facts) != 0) return (struct isw_file_identity){.there = false};
  VSIStatBufL wide = {.st_dev = facts.st_dev,
                      .st_ino = facts.st_ino,
                      .st_mode = facts.st_mode,
                      .st_size = facts.st_size,
                      .st_mtim = facts.st_mtim,
                      .st_ctim = facts.st_ctim};
  return identity_of(&wide);
}

bool isw_output_same_file(const struct isw_file_identity *a, const struct isw_file_identity *b) {
  return a->there == b->there && a->device == b->device && a->inode == b->inode &&
         a->size == b->size && a->written_s == b->written_s && a->written_ns == b->written_ns &&
         a->status_s == b->status_s && a->status_ns == b->status_ns;
}

bool isw_output_one_file(const struct isw_file_identity *a, const struct isw_file_identity *b) {
  return a->there && b->there && a->inode != 0 && a->device == b->device && a->inode == b->inode;
}

/* A results folder that is never half done: results are made in a temporary folder inside it and
 * renamed when all are complete. */
#ifndef ISW_OUTPUT_FOLDER_H
#define ISW_OUTPUT_FOLDER_H

#include <stdbool.h>

#include "base/log.h"

struct isw_folder;

/* Make DIR (and its parents) and a temporary folder inside it; sweep up temporary folders that a
 * killed run left there. ISW_USAGE_EXISTS: DIR holds results of an earlier run (its run.json) or
 * other files with names of results, and overwrite is false. ISW_OUTPUT: cannot be written. *out
 * is new, to be freed. `names`/n_names: the final names this run will make. */
enum isw_status isw_output_open_folder(const char *dir, bool overwrite, int n_names,
                                       const char *const *names, struct isw_log *log,
                                       struct isw_folder **out, struct isw_error *error);

/* Path of the temporary file of a result; valid until the folder is freed. */
const char *isw_output_temporary_path(struct isw_folder *folder, const char *name);

/* All results are complete: with overwrite remove the earlier run's results that this one does not
 * make (as its run.json lists them), then rename each into place, `last` (run.json) last. */
enum isw_status isw_output_commit_folder(struct isw_folder *folder, const char *last,
                                         struct isw_error *error);

/* Whether a run was killed in DIR while it put complete results in place: its record, the last to
 * be put there, still lies in its temporary folder. */
bool isw_output_commit_was_cut(const char *dir);

/* Removes the temporary folder with whatever is left in it; results in place stay. Takes NULL. */
void isw_output_free_folder(struct isw_folder *folder);

enum { ISW_CHECKSUM_SIZE = 65 };
struct isw_checked_file {
  const char *path; /* the rest is found out */
  bool there;
  long long size;
  char sha256[ISW_CHECKSUM_SIZE]; /* lower-case hex */
};

/* Size and SHA-256 of n files, by up to `threads` threads, through GDAL's file systems, so that
 * /vsizip/ works. ISW_INPUT_FILE: one of them cannot be read; the others are known nevertheless. */
enum isw_status isw_output_checksum_files(int n, struct isw_checked_file *files, int threads,
                                          struct isw_error *error);

#endif

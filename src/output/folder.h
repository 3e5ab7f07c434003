/* A results folder that is never half done: results are made in a temporary folder inside it and
 * put in place when all are complete; one run at a time. */
#ifndef ISW_OUTPUT_FOLDER_H
#define ISW_OUTPUT_FOLDER_H

#include <stdbool.h>

#include "base/log.h"
#include "output/earlier_results.h"

struct isw_folder;

/* Make request->dir (and its parents) and a temporary folder inside it, lock it against other runs,
 * and mend what a killed run left there: an earlier result that was moved aside comes back, the
 * rest is removed. *out is new, to be freed. ISW_USAGE_EXISTS: results are there (an
 * earlier run's run.json, a file with the name of a result) and nothing is to be replaced.
 * ISW_USAGE: one of them must not be replaced, see output/earlier_results.h. ISW_OUTPUT: cannot be
 * written, or another run is writing there. */
enum isw_status isw_output_open_folder(const struct isw_earlier_request *request,
                                       struct isw_log *log, struct isw_folder **out,
                                       struct isw_error *error);

/* Path of the temporary file of a result; valid until the folder is freed. */
const char *isw_output_temporary_path(struct isw_folder *folder, const char *name);

/* All results are complete, run.json among them: move the earlier run's aside, each new one into
 * place, run.json last. When that fails half-way everything goes back to where it was: ISW_OUTPUT,
 * and the message says so, or says where the earlier results lie. So it is, and nothing was
 * touched, when a file with the name of a result appeared or was changed since the folder was
 * opened. Without a record (request->no_record) each result is put in place by itself: when one
 * fails, those before it stay. */
enum isw_status isw_output_commit_folder(struct isw_folder *folder, struct isw_error *error);

/* Whether a run was killed in DIR while it put complete results in place: its record, the last to
 * be put there, still lies in its temporary folder, and no run is at work in DIR. */
bool isw_output_commit_was_cut(const char *dir);

/* Removes the temporary folder with whatever is left in it, and unlocks; results in place stay.
 * Takes NULL. */
void isw_output_free_folder(struct isw_folder *folder);

#endif

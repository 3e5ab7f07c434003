/* The options that decide results, as run.json lists them and as parts carry them. */
#ifndef ISW_JOBS_PART_OPTIONS_H
#define ISW_JOBS_PART_OPTIONS_H

#include "jobs/options.h"
#include "output/part_run.h"
#include "output/run_record.h"

/* For run.json: an array of struct isw_run_option that owns its texts; g_array_unref frees all. */
GArray *isw_jobs_new_record_list(void);
/* Append one option; the texts are copied. */
void isw_jobs_record_option(GArray *list, const char *name, const char *value);

/* Append every option of the command that decides results, defaults included. */
void isw_jobs_record_options(GArray *list, const struct isw_options *options,
                             enum isw_command command);

/* For the parts of a map run: array of struct isw_part_option, whose texts are the receiver's.
 * What is not given is left out. */
GArray *isw_jobs_list_part_options(const struct isw_options *options);

/* Fill started options from a run's text. ISW_INPUT_CONTENT: a part, named path, carries an option
 * or a value that this program does not know. */
enum isw_status isw_jobs_restore_options(const struct isw_part_run *run, const char *path,
                                         struct isw_options *options, struct isw_error *error);

#endif

/* The files that a run reads: watched while it does, and never written over by its results. */
#ifndef ISW_JOBS_INPUT_FILES_H
#define ISW_JOBS_INPUT_FILES_H

#include <glib.h>

#include "climate/climate.h"
#include "jobs/request.h"
#include "output/input_watch.h"

/* Open the climate of a run whose inputs are to be recorded: its files, and those of the vector
 * sources, are noted before they are opened. *climate and *watch are new. Statuses of
 * isw_climate_open. */
enum isw_status isw_jobs_open_watched_climate(const struct isw_options *options,
                                              struct isw_log *log, struct isw_climate **climate,
                                              struct isw_input_watch **watch,
                                              struct isw_error *error);

/* Every path that may be an input of the run: the climate's files (climate may be NULL), the values
 * of options that are paths, and the words of the command line. New texts, g_ptr_array_unref. */
GPtrArray *isw_jobs_list_input_paths(const struct isw_request *request,
                                     const struct isw_options *options,
                                     const struct isw_climate *climate);

#endif

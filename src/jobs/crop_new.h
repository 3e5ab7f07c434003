/* `crop new`: a sheet with a type more, from what a catalogue says of it. */
#ifndef ISW_JOBS_CROP_NEW_H
#define ISW_JOBS_CROP_NEW_H

#include "jobs/request.h"

/* Answers with the sheet, or writes it to the file that is asked for; tells what is doubtful in it.
 * ISW_USAGE: options, names, numbers that make no sheet; ISW_USAGE_EXISTS: the file is there;
 * ISW_INPUT_*: the sheet it is made from; ISW_INPUT_DOUBT: doubtful, and strict; ISW_OUTPUT. */
enum isw_status isw_jobs_crop_new(const struct isw_request *request, struct isw_error *error);

/* ISW_USAGE: an option of crop new is given to another of crop's words. */
enum isw_status isw_jobs_refuse_new_options(const struct isw_options *options, const char *word,
                                            struct isw_error *error);

#endif

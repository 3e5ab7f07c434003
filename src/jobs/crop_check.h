/* What `crop check` says of a sheet that can be read. */
#ifndef ISW_JOBS_CROP_CHECK_H
#define ISW_JOBS_CROP_CHECK_H

#include <glib.h>

#include "crop/sheet.h"
#include "jobs/request.h"

/* Append how the sheet was understood: varieties with their days, bands in degC and degF, frost and
 * bolting; chilling and shelters; the seasons, and where they leave a gap or overlap. */
void isw_jobs_append_understood(GString *text, const struct isw_sheet *sheet);

/* What is legal but unlikely is warned of, naming file; strict: the first of it refuses the sheet,
 * ISW_INPUT_DOUBT. */
enum isw_status isw_jobs_tell_doubts(const struct isw_request *request, const char *file,
                                     const struct isw_sheet *sheet, struct isw_error *error);

#endif

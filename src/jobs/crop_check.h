/* What `crop check` says of a sheet that can be read. */
#ifndef ISW_JOBS_CROP_CHECK_H
#define ISW_JOBS_CROP_CHECK_H

#include <glib.h>

#include "crop/sheet.h"

/* Append how the sheet was understood: varieties with their days, bands in degC and degF, frost and
 * bolting; chilling and shelters; the seasons, and where they leave a gap or overlap. */
void isw_jobs_append_understood(GString *text, const struct isw_sheet *sheet);

#endif

/* What is legal in a crop sheet, but unlikely. */
#ifndef ISW_CROP_SHEET_DOUBTS_H
#define ISW_CROP_SHEET_DOUBTS_H

#include "crop/sheet.h"

/* Messages in the order of the sheet, each once: which variety and stage, what is odd, what may be
 * meant. New, NULL-terminated, g_strfreev; none for a sheet without doubts. */
char **isw_crop_list_doubts(const struct isw_sheet *sheet);

/* Days of all stages of a variety at their best temperatures. */
double isw_crop_total_days(const struct isw_sheet *sheet, int variety);

/* Can the variety freeze at all? */
bool isw_crop_can_freeze(const struct isw_sheet *sheet, int variety);

#endif

/* A new type for a sheet from what a seed catalogue says of it. */
#ifndef ISW_CROP_SHEET_NEW_H
#define ISW_CROP_SHEET_NEW_H

#include "crop/sheet_new_type.h"

/* The text of the sheet with the new variety behind its last, and beside each number how it came.
 *
 * Days: first stage as in `like`; the others shortened or stretched alike, until all are `days` /
 * isw_crop_days_per_best_day. Warm ends: of the stages that stop in less heat than the first in the
 * field (where none does, the last), the highest end becomes hottest_week_C and the others move
 * along, what is best by three quarters of that, as it is between the built-in types; other field
 * stages stop at hottest_week_C at least. Frost: the field's hardiest stage dies below stands_C,
 * the others move along, none above freezing.
 *
 * *text is new, g_free. ISW_USAGE: no such variety, a name that is taken or no id, numbers that
 * make no sheet; settings are named. ISW_INPUT_CONTENT: the sheet cannot be written on. */
enum isw_status isw_crop_write_new_type(const struct isw_sheet *sheet,
                                        const struct isw_catalogue_type *type, char **text,
                                        struct isw_error *error);

#endif

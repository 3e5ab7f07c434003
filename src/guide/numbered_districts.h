/* The districts with their numbers in place of their names, for maps too small for names. */
#ifndef ISW_GUIDE_NUMBERED_DISTRICTS_H
#define ISW_GUIDE_NUMBERED_DISTRICTS_H

#include "guide/district_set.h"

/* Column of the numbers: 1 for the set's first district. */
extern const char isw_guide_number_column[];

/* Copies the first layer of vector into a vector source in memory. vector, name_column: as the set
 * was opened from. *out: its name, for OGR; new, to be dropped. ISW_INPUT_FILE, ISW_RESOURCES. */
enum isw_status isw_guide_number_districts(const char *vector, const char *name_column,
                                           const struct isw_district_set *set, char **out,
                                           struct isw_error *error);
void isw_guide_drop_numbers(char *numbered); /* takes NULL */

#endif

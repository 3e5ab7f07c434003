/* Districts that share ground. One rule for all who look up, label or list: the smaller one first.
 */
#ifndef ISW_REGIONS_DISTRICT_OVERLAPS_H
#define ISW_REGIONS_DISTRICT_OVERLAPS_H

#include "regions/district_set.h"

/* All districts, smallest shape first, of equal ones the file's first; the set's memory. */
const int *isw_regions_smaller_first(const struct isw_district_set *set);

/* Two districts that share cells with climate data in the blocks seen so far. */
struct isw_district_overlap {
  int smaller, larger;
  long long cells;
  bool inside; /* all cells of the smaller one lie in the larger one */
};

/* Returns how many there are; *out: in the file's order, new (g_free). */
int isw_regions_list_overlaps(const struct isw_district_set *set,
                              struct isw_district_overlap **out);

#endif

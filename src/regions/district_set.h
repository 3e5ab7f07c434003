/* Districts from any vector file, read once, for maps, guide and comparison alike. */
#ifndef ISW_REGIONS_DISTRICT_SET_H
#define ISW_REGIONS_DISTRICT_SET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/log.h"
#include "climate/grid.h"

struct isw_district_set;

/* The polygons of vector's first layer, brought into the grid's CRS. Shapes of one name, blanks
 * around it left out, are one district; without a name_column (NULL) each feature is one, and no
 * name is asked for. Order: that of the file. ISW_INPUT_FILE: cannot be read, or not to its end.
 * ISW_USAGE: no such column (the message lists them). ISW_INPUT_CONTENT: no CRS, a shape that is no
 * polygon or is invalid, a shape without a name, no district at all. Shapes that are empty are told
 * to log. */
enum isw_status isw_regions_open_districts(const char *vector, const char *name_column,
                                           const struct isw_grid *grid, struct isw_log *log,
                                           struct isw_district_set **out, struct isw_error *error);
void isw_regions_free_districts(struct isw_district_set *set); /* takes NULL */

/* Districts 0..count-1 are what `district` means below and in the other headers of the room. */
int isw_regions_district_count(const struct isw_district_set *set);

/* UTF-8, the set's; "" where the set was opened without a name column. */
const char *isw_regions_district_name(const struct isw_district_set *set, int district);
bool isw_regions_districts_are_named(const struct isw_district_set *set);

/* A district's cells with climate data in one block, and those left out by a mask; overlapping
 * districts share cells. */
struct isw_district_cells {
  int district;
  size_t n, n_left_out;
  const uint32_t *cells, *left_out; /* indexes into the block, ascending */
};

#endif

/* Which cells of the grid lie in which district. One thread at a time. */
#ifndef ISW_REGIONS_DISTRICT_CELLS_H
#define ISW_REGIONS_DISTRICT_CELLS_H

#include <stddef.h>
#include <stdint.h>

#include "regions/district_set.h"

/* Find the cells of every district whose centres lie in it, among those of a block that have
 * climate data, or would have if a mask did not leave them out (flags: the block's ISW_CELL_*).
 * *out: *n_out entries of districts with cells here,
 * the smaller first (regions/district_overlaps.h), so that the first that holds a cell is the one
 * it is looked up as; the set's memory, until the next call. ISW_RESOURCES; ISW_INTERNAL when GDAL
 * cannot read back what it burnt. */
enum isw_status isw_regions_find_district_cells(struct isw_district_set *set, int col, int row,
                                                int width, int height, const uint8_t *flags,
                                                int *n_out, const struct isw_district_cells **out,
                                                struct isw_error *error);

/* After the last block: warns of districts outside the grid, without climate data or of few cells,
 * and says which overlap. */
void isw_regions_report_districts(const struct isw_district_set *set, struct isw_log *log);

/* Cells with climate data of a district, in the blocks seen so far. */
long long isw_regions_district_size(const struct isw_district_set *set, int district);

#endif

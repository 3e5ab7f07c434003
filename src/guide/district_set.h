/* Districts from any vector file, and which cells of the grid lie in them. */
#ifndef ISW_GUIDE_DISTRICT_SET_H
#define ISW_GUIDE_DISTRICT_SET_H

#include <stddef.h>
#include <stdint.h>

#include "base/log.h"
#include "climate/grid.h"

struct isw_district_set;

/* The polygons of vector's first layer, brought into the grid's CRS; shapes of one name are one
 * district. Order: that of the file. ISW_INPUT_FILE: cannot be read. ISW_USAGE: no such column (the
 * message lists them). ISW_INPUT_CONTENT: no CRS, a shape that is no polygon or is invalid, a
 * shape without a name, no district at all. Shapes that are empty are told to log. */
enum isw_status isw_guide_open_districts(const char *vector, const char *name_column,
                                         const struct isw_grid *grid, struct isw_log *log,
                                         struct isw_district_set **out, struct isw_error *error);
void isw_guide_free_districts(struct isw_district_set *set); /* takes NULL */

int isw_guide_district_count(const struct isw_district_set *set);
const char *isw_guide_district_name(const struct isw_district_set *set, int district);

/* A district's cells with climate data in one block; overlapping districts share cells. */
struct isw_district_cells {
  int district;
  size_t n;
  const uint32_t *cells; /* indexes into the block, ascending */
};

/* Find the cells of every district whose centres lie in it, among those of a block that have
 * climate data (flags: the block's ISW_CELL_*). *out: *n_out entries of districts with cells here,
 * in district order; the set's memory, until the next call. ISW_RESOURCES. */
enum isw_status isw_guide_find_district_cells(struct isw_district_set *set, int col, int row,
                                              int width, int height, const uint8_t *flags,
                                              int *n_out, const struct isw_district_cells **out,
                                              struct isw_error *error);

/* After the last block: warns of districts outside the grid, without climate data or of few cells,
 * and of overlaps. */
void isw_guide_report_districts(const struct isw_district_set *set, struct isw_log *log);

/* Cells with climate data of a district, in the blocks seen so far. */
long long isw_guide_district_size(const struct isw_district_set *set, int district);

#endif

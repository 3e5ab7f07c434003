/* Named places of a region: labels of maps, names to search for, rows of tables. */
#ifndef ISW_REGIONS_PLACE_LIST_H
#define ISW_REGIONS_PLACE_LIST_H

#include "base/log.h"
#include "climate/grid.h"

struct isw_named_place {
  char *name; /* UTF-8, without blanks around it */
  double lat_deg, lon_deg;
  double col, row; /* cell coordinates on the grid, fractional */
};

struct isw_place_list {
  int count;
  struct isw_named_place *items; /* in the file's order */
};

/* A table name,lat,lon (a path that ends in .csv; further columns are ignored), or the first layer
 * of any vector file, points with a column name_column (NULL: "name"). ISW_INPUT_FILE: cannot be
 * read, or not to its end. ISW_USAGE: a layer has no such column. ISW_INPUT_CONTENT: no CRS, no
 * point, a place outside the grid, without a name or of a name that is there already, no place at
 * all. *out is new. */
enum isw_status isw_regions_read_places(const char *path, const char *name_column,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_place_list **out, struct isw_error *error);
void isw_regions_free_places(struct isw_place_list *places); /* takes NULL */

#endif

/* The named places' numbers as tables: places.csv, in the columns of `site --format csv`, and the
 * same rows as points for a GIS. */
#ifndef ISW_GUIDE_PLACE_TABLE_H
#define ISW_GUIDE_PLACE_TABLE_H

#include "guide/guide_sites.h"
#include "output/geopackage.h"

/* Of each of n crops; of several the crop's id stands before all. Places without climate data have
 * no rows. places: those that the sites are of; the layer "places" of package has the same rows and
 * columns, each with its point in the grid's CRS. record: with the columns of records.
 * ISW_OUTPUT. */
enum isw_status isw_guide_write_places(int n, const struct isw_plan *const *plans,
                                       const struct isw_guide_sites *const *sites,
                                       const struct isw_place_list *places, bool record,
                                       const struct isw_grid *grid, const char *csv_path,
                                       struct isw_geopackage *package, struct isw_error *error);

#endif

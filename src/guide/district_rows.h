/* The districts' numbers as tables: districts.csv, and the same rows with their outlines as a layer
 * for a GIS. */
#ifndef ISW_GUIDE_DISTRICT_ROWS_H
#define ISW_GUIDE_DISTRICT_ROWS_H

#include "guide/district_table.h"
#include "output/geopackage.h"

/* A row per district (or band of elevation), variety and season of each of n crops, with the crop's
 * id before all where there are several (docs/guide.md); the layer "districts" of package has the
 * same rows and columns, each with the outline of its whole district in the CRS wkt, which is the
 * grid's. ISW_OUTPUT. */
enum isw_status isw_guide_write_districts(int n, const struct isw_district_table *const *tables,
                                          const char *csv_path, const char *wkt,
                                          struct isw_geopackage *package, struct isw_error *error);

#endif

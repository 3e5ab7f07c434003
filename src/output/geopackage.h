/* Vector results for a GIS: a GeoPackage (OGC 12-128r18) of layers with geometry and columns, all
 * inside one file, checked after closing. */
#ifndef ISW_OUTPUT_GEOPACKAGE_H
#define ISW_OUTPUT_GEOPACKAGE_H

#include <ogr_api.h>

#include "base/status.h"
#include "output/table_row.h"

struct isw_geopackage;

/* Start a file; its ending is .gpkg. Its dates of change are isw_base_stated_time's, so that the
 * same layers are the same bytes. *out is new, to be closed or dropped. ISW_OUTPUT. */
enum isw_status isw_output_create_geopackage(const char *path, struct isw_geopackage **out,
                                             struct isw_error *error);

/* Begin a layer; features go into the last one begun. wkt: CRS of the shapes, and of the layer; on
 * a rotated pole, for which the format has no word, the layer is in WGS 84 (EPSG:4326). ISW_OUTPUT.
 */
enum isw_status isw_output_begin_layer(struct isw_geopackage *package, const char *name,
                                       const char *wkt, OGRwkbGeometryType type, int n_columns,
                                       const struct isw_column *columns, struct isw_error *error);

/* row: a cell per column; an empty one is null. shape: borrowed; NULL: none. ISW_OUTPUT. */
enum isw_status isw_output_add_feature(struct isw_geopackage *package, OGRGeometryH shape,
                                       const GPtrArray *row, struct isw_error *error);

/* Close, reopen and count what is there (a full disk shows only now). ISW_OUTPUT. The package is
 * gone afterwards. */
enum isw_status isw_output_close_geopackage(struct isw_geopackage *package,
                                            struct isw_error *error);

/* Close without checking, for failed runs; takes NULL. */
void isw_output_drop_geopackage(struct isw_geopackage *package);

#endif

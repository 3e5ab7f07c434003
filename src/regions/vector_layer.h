/* A vector file's first layer, read whole or not at all, brought into a grid's CRS. */
#ifndef ISW_REGIONS_VECTOR_LAYER_H
#define ISW_REGIONS_VECTOR_LAYER_H

#include <gdal.h>
#include <ogr_api.h>
#include <stdbool.h>

#include "base/log.h"
#include "climate/grid.h"

struct isw_vector_layer {
  char *path;
  const char *noun; /* what messages call its features: "districts" */
  GDALDatasetH dataset;
  OGRLayerH layer;
  OGRCoordinateTransformationH transform; /* into the grid's CRS; NULL: none needed */
  double unit_m, bulge_m; /* the layer's unit; how far an edge may bend on the way there */
  bool geographic;        /* the layer's unit is the degree */
  bool has_near;
  OGREnvelope near; /* the grid and some of what is around it, in the layer's CRS */
};

/* noun is kept, path is copied. ISW_INPUT_FILE: cannot be read, or no vector layer in it;
 * ISW_INPUT_CONTENT: it has no CRS and its format implies none, or no way leads into the grid's.
 * Tells log where further layers are left out. */
enum isw_status isw_regions_open_layer(const char *path, const char *noun,
                                       const struct isw_grid *grid, struct isw_log *log,
                                       struct isw_vector_layer *out, struct isw_error *error);
/* The same for the layer of that number, from 0; of others nothing is told. ISW_INPUT_FILE,
 * ISW_INPUT_CONTENT. */
enum isw_status isw_regions_open_layer_at(const char *path, const char *noun, int index,
                                          const struct isw_grid *grid, struct isw_vector_layer *out,
                                          struct isw_error *error);
void isw_regions_close_layer(struct isw_vector_layer *layer); /* takes a zeroed one */

/* Index of a column. ISW_USAGE: there is none of that name; the message lists those that are. */
enum isw_status isw_regions_find_column(const struct isw_vector_layer *layer, const char *name,
                                        int *out, struct isw_error *error);

/* The next feature, to be destroyed; NULL after the last. ISW_INPUT_FILE: it, or one that was
 * passed over on the way, cannot be read. */
enum isw_status isw_regions_next_feature(struct isw_vector_layer *layer, OGRFeatureH *out,
                                         struct isw_error *error);

/* A feature's text, valid UTF-8 without blanks around it; new, g_free. Empty where there is none.
 */
char *isw_regions_feature_text(OGRFeatureH feature, int column);

/* "PATH: feature N (name)" for messages; new, g_free. */
char *isw_regions_name_feature(const struct isw_vector_layer *layer, OGRFeatureH feature,
                               const char *name);

/* A feature's polygons, flat and straight-edged, in the grid's CRS; to be destroyed. NULL for an
 * empty shape. ISW_INPUT_CONTENT: no polygon, invalid, or beyond the grid's CRS. */
enum isw_status isw_regions_bring_polygons(const struct isw_vector_layer *layer,
                                           OGRFeatureH feature, const char *what, OGRGeometryH *out,
                                           struct isw_error *error);

/* The same of a point, or of a shape's only point. ISW_INPUT_CONTENT: another shape, or none. */
enum isw_status isw_regions_bring_point(const struct isw_vector_layer *layer, OGRFeatureH feature,
                                        const char *what, double *x, double *y,
                                        struct isw_error *error);

/* The same for a shape of any kind, valid or not: for what is only drawn. ISW_INPUT_CONTENT: beyond
 * the grid's CRS. */
enum isw_status isw_regions_bring_shape(const struct isw_vector_layer *layer, OGRFeatureH feature,
                                        const char *what, OGRGeometryH *out,
                                        struct isw_error *error);

#endif

#include "regions/vector_layer.h"

#include <cpl_error.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdbool.h>
#include <string.h>

#include "climate/grid.h"
#include "documents/text_file.h"
#include "regions/json_tail.h"

static const double earth_radius_m = 6371008.8;

/* Straight edges bend when they are reprojected; a twentieth of a cell of that does no harm. */
static void note_units(struct isw_vector_layer *layer, OGRSpatialReferenceH from,
                       OGRSpatialReferenceH to, const struct isw_grid *grid) {
  double degree_m = earth_radius_m * G_PI / 180.0;
  double cell = fmin(hypot(grid->transform[1], grid->transform[4]),
                     hypot(grid->transform[2], grid->transform[5]));
  layer->bulge_m = cell * (grid->geographic ? degree_m : OSRGetLinearUnits(to, NULL)) / 20.0;
  layer->geographic = OSRIsGeographic(from) != 0;
  layer->unit_m = layer->geographic ? degree_m : OSRGetLinearUnits(from, NULL);
}

/* An edge of length L along a parallel bulges from the straight line by some L^2 tan(lat) / 8 R. */
static void part_edges(const struct isw_vector_layer *layer, OGRGeometryH shape) {
  OGREnvelope envelope;
  OGR_G_GetEnvelope(shape, &envelope);
  double lat_deg = layer->geographic ? fmax(fabs(envelope.MinY), fabs(envelope.MaxY)) : 85.0;
  double tan_lat = tan(CLAMP(lat_deg, 45.0, 85.0) * G_PI / 180.0);
  double longest_m = sqrt(8.0 * earth_radius_m * layer->bulge_m / tan_lat);
  if (longest_m > 0.0) OGR_G_Segmentize(shape, longest_m / layer->unit_m);
}

/* What is needed of shapes far larger than the grid, which its CRS may have no place for. */
static void note_near(struct isw_vector_layer *layer, OGRSpatialReferenceH from,
                      OGRSpatialReferenceH to, const struct isw_grid *grid) {
  enum { EDGE_POINTS = 21 };
  static const double margin_share = 0.2;
  OGREnvelope box = {INFINITY, -INFINITY, INFINITY, -INFINITY}, *near = &layer->near;
  for (int corner = 0; corner < 4; corner++) {
    double x, y;
    isw_climate_grid_point(grid, corner % 2 ? grid->width : 0, corner / 2 ? grid->height : 0, &x,
                           &y);
    box = (OGREnvelope){fmin(box.MinX, x), fmax(box.MaxX, x), fmin(box.MinY, y), fmax(box.MaxY, y)};
  }
  OGRCoordinateTransformationH back = OCTNewCoordinateTransformation(to, from);
  layer->has_near = back != NULL &&
                    OCTTransformBounds(back, box.MinX, box.MinY, box.MaxX, box.MaxY, &near->MinX,
                                       &near->MinY, &near->MaxX, &near->MaxY, EDGE_POINTS) &&
                    near->MaxX > near->MinX && near->MaxY > near->MinY &&
                    isfinite(near->MaxX - near->MinX) && isfinite(near->MaxY - near->MinY);
  if (back != NULL) OCTDestroyCoordinateTransformation(back);
  double x = margin_share * (near->MaxX - near->MinX), y = margin_share * (near->MaxY - near->MinY);
  *near = (OGREnvelope){near->MinX - x, near->MaxX + x, near->MinY - y, near->MaxY + y};
}

static OGRGeometryH make_box(const OGREnvelope *box, double shift) {
  const double corners[][2] = {{box->MinX + shift, box->MinY},
                               {box->MaxX + shift, box->MinY},
                               {box->MaxX + shift, box->MaxY},
                               {box->MinX + shift, box->MaxY},
                               {box->MinX + shift, box->MinY}};
  OGRGeometryH ring = OGR_G_CreateGeometry(wkbLinearRing);
  OGRGeometryH polygon = OGR_G_CreateGeometry(wkbPolygon);
  for (size_t i = 0; i < G_N_ELEMENTS(corners); i++)
    OGR_G_AddPoint_2D(ring, corners[i][0], corners[i][1]);
  OGR_G_AddGeometryDirectly(polygon, ring);
  return polygon;
}

/* No transform where none is needed; fails where there is no way. */
static enum isw_status make_transform(struct isw_vector_layer *layer, const struct isw_grid *grid,
                                      struct isw_error *error) {
  OGRSpatialReferenceH given = OGR_L_GetSpatialRef(layer->layer);
  if (given == NULL)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: has no CRS, so that nobody knows where its %s are; add it "
                         "(a shapefile's .prj, or ogr2ogr -a_srs)",
                         layer->path, layer->noun);
  OGRSpatialReferenceH from = OSRClone(given), to = OSRNewSpatialReference(grid->wkt);
  OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
  OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
  enum isw_status status = ISW_OK;
  if (!OSRIsSame(from, to)) {
    note_units(layer, from, to, grid);
    note_near(layer, from, to, grid);
    CPLErrorReset();
    layer->transform = OCTNewCoordinateTransformation(from, to);
    if (layer->transform == NULL)
      status = isw_base_fail(error, ISW_INPUT_CONTENT,
                             "%s: its CRS cannot be brought into that of the grid: %s", layer->path,
                             CPLGetLastErrorMsg());
  }
  OSRDestroySpatialReference(from);
  OSRDestroySpatialReference(to);
  return status;
}

/* The GeoJSON driver reads a file's first object and passes over what stands behind it. */
static enum isw_status check_tail(const struct isw_vector_layer *layer, struct isw_error *error) {
  GDALDriverH driver = GDALGetDatasetDriver(layer->dataset);
  bool one_object = driver != NULL && strcmp(GDALGetDriverShortName(driver), "GeoJSON") == 0;
  long long line = one_object ? isw_regions_find_json_tail(layer->path) : 0;
  if (line == 0) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_FILE,
                       "%s:%lld: can be read only in part: something follows the end of the "
                       "GeoJSON object; put all %s into one FeatureCollection",
                       layer->path, line, layer->noun);
}

enum isw_status isw_regions_open_layer(const char *path, const char *noun,
                                       const struct isw_grid *grid, struct isw_log *log,
                                       struct isw_vector_layer *out, struct isw_error *error) {
  enum isw_status status = isw_regions_open_layer_at(path, noun, 0, grid, out, error);
  if (status == ISW_OK && GDALDatasetGetLayerCount(out->dataset) > 1)
    isw_base_notice(log, "%s: its first layer (%s) is taken", path, OGR_L_GetName(out->layer));
  return status;
}

enum isw_status isw_regions_open_layer_at(const char *path, const char *noun, int index,
                                          const struct isw_grid *grid, struct isw_vector_layer *out,
                                          struct isw_error *error) {
  *out = (struct isw_vector_layer){.path = NULL};
  enum isw_status status = isw_documents_check_kind(path, error);
  if (status != ISW_OK) return status;
  *out = (struct isw_vector_layer){.path = g_strdup(path), .noun = noun};
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  out->dataset =
      GDALOpenEx(path, GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
  CPLPopErrorHandler();
  if (out->dataset == NULL)
    status = isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read as %s: %s", path, noun,
                           CPLGetLastErrorMsg());
  if (status == ISW_OK) out->layer = GDALDatasetGetLayer(out->dataset, index);
  if (status == ISW_OK && out->layer == NULL)
    status = isw_base_fail(error, ISW_INPUT_FILE, "%s: holds no vector layer of %s", path, noun);
  if (status == ISW_OK) status = check_tail(out, error);
  if (status == ISW_OK) status = make_transform(out, grid, error);
  if (status != ISW_OK) isw_regions_close_layer(out);
  return status;
}

void isw_regions_close_layer(struct isw_vector_layer *layer) {
  if (layer->transform != NULL) OCTDestroyCoordinateTransformation(layer->transform);
  if (layer->dataset != NULL) GDALClose(layer->dataset);
  g_free(layer->path);
  *layer = (struct isw_vector_layer){.path = NULL};
}

enum isw_status isw_regions_find_column(const struct isw_vector_layer *layer, const char *name,
                                        int *out, struct isw_error *error) {
  OGRFeatureDefnH schema = OGR_L_GetLayerDefn(layer->layer);
  *out = OGR_FD_GetFieldIndex(schema, name);
  if (*out >= 0) return ISW_OK;
  GString *names = g_string_new(NULL);
  for (int i = 0; i < OGR_FD_GetFieldCount(schema); i++)
    g_string_append_printf(names, "%s%s", i > 0 ? ", " : "",
                           OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(schema, i)));
  enum isw_status status =
      isw_base_fail(error, ISW_USAGE, "%s: has no column \"%s\"; it has: %s", layer->path, name,
                    names->len > 0 ? names->str : "none at all");
  g_string_free(names, TRUE);
  return status;
}

/* Drivers that read line by line pass over what they cannot read and go on to the next, or end as
 * if the file ended there: only the error that they leave behind tells. */
enum isw_status isw_regions_next_feature(struct isw_vector_layer *layer, OGRFeatureH *out,
                                         struct isw_error *error) {
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  *out = OGR_L_GetNextFeature(layer->layer);
  CPLPopErrorHandler();
  if (CPLGetLastErrorType() < CE_Failure) return ISW_OK;
  if (*out != NULL) OGR_F_Destroy(*out);
  *out = NULL;
  return isw_base_fail(error, ISW_INPUT_FILE,
                       "%s: can be read only in part: %s; give the whole file", layer->path,
                       CPLGetLastErrorMsg());
}

char *isw_regions_feature_text(OGRFeatureH feature, int column) {
  if (!OGR_F_IsFieldSetAndNotNull(feature, column)) return g_strdup("");
  char *clean = g_utf8_make_valid(OGR_F_GetFieldAsString(feature, column), -1);
  const char *from = clean, *end = clean + strlen(clean);
  while (from < end && g_unichar_isspace(g_utf8_get_char(from))) from = g_utf8_next_char(from);
  for (const char *last; end > from; end = last) {
    last = g_utf8_prev_char(end);
    if (!g_unichar_isspace(g_utf8_get_char(last))) break;
  }
  char *text = g_strndup(from, (gsize)(end - from));
  g_free(clean);
  return text;
}

char *isw_regions_name_feature(const struct isw_vector_layer *layer, OGRFeatureH feature,
                               const char *name) {
  return g_strdup_printf("%s: feature %lld (%s)", layer->path, (long long)OGR_F_GetFID(feature),
                         name[0] != '\0' ? name : "without a name");
}

static bool is_areal(OGRGeometryH shape) {
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(shape));
  return type == wkbPolygon || type == wkbMultiPolygon || type == wkbTriangle ||
         type == wkbPolyhedralSurface || type == wkbTIN;
}

/* A shape far larger than the grid is cut down to what is near it. */
static void cut_down(const struct isw_vector_layer *layer, OGRGeometryH *shape) {
  static const double far_larger = 3.0;
  static const double turns_deg[] = {0.0, 360.0, -360.0};
  const OGREnvelope *near = &layer->near;
  OGREnvelope envelope;
  OGR_G_GetEnvelope(*shape, &envelope);
  if (!layer->has_near || (envelope.MaxX - envelope.MinX < far_larger * (near->MaxX - near->MinX) &&
                           envelope.MaxY - envelope.MinY < far_larger * (near->MaxY - near->MinY)))
    return;
  for (int i = 0; i < (layer->geographic ? (int)G_N_ELEMENTS(turns_deg) : 1); i++) {
    OGRGeometryH box = make_box(near, turns_deg[i]);
    OGRGeometryH part = OGR_G_Intersection(*shape, box);
    OGR_G_DestroyGeometry(box);
    if (part != NULL && !OGR_G_IsEmpty(part) && is_areal(part)) {
      OGR_G_DestroyGeometry(*shape);
      *shape = part;
      return;
    }
    if (part != NULL) OGR_G_DestroyGeometry(part);
  }
}

static enum isw_status bring(const struct isw_vector_layer *layer, OGRFeatureH feature,
                             const char *what, bool as_polygons, OGRGeometryH *out,
                             struct isw_error *error) {
  *out = NULL;
  OGRGeometryH given = OGR_F_GetGeometryRef(feature);
  if (given == NULL || OGR_G_IsEmpty(given)) return ISW_OK;
  OGRGeometryH shape = OGR_G_GetLinearGeometry(given, 0.0, NULL);
  OGR_G_FlattenTo2D(shape);
  enum isw_status status = ISW_OK;
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  if (as_polygons && !is_areal(shape)) {
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: is a %s; %s must be polygons", what,
                           OGR_G_GetGeometryName(shape), layer->noun);
  } else if (as_polygons && !OGR_G_IsValid(shape)) {
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: the shape is invalid (%s); repair it, for instance with "
                           "ogr2ogr -makevalid",
                           what, CPLGetLastErrorMsg());
  } else if (layer->transform != NULL) {
    cut_down(layer, &shape);
    part_edges(layer, shape);
    if (OGR_G_Transform(shape, layer->transform) != OGRERR_NONE)
      status =
          isw_base_fail(error, ISW_INPUT_CONTENT, "%s: cannot be brought into the grid's CRS: %s",
                        what, CPLGetLastErrorMsg());
  }
  CPLPopErrorHandler();
  if (status == ISW_OK)
    *out = shape;
  else
    OGR_G_DestroyGeometry(shape);
  return status;
}

enum isw_status isw_regions_bring_point(const struct isw_vector_layer *layer, OGRFeatureH feature,
                                        const char *what, double *x, double *y,
                                        struct isw_error *error) {
  OGRGeometryH shape = OGR_F_GetGeometryRef(feature);
  OGRwkbGeometryType type = shape == NULL ? wkbNone : wkbFlatten(OGR_G_GetGeometryType(shape));
  if (type == wkbMultiPoint && OGR_G_GetGeometryCount(shape) == 1) {
    shape = OGR_G_GetGeometryRef(shape, 0);
    type = wkbPoint;
  }
  if (type != wkbPoint || OGR_G_IsEmpty(shape))
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: %s%s; %s must be points", what,
                         type == wkbNone ? "has no shape" : "is a ",
                         type == wkbNone ? "" : OGR_G_GetGeometryName(shape), layer->noun);
  *x = OGR_G_GetX(shape, 0);
  *y = OGR_G_GetY(shape, 0);
  if (layer->transform == NULL) return ISW_OK;
  int found = 0;
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  OCTTransformEx(layer->transform, 1, x, y, NULL, &found);
  CPLPopErrorHandler();
  if (found && isfinite(*x) && isfinite(*y)) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: cannot be brought into the grid's CRS: %s",
                       what, CPLGetLastErrorMsg());
}

enum isw_status isw_regions_bring_polygons(const struct isw_vector_layer *layer,
                                           OGRFeatureH feature, const char *what, OGRGeometryH *out,
                                           struct isw_error *error) {
  return bring(layer, feature, what, true, out, error);
}

enum isw_status isw_regions_bring_shape(const struct isw_vector_layer *layer, OGRFeatureH feature,
                                        const char *what, OGRGeometryH *out,
                                        struct isw_error *error) {
  return bring(layer, feature, what, false, out, error);
}

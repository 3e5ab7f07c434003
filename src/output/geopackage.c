#include "output/geopackage.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <gdal.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "base/clock.h"
#include "climate/grid.h"

/* GDAL's own name of the setting. */
static const char date_setting[] = "OGR_CURRENT_DATE";

struct isw_geopackage {
  char *path;
  GDALDatasetH dataset;
  OGRLayerH layer;
  OGRCoordinateTransformationH to_layer; /* NULL: shapes are in the layer's CRS */
  int n_columns;
  const struct isw_column *columns;
  GArray *counts; /* long long: features by layer */
  char *earlier_date;
  bool failed; /* GDAL told of a failure: the first */
  char why[256];
};

static void CPL_STDCALL note_failure(CPLErr severity, CPLErrorNum number, const char *text) {
  struct isw_geopackage *package = CPLGetErrorHandlerUserData();
  (void)number;
  if (package->failed || severity < CE_Failure) return;
  package->failed = true;
  g_strlcpy(package->why, text, sizeof package->why);
}

static void watch(struct isw_geopackage *package) {
  GDateTime *stated = g_date_time_new_from_unix_utc(isw_base_stated_time());
  char *date = g_date_time_format(stated, "%Y-%m-%dT%H:%M:%S.000Z");
  package->earlier_date = g_strdup(CPLGetThreadLocalConfigOption(date_setting, NULL));
  CPLSetThreadLocalConfigOption(date_setting, date);
  g_free(date);
  g_date_time_unref(stated);
  CPLPushErrorHandlerEx(note_failure, package);
}

static void unwatch(struct isw_geopackage *package) {
  CPLPopErrorHandler();
  CPLSetThreadLocalConfigOption(date_setting, package->earlier_date);
  g_clear_pointer(&package->earlier_date, g_free);
}

static enum isw_status written(const struct isw_geopackage *package, bool ok,
                               struct isw_error *error) {
  if (ok && !package->failed) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT,
                       "%s: cannot be written completely (%s); is the disk full?", package->path,
                       package->why[0] != '\0' ? package->why : "layers are missing");
}

enum isw_status isw_output_create_geopackage(const char *path, struct isw_geopackage **out,
                                             struct isw_error *error) {
  struct isw_geopackage *package = g_new0(struct isw_geopackage, 1);
  package->path = g_strdup(path);
  package->counts = g_array_new(FALSE, FALSE, sizeof(long long));
  watch(package);
  GDALDriverH driver = GDALGetDriverByName("GPKG");
  if (driver == NULL)
    g_strlcpy(package->why, "this GDAL has no driver for GeoPackage", sizeof package->why);
  else
    package->dataset = GDALCreate(driver, path, 0, 0, 0, GDT_Unknown, NULL);
  /* One transaction, so that the disk is waited for once. */
  bool done = package->dataset != NULL &&
              GDALDatasetStartTransaction(package->dataset, FALSE) == OGRERR_NONE;
  unwatch(package);
  enum isw_status status = written(package, done, error);
  if (status == ISW_OK)
    *out = package;
  else
    isw_output_drop_geopackage(package);
  return status;
}

static OGRFieldType type_of(enum isw_column_kind kind) {
  if (kind == ISW_COLUMN_WHOLE) return OFTInteger;
  return kind == ISW_COLUMN_NUMBER ? OFTReal : OFTString;
}

static OGRSpatialReferenceH traditional(OGRSpatialReferenceH crs) {
  if (crs != NULL) OSRSetAxisMappingStrategy(crs, OAMS_TRADITIONAL_GIS_ORDER);
  return crs;
}

/* New. The file's format has no word for a rotated pole. */
static OGRSpatialReferenceH choose_crs(struct isw_geopackage *package, const char *wkt) {
  OCTDestroyCoordinateTransformation(package->to_layer);
  package->to_layer = NULL;
  OGRSpatialReferenceH own = traditional(OSRNewSpatialReference(wkt));
  if (!isw_climate_is_rotated(wkt)) return own;
  OGRSpatialReferenceH degrees = traditional(OSRNewSpatialReference(NULL));
  OSRImportFromEPSG(degrees, 4326);
  package->to_layer = OCTNewCoordinateTransformation(own, degrees);
  OSRDestroySpatialReference(own);
  return degrees;
}

static bool set_shape(const struct isw_geopackage *package, OGRFeatureH feature,
                      OGRGeometryH shape) {
  if (shape == NULL) return true;
  if (package->to_layer == NULL) return OGR_F_SetGeometry(feature, shape) == OGRERR_NONE;
  OGRGeometryH moved = OGR_G_Clone(shape);
  return OGR_G_Transform(moved, package->to_layer) == OGRERR_NONE &&
         OGR_F_SetGeometryDirectly(feature, moved) == OGRERR_NONE;
}

enum isw_status isw_output_begin_layer(struct isw_geopackage *package, const char *name,
                                       const char *wkt, OGRwkbGeometryType type, int n_columns,
                                       const struct isw_column *columns, struct isw_error *error) {
  package->n_columns = n_columns;
  package->columns = columns;
  watch(package);
  OGRSpatialReferenceH crs = choose_crs(package, wkt);
  package->layer = GDALDatasetCreateLayer(package->dataset, name, crs, type, NULL);
  bool done = package->layer != NULL;
  for (int i = 0; i < n_columns && done; i++) {
    OGRFieldDefnH field = OGR_Fld_Create(columns[i].name, type_of(columns[i].kind));
    done = OGR_L_CreateField(package->layer, field, FALSE) == OGRERR_NONE;
    OGR_Fld_Destroy(field);
  }
  /* The driver puts off the table of a layer until something is in it: layers would change places.
   */
  done = done && OGR_L_SyncToDisk(package->layer) == OGRERR_NONE;
  if (crs != NULL) OSRDestroySpatialReference(crs);
  unwatch(package);
  long long none = 0;
  g_array_append_val(package->counts, none);
  return written(package, done, error);
}

static void set_field(OGRFeatureH feature, int column, enum isw_column_kind kind,
                      const char *text) {
  if (text[0] == '\0')
    OGR_F_SetFieldNull(feature, column);
  else if (kind == ISW_COLUMN_WHOLE)
    OGR_F_SetFieldInteger(feature, column, (int)g_ascii_strtoll(text, NULL, 10));
  else if (kind == ISW_COLUMN_NUMBER)
    OGR_F_SetFieldDouble(feature, column, g_ascii_strtod(text, NULL));
  else
    OGR_F_SetFieldString(feature, column, text);
}

enum isw_status isw_output_add_feature(struct isw_geopackage *package, OGRGeometryH shape,
                                       const GPtrArray *row, struct isw_error *error) {
  watch(package);
  OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(package->layer));
  for (int i = 0; i < package->n_columns; i++)
    set_field(feature, i, package->columns[i].kind, row->pdata[i]);
  bool done = set_shape(package, feature, shape) &&
              OGR_L_CreateFeature(package->layer, feature) == OGRERR_NONE;
  OGR_F_Destroy(feature);
  unwatch(package);
  g_array_index(package->counts, long long, package->counts->len - 1)++;
  return written(package, done, error);
}

static bool is_whole(const struct isw_geopackage *package) {
  GDALDatasetH dataset =
      GDALOpenEx(package->path, GDAL_OF_VECTOR | GDAL_OF_READONLY, NULL, NULL, NULL);
  if (dataset == NULL) return false;
  bool whole = GDALDatasetGetLayerCount(dataset) == (int)package->counts->len;
  for (guint i = 0; i < package->counts->len && whole; i++) {
    OGRLayerH layer = GDALDatasetGetLayer(dataset, (int)i);
    long long found = 0; /* read, not taken from the file's own count */
    OGRFeatureH feature;
    while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
      OGR_F_Destroy(feature);
      found++;
    }
    whole = found == g_array_index(package->counts, long long, i);
  }
  GDALClose(dataset);
  return whole;
}

static void free_package(struct isw_geopackage *package) {
  OCTDestroyCoordinateTransformation(package->to_layer);
  g_array_unref(package->counts);
  g_free(package->path);
  g_free(package);
}

enum isw_status isw_output_close_geopackage(struct isw_geopackage *package,
                                            struct isw_error *error) {
  watch(package);
  bool done = GDALDatasetCommitTransaction(package->dataset) == OGRERR_NONE;
  GDALFlushCache(package->dataset);
  GDALClose(package->dataset);
  done = done && !package->failed && is_whole(package);
  unwatch(package);
  enum isw_status status = written(package, done, error);
  free_package(package);
  return status;
}

void isw_output_drop_geopackage(struct isw_geopackage *package) {
  if (package == NULL) return;
  CPLPushErrorHandler(CPLQuietErrorHandler);
  if (package->dataset != NULL) GDALClose(package->dataset);
  CPLPopErrorHandler();
  free_package(package);
}

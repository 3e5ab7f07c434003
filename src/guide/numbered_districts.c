#include "guide/numbered_districts.h"

#include <cpl_vsi.h>
#include <gdal.h>
#include <glib.h>
#include <ogr_api.h>
#include <string.h>

const char isw_guide_number_column[] = "number";

static int find_district(const struct isw_district_set *set, const char *name) {
  for (int d = 0; d < isw_guide_district_count(set); d++)
    if (strcmp(isw_guide_district_name(set, d), name) == 0) return d;
  return -1;
}

static bool copy_shapes(OGRLayerH from, const char *name_column, const struct isw_district_set *set,
                        OGRLayerH to) {
  OGRFieldDefnH field = OGR_Fld_Create(isw_guide_number_column, OFTInteger);
  bool fine = OGR_L_CreateField(to, field, TRUE) == OGRERR_NONE;
  OGR_Fld_Destroy(field);
  int column = OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(from), name_column);
  OGRFeatureH feature;
  while (fine && (feature = OGR_L_GetNextFeature(from)) != NULL) {
    OGRFeatureH copy = OGR_F_Create(OGR_L_GetLayerDefn(to));
    OGRGeometryH shape = OGR_F_GetGeometryRef(feature);
    const char *name = column < 0 ? "" : OGR_F_GetFieldAsString(feature, column);
    int district = find_district(set, name);
    if (district >= 0) OGR_F_SetFieldInteger(copy, 0, district + 1);
    if (shape != NULL) OGR_F_SetGeometry(copy, shape);
    fine = OGR_L_CreateFeature(to, copy) == OGRERR_NONE;
    OGR_F_Destroy(copy);
    OGR_F_Destroy(feature);
  }
  return fine;
}

enum isw_status isw_guide_number_districts(const char *vector, const char *name_column,
                                           const struct isw_district_set *set, char **out,
                                           struct isw_error *error) {
  GDALDatasetH source = GDALOpenEx(vector, GDAL_OF_VECTOR | GDAL_OF_READONLY, NULL, NULL, NULL);
  OGRLayerH from = source == NULL ? NULL : GDALDatasetGetLayer(source, 0);
  if (from == NULL) {
    if (source != NULL) GDALClose(source);
    return isw_base_fail(error, ISW_INPUT_FILE, "%s cannot be opened again", vector);
  }
  char *path = g_strdup_printf("/vsimem/isosow-%p.gpkg", (const void *)set);
  GDALDriverH driver = GDALGetDriverByName("GPKG");
  GDALDatasetH numbered =
      driver == NULL ? NULL : GDALCreate(driver, path, 0, 0, 0, GDT_Unknown, NULL);
  OGRLayerH to = numbered == NULL
                     ? NULL
                     : GDALDatasetCreateLayer(numbered, "numbered", OGR_L_GetSpatialRef(from),
                                              wkbUnknown, NULL);
  bool fine = to != NULL && copy_shapes(from, name_column, set, to);
  if (numbered != NULL) GDALClose(numbered);
  GDALClose(source);
  if (!fine) {
    isw_guide_drop_numbers(path);
    return isw_base_fail(error, ISW_RESOURCES, "%s: its shapes cannot be copied in memory", vector);
  }
  *out = path;
  return ISW_OK;
}

void isw_guide_drop_numbers(char *numbered) {
  if (numbered != NULL) VSIUnlink(numbered);
  g_free(numbered);
}

/* Layers of maps: what is water, road or border, and what is refused. */
#include <cpl_conv.h>
#include <gdal.h>
#include <glib.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "regions/map_layers.h"
#include "suite_main.h"

static char *wkt;
static struct isw_grid grid = {60, 45, {480000, 1000, 0, 5100000, 0, -1000}, NULL, false};
static struct isw_log quiet;

static void set_up(void) {
  GDALAllRegister();
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRImportFromEPSG(crs, 32606), OGRERR_NONE);
  OSRExportToWkt(crs, &wkt);
  OSRDestroySpatialReference(crs);
  grid.wkt = wkt;
  quiet = isw_base_log_make(stderr, true);
}

static void tear_down(void) {
  CPLFree(wkt);
}

#define LINE "{\"type\":\"LineString\",\"coordinates\":[[-147,45.8],[-146.7,45.9]]}"
#define AREA                                                                          \
  "{\"type\":\"Polygon\",\"coordinates\":[[[-147,45.8],[-146.9,45.8],[-146.9,45.9],[" \
  "-147,45.8]]]}"
#define POINT "{\"type\":\"Point\",\"coordinates\":[-147,45.8]}"

static char *write_file(const char *name, const char *kind, const char *shape) {
  char *path = g_strdup_printf("%s/map_layers_%d_%s.geojson", TEST_BINARY_DIR, (int)getpid(), name);
  char *column = kind != NULL ? g_strdup_printf("\"kind\":\"%s\"", kind) : g_strdup("");
  char *text = g_strdup_printf(
      "{\"type\":\"FeatureCollection\",\"name\":\"%s\",\"features\":[{\"type\":\"Feature\","
      "\"properties\":{%s},\"geometry\":%s}]}",
      name, column, shape);
  ck_assert(g_file_set_contents(path, text, -1, NULL));
  g_free(text);
  g_free(column);
  return path;
}

static const struct {
  const char *layer, *kind, *shape;
  int found; /* enum isw_layer_kind; -1: refused; -2: left out */
} cases[] = {
    {"any", "water", LINE, ISW_LAYER_WATER},
    {"any", "River", LINE, ISW_LAYER_WATER},
    {"any", "lakes", AREA, ISW_LAYER_WATER},
    {"any", "main roads", LINE, ISW_LAYER_ROAD},
    {"any", "boundary", AREA, ISW_LAYER_BORDER},
    {"rivers_10m", NULL, LINE, ISW_LAYER_WATER},
    {"streets", NULL, LINE, ISW_LAYER_ROAD},
    {"admin_borders", NULL, AREA, ISW_LAYER_BORDER},
    {"roads", "water", LINE, ISW_LAYER_WATER}, /* the column comes first */
    {"any", "railway", LINE, -1},
    {"any", NULL, LINE, -1},
    {"any", "", LINE, -1},
    {"any", "water", POINT, -2},
};

static void count(void *into, int n, const double *x, const double *y, double middle_x) {
  (void)middle_x;
  for (int i = 0; i < n; i++) /* in the grid's CRS: UTM zone 6, metres */
    ck_assert(x[i] > 400000 && x[i] < 600000 && y[i] > 5000000 && y[i] < 5200000);
  *(int *)into += n;
}

START_TEST(kinds_are_told) {
  char *path = write_file(cases[_i].layer, cases[_i].kind, cases[_i].shape);
  struct isw_map_layers *layers = NULL;
  struct isw_error error = {0};
  enum isw_status status = isw_regions_open_map_layers(path, &grid, &quiet, &layers, &error);
  if (cases[_i].found == -1) {
    ck_assert_int_eq(status, ISW_INPUT_CONTENT);
    ck_assert_ptr_nonnull(strstr(error.text, path));
    ck_assert_ptr_nonnull(strstr(error.text, "neither water, road nor border"));
  } else {
    ck_assert_msg(status == ISW_OK, "%s", error.text);
    for (int kind = 0; kind < ISW_LAYER_KINDS; kind++) {
      int n = isw_regions_count_shapes(layers, (enum isw_layer_kind)kind), points = 0;
      ck_assert_int_eq(n, kind == cases[_i].found ? 1 : 0);
      bool is_area;
      if (n == 0) continue;
      isw_regions_visit_shape(layers, (enum isw_layer_kind)kind, 0, &is_area, count, &points);
      ck_assert_int_eq(is_area, strcmp(cases[_i].shape, AREA) == 0);
      ck_assert_int_ge(points, is_area ? 4 : 2);
    }
    isw_regions_free_map_layers(layers);
  }
  remove(path);
  g_free(path);
}
END_TEST

/* All layers of a file count, and one that cannot be read spoils the whole. */
START_TEST(every_layer_is_read) {
  char *path = g_strdup_printf("%s/map_layers_%d.gpkg", TEST_BINARY_DIR, (int)getpid());
  GDALDatasetH file = GDALCreate(GDALGetDriverByName("GPKG"), path, 0, 0, 0, GDT_Unknown, NULL);
  ck_assert_ptr_nonnull(file);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(wkt);
  static const char *const names[] = {"roads", "lakes", "roads2", "odd"};
  for (int i = 0; i < 4; i++) {
    struct isw_map_layers *layers = NULL;
    struct isw_error error = {0};
    OGRLayerH layer = GDALDatasetCreateLayer(file, names[i], crs, wkbUnknown, NULL);
    OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
    OGRGeometryH shape = OGR_G_CreateGeometry(wkbLineString);
    OGR_G_AddPoint_2D(shape, 490000, 5090000);
    OGR_G_AddPoint_2D(shape, 500000, 5080000);
    OGR_F_SetGeometryDirectly(feature, shape);
    ck_assert_int_eq(OGR_L_CreateFeature(layer, feature), OGRERR_NONE);
    OGR_F_Destroy(feature);
    GDALFlushCache(file);
    enum isw_status status = isw_regions_open_map_layers(path, &grid, &quiet, &layers, &error);
    if (i == 3) {
      ck_assert_int_eq(status, ISW_INPUT_CONTENT);
      ck_assert_ptr_nonnull(strstr(error.text, "odd"));
      break;
    }
    ck_assert_msg(status == ISW_OK, "%s", error.text);
    ck_assert_int_eq(isw_regions_count_shapes(layers, ISW_LAYER_ROAD), i == 2 ? 2 : 1);
    ck_assert_int_eq(isw_regions_count_shapes(layers, ISW_LAYER_WATER), i > 0);
    isw_regions_free_map_layers(layers);
  }
  OSRDestroySpatialReference(crs);
  GDALClose(file);
  remove(path);
  g_free(path);
}
END_TEST

START_TEST(a_missing_file_is_told) {
  struct isw_map_layers *layers = NULL;
  struct isw_error error = {0};
  ck_assert_int_eq(
      isw_regions_open_map_layers("/nonexistent/l.gpkg", &grid, &quiet, &layers, &error),
      ISW_INPUT_FILE);
  ck_assert_ptr_nonnull(strstr(error.text, "/nonexistent/l.gpkg"));
  isw_regions_free_map_layers(NULL);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("map_layers");
  TCase *tcase = tcase_create("map_layers");
  tcase_add_checked_fixture(tcase, set_up, tear_down);
  tcase_add_loop_test(tcase, kinds_are_told, 0, (int)G_N_ELEMENTS(cases));
  tcase_add_test(tcase, every_layer_is_read);
  tcase_add_test(tcase, a_missing_file_is_told);
  suite_add_tcase(suite, tcase);
  return suite;
}

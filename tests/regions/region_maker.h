/* A small grid and small files for the tests of regions. */
#ifndef ISW_TEST_REGION_MAKER_H
#define ISW_TEST_REGION_MAKER_H

#include <check.h>
#include <cpl_conv.h>
#include <gdal.h>
#include <glib.h>
#include <ogr_srs_api.h>
#include <unistd.h>

#include "climate/climate.h"

enum { COLS = 40, ROWS = 30 };

/* Cells of 0.1 degree from 10 E, 50 N. */
static inline struct isw_grid make_grid(void) {
  GDALAllRegister();
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(crs, 4326);
  char *wkt;
  OSRExportToWkt(crs, &wkt);
  struct isw_grid grid = {COLS, ROWS, {10, 0.1, 0, 50, 0, -0.1}, g_strdup(wkt), true};
  CPLFree(wkt);
  OSRDestroySpatialReference(crs);
  return grid;
}

static inline char *write_file(const char *name, const char *text) {
  char *path = g_strdup_printf("%s/regions_%d_%s", TEST_BINARY_DIR, (int)getpid(), name);
  ck_assert(g_file_set_contents(path, text, -1, NULL));
  return path;
}

#define SQUARE(name, west, south)                                                           \
  "{\"type\":\"Feature\",\"properties\":{\"name\":\"" name                                  \
  "\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[" #west "," #south "],[" #west \
  ".5," #south "],[" #west ".5," #south ".5],[" #west "," #south "]]]}}"
#define COLLECTION(features) "{\"type\":\"FeatureCollection\",\"features\":[" features "]}"

#endif

/* DESIGN: one pair of OGR transformations per locator, both in traditional axis order. Everything
 * that asks many points goes through isw_climate_locate_cells, which transforms them in one call:
 * PROJ's cost per call is far above its cost per point. */
#include <cpl_error.h>
#include <geodesic.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stddef.h>
#include <string.h>

#include "climate/grid.h"

enum { EDGE_PARTS = 16, CHUNK_POINTS = 4096 };

struct isw_locator {
  struct isw_grid grid;
  OGRCoordinateTransformationH to_degrees, from_degrees;
  struct geod_geodesic geodesic;
  int area_row; /* of area_m2; -1: none yet */
  double area_m2;
};

static OGRSpatialReferenceH traditional(OGRSpatialReferenceH crs) {
  if (crs != NULL) OSRSetAxisMappingStrategy(crs, OAMS_TRADITIONAL_GIS_ORDER);
  return crs;
}

enum isw_status isw_climate_new_locator(const struct isw_grid *grid, struct isw_locator **out,
                                        struct isw_error *error) {
  OGRSpatialReferenceH degrees = traditional(OSRNewSpatialReference(NULL));
  OSRImportFromEPSG(degrees, 4326);
  OGRSpatialReferenceH crs = traditional(OSRNewSpatialReference(grid->wkt));
  struct isw_locator *locator = g_new0(struct isw_locator, 1);
  isw_climate_copy_grid(grid, &locator->grid);
  locator->area_row = -1;
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  if (crs != NULL) {
    locator->to_degrees = OCTNewCoordinateTransformation(crs, degrees);
    locator->from_degrees = OCTNewCoordinateTransformation(degrees, crs);
    OGRErr answer = OGRERR_NONE;
    double semi_major_m = OSRGetSemiMajor(crs, &answer);
    double inverse_flattening = OSRGetInvFlattening(crs, NULL);
    if (answer != OGRERR_NONE || !(semi_major_m > 0.0))
      semi_major_m = SRS_WGS84_SEMIMAJOR, inverse_flattening = SRS_WGS84_INVFLATTENING;
    geod_init(&locator->geodesic, semi_major_m,
              inverse_flattening > 0.0 ? 1.0 / inverse_flattening : 0.0);
  }
  CPLPopErrorHandler();
  OSRDestroySpatialReference(degrees);
  OSRDestroySpatialReference(crs);
  if (locator->to_degrees == NULL || locator->from_degrees == NULL) {
    const char *reason = CPLGetLastErrorMsg();
    isw_base_fail(error, ISW_INPUT_CONTENT,
                  "the CRS gives no latitude and longitude%s%s\nGive one that does with ‹crs›",
                  reason[0] == '\0' ? "" : ": ", reason);
    isw_climate_free_locator(locator);
    return ISW_INPUT_CONTENT;
  }
  *out = locator;
  return ISW_OK;
}

void isw_climate_free_locator(struct isw_locator *locator) {
  if (locator == NULL) return;
  if (locator->to_degrees != NULL) OCTDestroyCoordinateTransformation(locator->to_degrees);
  if (locator->from_degrees != NULL) OCTDestroyCoordinateTransformation(locator->from_degrees);
  isw_climate_free_grid(&locator->grid);
  g_free(locator);
}

static void transform(OGRCoordinateTransformationH how, int n, double *x, double *y) {
  int *found = g_new0(int, (gsize)n);
  CPLPushErrorHandler(CPLQuietErrorHandler);
  OCTTransformEx(how, n, x, y, NULL, found);
  CPLPopErrorHandler();
  for (int i = 0; i < n; i++)
    if (!found[i] || !isfinite(x[i]) || !isfinite(y[i])) x[i] = y[i] = NAN;
  g_free(found);
}

static double wrap_longitude(double lon_deg) {
  if (lon_deg >= -180.0 && lon_deg <= 180.0) return lon_deg;
  return remainder(lon_deg, 360.0);
}

void isw_climate_locate_cells(struct isw_locator *locator, int n, const double *cols,
                              const double *rows, double *lat_deg, double *lon_deg) {
  for (int i = 0; i < n; i++) {
    isw_climate_grid_point(&locator->grid, cols[i], rows[i], &lon_deg[i], &lat_deg[i]);
    if (!locator->grid.geographic) continue;
    lon_deg[i] = wrap_longitude(lon_deg[i]);
    /* Grids with a row of centres at the pole reach half a cell beyond it. */
    if (fabs(lat_deg[i]) - 90.0 <= fabs(locator->grid.transform[5]))
      lat_deg[i] = CLAMP(lat_deg[i], -90.0, 90.0);
  }
  for (int start = 0; start < n; start += CHUNK_POINTS)
    transform(locator->to_degrees, MIN(CHUNK_POINTS, n - start), lon_deg + start, lat_deg + start);
  for (int i = 0; i < n; i++) {
    if (fabs(lat_deg[i]) > 90.0) lat_deg[i] = lon_deg[i] = NAN;
    if (isfinite(lon_deg[i])) lon_deg[i] = wrap_longitude(lon_deg[i]);
  }
}

bool isw_climate_locate_cell(struct isw_locator *locator, double col, double row, double *lat_deg,
                             double *lon_deg) {
  double lat, lon;
  isw_climate_locate_cells(locator, 1, &col, &row, &lat, &lon);
  if (!isfinite(lat) || !isfinite(lon)) return false;
  *lat_deg = lat;
  *lon_deg = lon;
  return true;
}

/* A projection answers far outside its area too, and wrongly; then the way back ends elsewhere. */
static bool comes_back(struct isw_locator *locator, double col, double row, double lat_deg,
                       double lon_deg) {
  static const double tolerance_deg = 1e-3;
  double lat, lon;
  if (!isw_climate_locate_cell(locator, col, row, &lat, &lon)) return false;
  double east_deg = remainder(lon - lon_deg, 360.0) * cos(lat_deg * G_PI / 180.0);
  return fabs(lat - lat_deg) < tolerance_deg && fabs(east_deg) < tolerance_deg;
}

bool isw_climate_find_cell(struct isw_locator *locator, double lat_deg, double lon_deg, double *col,
                           double *row) {
  if (!(fabs(lat_deg) <= 90.0) || !isfinite(lon_deg)) return false;
  double x = lon_deg, y = lat_deg;
  transform(locator->from_degrees, 1, &x, &y);
  if (!isfinite(x) || !isfinite(y)) return false;
  double at_col, at_row;
  if (!isw_climate_find_point(&locator->grid, x, y, &at_col, &at_row)) return false;
  if (!locator->grid.geographic && !comes_back(locator, at_col, at_row, lat_deg, lon_deg))
    return false;
  *col = at_col;
  *row = at_row;
  return true;
}

/* The cell's outline, each edge in parts, because a parallel or a projected edge is no geodesic. */
static double polygon_m2(struct isw_locator *locator, double col, double row) {
  enum { POINTS = 4 * EDGE_PARTS };
  double cols[POINTS], rows[POINTS], lat[POINTS], lon[POINTS];
  for (int i = 0; i < EDGE_PARTS; i++) {
    double along = (double)i / EDGE_PARTS;
    const double edge[4][2] = {{along, 0}, {1, along}, {1 - along, 1}, {0, 1 - along}};
    for (int k = 0; k < 4; k++) {
      cols[k * EDGE_PARTS + i] = col + edge[k][0];
      rows[k * EDGE_PARTS + i] = row + edge[k][1];
    }
  }
  isw_climate_locate_cells(locator, POINTS, cols, rows, lat, lon);
  struct geod_polygon polygon;
  geod_polygon_init(&polygon, 0);
  for (int i = 0; i < POINTS; i++) {
    if (!isfinite(lat[i]) || !isfinite(lon[i])) return 0.0;
    geod_polygon_addpoint(&locator->geodesic, &polygon, lat[i], lon[i]);
  }
  double area_m2 = 0.0;
  geod_polygon_compute(&locator->geodesic, &polygon, 0, 1, &area_m2, NULL);
  return fabs(area_m2);
}

double isw_climate_cell_area_m2(struct isw_locator *locator, int col, int row) {
  if (!locator->grid.geographic) return polygon_m2(locator, col, row);
  if (locator->area_row != row) {
    locator->area_m2 = polygon_m2(locator, locator->grid.width / 2, row);
    locator->area_row = row;
  }
  return locator->area_m2;
}

double isw_climate_middle_area_m2(const struct isw_grid *grid) {
  struct isw_locator *locator;
  if (isw_climate_new_locator(grid, &locator, NULL) != ISW_OK) return 0.0;
  double area_m2 = isw_climate_cell_area_m2(locator, grid->width / 2, grid->height / 2);
  isw_climate_free_locator(locator);
  return area_m2;
}

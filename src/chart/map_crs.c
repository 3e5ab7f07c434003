#include "chart/map_crs.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>

static const double world_width_deg = 180.0, world_height_deg = 90.0;
/* Scale grows by 1 + x^2 / 2 away from the middle meridian: 1 % at 8 degrees. */
static const double narrow_reach_deg = 8.0;
static const double high_and_narrow = 2.5; /* height over width that makes an area narrow */
static const double conic_lowest_deg = 15.0, conic_highest_deg = 75.0;

static bool means(const char *asked, const char *word) {
  return g_ascii_strcasecmp(asked != NULL ? asked : "auto", word) == 0;
}

static OGRSpatialReferenceH read_crs(const char *text) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  CPLPushErrorHandler(CPLQuietErrorHandler);
  bool known = OSRSetFromUserInput(crs, text) == OGRERR_NONE && OSRIsProjected(crs);
  CPLPopErrorHandler();
  if (known) return crs;
  OSRDestroySpatialReference(crs);
  return NULL;
}

enum isw_status isw_chart_check_map_crs(const char *asked, struct isw_error *error) {
  if (means(asked, "auto") || means(asked, "grid")) return ISW_OK;
  OGRSpatialReferenceH crs = read_crs(asked);
  if (crs == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "%s: is neither auto, grid nor a projected CRS (such as "
                         "EPSG:3035)",
                         asked);
  OSRDestroySpatialReference(crs);
  return ISW_OK;
}

static char *take_wkt(OGRSpatialReferenceH crs) {
  char *wkt = NULL;
  OSRExportToWkt(crs, &wkt);
  char *kept = g_strdup(wkt);
  CPLFree(wkt);
  OSRDestroySpatialReference(crs);
  return kept;
}

/* A CRS on the grid's own datum, made for the bounds. */
static char *make_local(const struct isw_grid *grid, struct isw_degree_bounds bounds) {
  double width_deg = bounds.east_deg - bounds.west_deg;
  double height_deg = bounds.north_deg - bounds.south_deg;
  if (!(width_deg < world_width_deg && height_deg < world_height_deg)) return NULL;
  OGRSpatialReferenceH crs = OSRNewSpatialReference(grid->wkt);
  /* Degrees of another unit or meridian are rare enough to be left as they are. */
  if (crs == NULL || !OSRIsGeographic(crs) ||
      fabs(OSRGetAngularUnits(crs, NULL) * 180 / G_PI - 1) > 1e-9 ||
      fabs(OSRGetPrimeMeridian(crs, NULL)) > 0) {
    if (crs != NULL) OSRDestroySpatialReference(crs);
    return NULL;
  }
  double middle_lat_deg = (bounds.south_deg + bounds.north_deg) / 2;
  double middle_lon_deg = remainder((bounds.west_deg + bounds.east_deg) / 2, 360.0);
  double ground_width_deg = width_deg * cos(middle_lat_deg * G_PI / 180);
  double nearest_deg = bounds.south_deg < 0 && bounds.north_deg > 0
                           ? 0
                           : fmin(fabs(bounds.south_deg), fabs(bounds.north_deg));
  double farthest_deg = fmax(fabs(bounds.south_deg), fabs(bounds.north_deg));
  if (ground_width_deg / 2 <= narrow_reach_deg || height_deg > high_and_narrow * ground_width_deg) {
    /* Half of the error at the edge is taken off everywhere. */
    double reach = fmin(ground_width_deg / 2, narrow_reach_deg) * G_PI / 180;
    OSRSetProjCS(crs, "local transverse Mercator");
    OSRSetTM(crs, middle_lat_deg, middle_lon_deg, 1 - reach * reach / 4, 0, 0);
  } else if (nearest_deg >= conic_lowest_deg && farthest_deg <= conic_highest_deg) {
    OSRSetProjCS(crs, "local Lambert conformal conic");
    OSRSetLCC(crs, bounds.south_deg + height_deg / 6, bounds.north_deg - height_deg / 6,
              middle_lat_deg, middle_lon_deg, 0, 0);
  } else {
    OSRSetProjCS(crs, "local Lambert azimuthal equal-area");
    OSRSetLAEA(crs, middle_lat_deg, middle_lon_deg, 0, 0);
  }
  return take_wkt(crs);
}

enum isw_status isw_chart_choose_map_crs(const char *asked, const struct isw_grid *grid,
                                         struct isw_degree_bounds bounds, char **wkt,
                                         struct isw_error *error) {
  *wkt = NULL;
  if (means(asked, "grid")) return ISW_OK;
  if (means(asked, "auto")) {
    if (grid->geographic) *wkt = make_local(grid, bounds);
    return ISW_OK;
  }
  OGRSpatialReferenceH crs = read_crs(asked);
  if (crs == NULL) return isw_chart_check_map_crs(asked, error);
  *wkt = take_wkt(crs);
  return ISW_OK;
}

#include "climate/grid_extent.h"

#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stddef.h>

#include "climate/grid.h"

static const double farthest_lat_deg = 90.0, full_turn_deg = 360.0, farthest_lon_deg = 720.0;
/* Grids with a row of centres at the pole reach half a cell beyond it. */
static const double beyond_pole_cells = 0.5, noise_cells = 1e-3;
/* The smallest map anybody has normals for is larger. */
static const double smallest_map = 1000.0;

struct extent {
  double west, east, south, north;
};

static struct extent extent_of(const struct isw_grid *grid) {
  struct extent extent = {INFINITY, -INFINITY, INFINITY, -INFINITY};
  for (int corner = 0; corner < 4; corner++) {
    double x, y;
    isw_climate_grid_point(grid, corner % 2 ? grid->width : 0, corner / 2 ? grid->height : 0, &x,
                           &y);
    extent = (struct extent){fmin(extent.west, x), fmax(extent.east, x), fmin(extent.south, y),
                             fmax(extent.north, y)};
  }
  return extent;
}

static double beyond_pole_deg(const struct isw_grid *grid) {
  return (beyond_pole_cells + noise_cells) * hypot(grid->transform[2], grid->transform[5]);
}

static bool fit_degrees(const struct isw_grid *grid, const struct extent *extent) {
  double most_deg = farthest_lat_deg + beyond_pole_deg(grid);
  return extent->south >= -most_deg && extent->north <= most_deg &&
         fmax(fabs(extent->west), fabs(extent->east)) <= farthest_lon_deg;
}

static enum isw_status check_degrees(const struct isw_grid *grid, const char *name,
                                     struct isw_error *error) {
  struct extent extent = extent_of(grid);
  if (!fit_degrees(grid, &extent))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: by its CRS it holds degrees, but it runs from %.10g to %.10g in "
                         "longitude and from %.10g to %.10g in latitude\nThese are the coordinates "
                         "of a map: say its own CRS with ‹crs›",
                         name, extent.west, extent.east, extent.south, extent.north);
  double noise_deg = noise_cells * hypot(grid->transform[1], grid->transform[4]);
  if (extent.east - extent.west > full_turn_deg + noise_deg)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: %.10g degrees of longitude, more than the Earth has\nCut off what is "
                         "there twice, for instance with gdal_translate -srcwin",
                         name, extent.east - extent.west);
  return ISW_OK;
}

static enum isw_status check_map(const struct isw_grid *grid, const char *name,
                                 struct isw_error *error) {
  struct extent extent = extent_of(grid);
  if (extent.east - extent.west > smallest_map || extent.north - extent.south > smallest_map ||
      !fit_degrees(grid, &extent))
    return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_DOUBT,
                       "%s: by its CRS its coordinates are those of a map, but they run from "
                       "%.10g to %.10g and from %.10g to %.10g and look like degrees\nSay ‹crs› "
                       "EPSG:4326 if they are",
                       name, extent.west, extent.east, extent.south, extent.north);
}

enum isw_status isw_climate_check_extent(const struct isw_grid *grid, const char *name,
                                         struct isw_error *error) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(grid->wkt);
  bool degrees = crs != NULL && OSRIsGeographic(crs), map = crs != NULL && OSRIsProjected(crs);
  char *called = g_strdup(crs == NULL || OSRGetName(crs) == NULL ? "?" : OSRGetName(crs));
  OSRDestroySpatialReference(crs);
  enum isw_status status =
      degrees ? check_degrees(grid, name, error)
      : map   ? check_map(grid, name, error)
              : isw_base_fail(error, ISW_INPUT_CONTENT,
                              "%s: its CRS (%s) is neither one of longitude and latitude nor that "
                                "of a map\nSay the CRS of its coordinates with ‹crs›",
                              name, called);
  g_free(called);
  return status;
}

enum isw_status isw_climate_refuse_missing_crs(const struct isw_grid *grid, const char *name,
                                               struct isw_error *error) {
  struct extent extent = extent_of(grid);
  if (fit_degrees(grid, &extent))
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s: it does not say its CRS\nSay it with ‹crs›: EPSG:4326 if its "
                         "coordinates, %.10g to %.10g and %.10g to %.10g, are longitudes and "
                         "latitudes in degrees",
                         name, extent.west, extent.east, extent.south, extent.north);
  return isw_base_fail(error, ISW_INPUT_DOUBT,
                       "%s: it does not say its CRS\nIts coordinates, %.10g to %.10g and %.10g to "
                       "%.10g, are no degrees but those of a map: say its CRS with ‹crs›, as the "
                       "data's description has it",
                       name, extent.west, extent.east, extent.south, extent.north);
}

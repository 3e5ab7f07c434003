#include "climate/grid.h"

#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stddef.h>
#include <string.h>

static const double same_place_cells = 1e-3;

bool isw_climate_is_geographic(const char *wkt) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(wkt);
  bool plain = crs != NULL && OSRIsGeographic(crs) && !OSRIsDerivedGeographic(crs);
  OSRDestroySpatialReference(crs);
  return plain;
}

bool isw_climate_is_rotated(const char *wkt) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(wkt);
  bool rotated = crs != NULL && OSRIsDerivedGeographic(crs);
  OSRDestroySpatialReference(crs);
  return rotated;
}

void isw_climate_copy_grid(const struct isw_grid *from, struct isw_grid *to) {
  *to = *from;
  to->wkt = g_strdup(from->wkt);
}

void isw_climate_free_grid(struct isw_grid *grid) {
  if (grid == NULL) return;
  g_free(grid->wkt);
  grid->wkt = NULL;
}

void isw_climate_grid_point(const struct isw_grid *grid, double col, double row, double *x,
                            double *y) {
  const double *t = grid->transform;
  *x = t[0] + col * t[1] + row * t[2];
  *y = t[3] + col * t[4] + row * t[5];
}

bool isw_climate_grid_position(const struct isw_grid *grid, double x, double y, double *col,
                               double *row) {
  const double *t = grid->transform;
  double determinant = t[1] * t[5] - t[2] * t[4];
  if (determinant == 0.0 || !isfinite(determinant)) return false;
  double dx = x - t[0], dy = y - t[3];
  *col = (dx * t[5] - dy * t[2]) / determinant;
  *row = (dy * t[1] - dx * t[4]) / determinant;
  return true;
}

/* Into [0, size), the far edge belonging to the last cell. */
static bool clamp_into(double *position, int size) {
  static const double edge_noise_cells = 1e-9;
  if (!(*position >= -edge_noise_cells && *position <= size + edge_noise_cells)) return false;
  *position = CLAMP(*position, 0.0, nextafter(size, 0.0));
  return true;
}

bool isw_climate_find_point(const struct isw_grid *grid, double x, double y, double *col,
                            double *row) {
  static const double turns_deg[] = {0.0, 360.0, -360.0};
  int turns = grid->geographic ? (int)G_N_ELEMENTS(turns_deg) : 1;
  for (int i = 0; i < turns; i++)
    if (isw_climate_grid_position(grid, x + turns_deg[i], y, col, row) &&
        clamp_into(col, grid->width) && clamp_into(row, grid->height))
      return true;
  return false;
}

bool isw_climate_same_crs(const char *wkt_a, const char *wkt_b) {
  if (strcmp(wkt_a, wkt_b) == 0) return true;
  OGRSpatialReferenceH a = OSRNewSpatialReference(wkt_a);
  OGRSpatialReferenceH b = OSRNewSpatialReference(wkt_b);
  static const char *const options[] = {"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES",
                                        "CRITERION=EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS",
                                        "IGNORE_COORDINATE_EPOCH=YES", NULL};
  bool same = a != NULL && b != NULL && OSRIsSameEx(a, b, options);
  OSRDestroySpatialReference(a);
  OSRDestroySpatialReference(b);
  return same;
}

/* How a message shows a grid. */
static char *describe(const struct isw_grid *grid) {
  const double *t = grid->transform;
  OGRSpatialReferenceH crs = OSRNewSpatialReference(grid->wkt);
  const char *name = crs == NULL ? NULL : OSRGetName(crs);
  char *text = g_strdup_printf("%d x %d cells of %.10g x %.10g from %.10g, %.10g in %s",
                               grid->width, grid->height, fabs(hypot(t[1], t[4])),
                               fabs(hypot(t[2], t[5])), t[0], t[3], name == NULL ? "?" : name);
  OSRDestroySpatialReference(crs);
  return text;
}

/* Cells: as far at the origin as at the far corner, but for a part that is itself within bounds. */
static bool is_shift(double at_origin, double at_corner) {
  return fabs(at_corner - at_origin) <= fmax(same_place_cells, 0.5 * fabs(at_origin));
}

enum isw_status isw_climate_compare_grids(const struct isw_grid *a, const char *a_name,
                                          const struct isw_grid *b, const char *b_name,
                                          struct isw_error *error) {
  double corner_shift[2] = {0, 0}, origin_shift[2] = {0, 0};
  bool comparable = true;
  for (int corner = 0; corner < 4 && comparable; corner++) {
    double col = corner & 1 ? a->width : 0, row = corner & 2 ? a->height : 0;
    double x, y, at_col, at_row;
    isw_climate_grid_point(b, col, row, &x, &y);
    comparable = isw_climate_grid_position(a, x, y, &at_col, &at_row);
    if (!comparable) break;
    if (corner == 0) origin_shift[0] = at_col - col, origin_shift[1] = at_row - row;
    if (fabs(at_col - col) > fabs(corner_shift[0])) corner_shift[0] = at_col - col;
    if (fabs(at_row - row) > fabs(corner_shift[1])) corner_shift[1] = at_row - row;
  }
  static const double noise_cells = 1e-6;
  for (int k = 0; k < 2; k++)
    if (fabs(origin_shift[k]) < noise_cells) origin_shift[k] = 0.0;
  bool same_size = a->width == b->width && a->height == b->height;
  bool same_crs = isw_climate_same_crs(a->wkt, b->wkt);
  if (same_size && same_crs && comparable && fabs(corner_shift[0]) <= same_place_cells &&
      fabs(corner_shift[1]) <= same_place_cells)
    return ISW_OK;
  char *a_text = describe(a), *b_text = describe(b);
  char *difference;
  if (!same_crs)
    difference = g_strdup("their CRS differ");
  else if (!comparable)
    difference = g_strdup("one of them has cells without size");
  else if (!same_size && fabs(origin_shift[0]) <= same_place_cells &&
           fabs(origin_shift[1]) <= same_place_cells)
    difference = g_strdup("their sizes differ");
  else if (is_shift(origin_shift[0], corner_shift[0]) && is_shift(origin_shift[1], corner_shift[1]))
    difference = g_strdup_printf(
        "the second is shifted by %.4g columns and %.4g rows (%.6g and "
        "%.6g in their CRS)",
        origin_shift[0], origin_shift[1], b->transform[0] - a->transform[0],
        b->transform[3] - a->transform[3]);
  else
    difference =
        g_strdup_printf("their cell sizes differ, up to %.4g columns and %.4g rows at the far edge",
                        corner_shift[0], corner_shift[1]);
  isw_base_fail(error, ISW_INPUT_CONTENT,
                "%s and %s are not on the same grid: %s\n  %s: %s\n  %s: %s\nBring one onto the "
                "other's grid, for instance with gdalwarp -t_srs, -te, -ts",
                a_name, b_name, difference, a_name, a_text, b_name, b_text);
  g_free(difference);
  g_free(a_text);
  g_free(b_text);
  return ISW_INPUT_CONTENT;
}

/* DESIGN: for a block of the fine grid, find where its cell centres lie on the normals' grid, read
 * the window of normals around all of them, reduce it to sea level once, and take four neighbours
 * per cell:
 *
 *      (c,r) o-------o (c+1,r)      weights (1-u)(1-v), u(1-v), (1-u)v, uv
 *            | .(u,v)|              of normals' cell centres
 *            o-------o
 *
 * Memory is the block's and the window's; a block that spreads over too many normals (it spans the
 * seam of a 0..360 grid) is taken row by row. */
#include "climate/elevation.h"

#include <cpl_error.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "climate/cells.h"
#include "climate/grid.h"

enum { WINDOW_CELLS = 262144, WINDOW_CELLS_MAX = 4194304 };
static const double lowest_lapse_K_km = -10.0, highest_lapse_K_km = 20.0;

struct isw_elevation {
  const struct isw_normal_sources *normals;
  struct isw_source *fine, *coarse;
  OGRCoordinateTransformationH to_normals; /* NULL: same CRS */
  double lapse_K_km[ISW_CELL_NORMALS];
  bool uniform;
};

static enum isw_status check_lapse(double value, const char *option, const char *text,
                                   struct isw_error *error) {
  if (value >= lowest_lapse_K_km && value <= highest_lapse_K_km) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE,
                       "%s %s: a lapse rate is K per km, positive where it gets colder with "
                       "height, %g to %g",
                       option, text, lowest_lapse_K_km, highest_lapse_K_km);
}

static enum isw_status parse_lapse(struct isw_elevation *elevation,
                                   const struct isw_climate_request *request,
                                   struct isw_error *error) {
  bool monthly = request->lapse_monthly != NULL && request->lapse_monthly[0] != '\0';
  bool given = request->lapse != NULL && request->lapse[0] != '\0';
  double values[ISW_CELL_NORMALS] = {ISW_LAPSE_DEFAULT_K_KM};
  int count = 1;
  if (monthly || given) {
    const char *option = monthly ? "‹lapse-monthly›" : "‹lapse›";
    const char *text = monthly ? request->lapse_monthly : request->lapse;
    char **parts = g_strsplit(text, ",", -1);
    enum isw_status status = ISW_OK;
    for (count = 0; parts[count] != NULL && status == ISW_OK; count++) {
      char *end;
      double value = g_ascii_strtod(g_strstrip(parts[count]), &end);
      if (end == parts[count] || *end != '\0') value = NAN;
      status = check_lapse(value, option, parts[count], error);
      if (count < ISW_CELL_NORMALS) values[count] = value;
    }
    g_strfreev(parts);
    if (status != ISW_OK) return status;
    if (!monthly && count != 1)
      return isw_base_fail(error, ISW_USAGE, "‹lapse› %s: give one number, or ‹lapse-monthly›",
                           text);
    if (monthly && count != ISW_YEAR_MONTHS && count != ISW_CELL_NORMALS)
      return isw_base_fail(error, ISW_USAGE,
                           "‹lapse-monthly›: %d values; give 12 for both or 24, tmin before tmax, "
                           "with commas between",
                           count);
  }
  for (int k = 0; k < ISW_CELL_NORMALS; k++) elevation->lapse_K_km[k] = values[k % count];
  elevation->uniform = count == 1;
  return ISW_OK;
}

static OGRCoordinateTransformationH new_transformation(const char *from_wkt, const char *to_wkt) {
  OGRSpatialReferenceH from = OSRNewSpatialReference(from_wkt);
  OGRSpatialReferenceH to = OSRNewSpatialReference(to_wkt);
  OGRCoordinateTransformationH made = NULL;
  if (from != NULL && to != NULL) {
    OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
    OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
    CPLPushErrorHandler(CPLQuietErrorHandler);
    made = OCTNewCoordinateTransformation(from, to);
    CPLPopErrorHandler();
  }
  OSRDestroySpatialReference(from);
  OSRDestroySpatialReference(to);
  return made;
}

enum isw_status isw_climate_open_elevation(const struct isw_normal_sources *normals,
                                           const struct isw_climate_request *request,
                                           struct isw_source *fine, struct isw_source *coarse,
                                           struct isw_elevation **out, struct isw_error *error) {
  const struct isw_source *first = normals->first;
  enum isw_status status =
      isw_climate_compare_grids(&first->grid, first->name, &coarse->grid, coarse->name, error);
  if (status != ISW_OK) return status;
  double fine_m2 = isw_climate_middle_area_m2(&fine->grid),
         coarse_m2 = isw_climate_middle_area_m2(&first->grid);
  if (fine_m2 > 1.1 * coarse_m2 && coarse_m2 > 0.0)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: its cells (%.3g km2) are larger than the normals' (%.3g km2)\nGive a "
                         "finer elevation, or leave it out",
                         fine->name, fine_m2 / 1e6, coarse_m2 / 1e6);
  struct isw_elevation *elevation = g_new0(struct isw_elevation, 1);
  elevation->normals = normals;
  elevation->fine = fine;
  elevation->coarse = coarse;
  status = parse_lapse(elevation, request, error);
  if (status == ISW_OK && !isw_climate_same_crs(fine->grid.wkt, first->grid.wkt)) {
    elevation->to_normals = new_transformation(fine->grid.wkt, first->grid.wkt);
    if (elevation->to_normals == NULL)
      status = isw_base_fail(error, ISW_INPUT_CONTENT,
                             "PROJ finds no way from the CRS of %s to that of %s\nBring the "
                             "elevation into the normals' CRS with gdalwarp",
                             fine->name, first->name);
  }
  if (status != ISW_OK) {
    isw_climate_free_elevation(elevation);
    return status;
  }
  *out = elevation;
  return ISW_OK;
}

void isw_climate_free_elevation(struct isw_elevation *elevation) {
  if (elevation == NULL) return;
  if (elevation->to_normals != NULL) OCTDestroyCoordinateTransformation(elevation->to_normals);
  g_free(elevation);
}

char *isw_climate_describe_lapse(const struct isw_elevation *elevation) {
  if (elevation->uniform) return g_strdup_printf("lapse rate %g K/km", elevation->lapse_K_km[0]);
  double low = INFINITY, high = -INFINITY;
  for (int k = 0; k < ISW_CELL_NORMALS; k++) {
    low = fmin(low, elevation->lapse_K_km[k]);
    high = fmax(high, elevation->lapse_K_km[k]);
  }
  return g_strdup_printf("monthly lapse rates, %g to %g K/km", low, high);
}

/* Where the centres of a block's cells lie on the normals' grid (cell coordinates); NAN: outside.
 */
static void place_cells(const struct isw_elevation *elevation, int col, int row, int width,
                        int height, double *cols, double *rows) {
  const struct isw_grid *fine = &elevation->fine->grid, *normals = &elevation->normals->first->grid;
  int n = width * height;
  for (int i = 0; i < n; i++)
    isw_climate_grid_point(fine, col + i % width + 0.5, row + i / width + 0.5, &cols[i], &rows[i]);
  if (elevation->to_normals != NULL) {
    int *found = g_new0(int, (gsize)n);
    CPLPushErrorHandler(CPLQuietErrorHandler);
    OCTTransformEx(elevation->to_normals, n, cols, rows, NULL, found);
    CPLPopErrorHandler();
    for (int i = 0; i < n; i++)
      if (!found[i]) cols[i] = rows[i] = NAN;
    g_free(found);
  }
  for (int i = 0; i < n; i++) {
    double x = cols[i], y = rows[i];
    if (!isw_climate_find_point(normals, x, y, &cols[i], &rows[i])) cols[i] = rows[i] = NAN;
  }
}

struct window {
  int col, row, width, height;
};

/* The normals' cells that the placed cells look at; false: none. */
static bool find_window(const struct isw_grid *normals, int n, const double *cols,
                        const double *rows, struct window *window) {
  double west = INFINITY, east = -INFINITY, north = INFINITY, south = -INFINITY;
  for (int i = 0; i < n; i++) {
    if (isnan(cols[i])) continue;
    west = fmin(west, cols[i]);
    east = fmax(east, cols[i]);
    north = fmin(north, rows[i]);
    south = fmax(south, rows[i]);
  }
  if (west > east) return false;
  window->col = MAX(0, (int)floor(west - 0.5));
  window->row = MAX(0, (int)floor(north - 0.5));
  window->width = MIN(normals->width, (int)floor(east - 0.5) + 2) - window->col;
  window->height = MIN(normals->height, (int)floor(south - 0.5) + 2) - window->row;
  return true;
}

/* Four neighbours of each placed cell within the window, the containing cell first. */
struct neighbours {
  int32_t at[4];
  float weight[4];
};

static void find_neighbours(const struct window *w, int n, const double *cols, const double *rows,
                            struct neighbours *out) {
  for (int i = 0; i < n; i++) {
    struct neighbours *cell = &out[i];
    if (isnan(cols[i])) {
      cell->at[0] = -1;
      continue;
    }
    int own_col = (int)cols[i], own_row = (int)rows[i];
    double du = cols[i] - 0.5 - own_col, dv = rows[i] - 0.5 - own_row;
    int next_col = own_col + (du < 0.0 ? -1 : 1), next_row = own_row + (dv < 0.0 ? -1 : 1);
    double u = fabs(du), v = fabs(dv);
    const int at_col[4] = {own_col, next_col, own_col, next_col};
    const int at_row[4] = {own_row, own_row, next_row, next_row};
    const double weight[4] = {(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v};
    for (int k = 0; k < 4; k++) {
      int c = at_col[k] - w->col, r = at_row[k] - w->row;
      bool inside = c >= 0 && r >= 0 && c < w->width && r < w->height;
      cell->at[k] = inside ? r * w->width + c : cell->at[0];
      cell->weight[k] = inside ? (float)weight[k] : 0.0f;
    }
  }
}

static float take_neighbours(const struct neighbours *cell, const float *values) {
  if (cell->at[0] < 0) return NAN;
  float sum = 0.0f, weights = 0.0f;
  for (int k = 0; k < 4; k++) {
    float value = values[cell->at[k]];
    if (isnan(value)) {
      if (k == 0) return NAN;
      continue;
    }
    sum += cell->weight[k] * value;
    weights += cell->weight[k];
  }
  return sum / weights;
}

/* Lifts one block whose window of normals has been found. */
static enum isw_status lift(const struct isw_elevation *elevation, const struct window *w, int n,
                            const struct neighbours *neighbours, const float *fine_m, float *planes,
                            size_t stride, struct isw_error *error) {
  static const float metres_per_km = 1000.0f;
  size_t cells = (size_t)w->width * (size_t)w->height;
  float *normals = g_try_new(float, cells *(ISW_CELL_NORMALS + 1));
  if (normals == NULL)
    return isw_base_fail(error, ISW_RESOURCES, "out of memory for %zu cells of normals", cells);
  float *coarse_m = normals + cells * ISW_CELL_NORMALS;
  enum isw_status status = isw_climate_read_planes(elevation->normals, w->col, w->row, w->width,
                                                   w->height, normals, cells, error);
  if (status == ISW_OK)
    status = isw_climate_read_source(elevation->coarse, w->col, w->row, w->width, w->height,
                                     w->width, w->height, coarse_m, cells, error);
  for (int k = 0; k < ISW_CELL_NORMALS && status == ISW_OK; k++) {
    float lapse_K_m = (float)elevation->lapse_K_km[k] / metres_per_km;
    float *sea_level = normals + (size_t)k * cells, *out = planes + (size_t)k * stride;
    for (size_t i = 0; i < cells; i++) sea_level[i] += lapse_K_m * coarse_m[i];
    for (int i = 0; i < n; i++)
      out[i] = take_neighbours(&neighbours[i], sea_level) - lapse_K_m * fine_m[i];
  }
  g_free(normals);
  return status;
}

static enum isw_status lift_block(const struct isw_elevation *elevation, int col, int row,
                                  int width, int height, const float *fine_m, float *planes,
                                  size_t stride, struct isw_error *error) {
  int n = width * height;
  double *cols = g_try_new(double, 2 * (gsize)n);
  struct neighbours *neighbours = g_try_new(struct neighbours, (gsize)n);
  if (cols == NULL || neighbours == NULL) {
    g_free(cols);
    g_free(neighbours);
    return isw_base_fail(error, ISW_RESOURCES, "out of memory for %d cells", n);
  }
  double *rows = cols + n;
  struct window window;
  enum isw_status status = ISW_OK;
  place_cells(elevation, col, row, width, height, cols, rows);
  if (!find_window(&elevation->normals->first->grid, n, cols, rows, &window)) {
    for (int k = 0; k < ISW_CELL_NORMALS; k++)
      for (int i = 0; i < n; i++) planes[(size_t)k * stride + (size_t)i] = NAN;
  } else {
    double spread = (double)window.width * window.height;
    if (spread > WINDOW_CELLS && height > 1) {
      for (int j = 0; j < height && status == ISW_OK; j++) {
        size_t before = (size_t)j * (size_t)width;
        status = lift_block(elevation, col, row + j, width, 1, fine_m + before, planes + before,
                            stride, error);
      }
    } else if (spread > WINDOW_CELLS_MAX) {
      status = isw_base_fail(error, ISW_RESOURCES,
                             "a row of the elevation grid spreads over %.0f cells of the normals; "
                             "that is too much\nBring the elevation into the normals' CRS",
                             spread);
    } else {
      find_neighbours(&window, n, cols, rows, neighbours);
      status = lift(elevation, &window, n, neighbours, fine_m, planes, stride, error);
    }
  }
  g_free(cols);
  g_free(neighbours);
  return status;
}

enum isw_status isw_climate_read_lifted(const struct isw_elevation *elevation, int col, int row,
                                        int width, int height, float *planes, size_t stride,
                                        struct isw_error *error) {
  size_t n = (size_t)width * (size_t)height;
  float *fine_m = g_try_new(float, n);
  if (fine_m == NULL) return isw_base_fail(error, ISW_RESOURCES, "out of memory for %zu cells", n);
  enum isw_status status = isw_climate_read_source(elevation->fine, col, row, width, height, width,
                                                   height, fine_m, n, error);
  if (status == ISW_OK)
    status = lift_block(elevation, col, row, width, height, fine_m, planes, stride, error);
  g_free(fine_m);
  return status;
}

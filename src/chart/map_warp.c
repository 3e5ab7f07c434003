/* DESIGN: lattice cell -> map CRS -> raster CRS -> raster cell, asked backwards for every sample of
 * the page, a row at a time through GDAL's approximating transformer, which asks PROJ for a few
 * points of a row and interpolates where that is good to a twentieth of a cell. */
#include "chart/map_warp.h"

#include <cpl_error.h>
#include <gdal_alg.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>

enum { LATTICE_SIDE = 16384, DENSIFY = 32 };
static const double exact_cells = 0.05;
static const double widest_share = 1.0; /* of the data's side that may be added on each side */

struct isw_map_warp {
  int width, height;  /* of the raster */
  double to_cell[6];  /* raster CRS -> raster cells */
  double to_place[6]; /* raster cells -> raster CRS */
  double middle_x;    /* of the data, in the raster's CRS */
  bool geographic;
  double lattice[6]; /* lattice cells -> map CRS */
  double cell_side;
  double reach;
  OGRCoordinateTransformationH forth, back;
  void *approximate;
};

static void find_places(const struct isw_map_warp *warp, int n, double *x, double *y, int *found) {
  for (int i = 0; i < n; i++) {
    x[i] = warp->lattice[0] + x[i] * warp->lattice[1];
    y[i] = warp->lattice[3] + y[i] * warp->lattice[5];
  }
  CPLPushErrorHandler(CPLQuietErrorHandler);
  OCTTransformEx(warp->back, n, x, y, NULL, found);
  CPLPopErrorHandler();
  for (int i = 0; i < n; i++) {
    if (!found[i] || !isfinite(x[i]) || !isfinite(y[i])) {
      found[i] = FALSE;
      continue;
    }
    /* To the turn on which a grid of 0..360, or past 180, has it. */
    if (warp->geographic) x[i] += 360 * round((warp->middle_x - x[i]) / 360);
  }
}

/* GDAL's kind of transformer: destination (lattice) to source (raster cells) only. */
static int find_exactly(void *self, int backwards, int n, double *x, double *y, double *z,
                        int *found) {
  const struct isw_map_warp *warp = self;
  (void)z;
  if (!backwards) return FALSE;
  find_places(warp, n, x, y, found);
  for (int i = 0; i < n; i++) {
    if (!found[i]) continue;
    const double *t = warp->to_cell;
    double col = t[0] + x[i] * t[1] + y[i] * t[2], row = t[3] + x[i] * t[4] + y[i] * t[5];
    x[i] = col;
    y[i] = row;
  }
  return TRUE;
}

static OGRSpatialReferenceH traditional(const char *wkt) {
  OGRSpatialReferenceH crs = OSRNewSpatialReference(wkt);
  if (crs != NULL) OSRSetAxisMappingStrategy(crs, OAMS_TRADITIONAL_GIS_ORDER);
  return crs;
}

struct bounds {
  double left, bottom, right, top;
};

/* A window's bounds in the map's CRS. */
static bool project_window(const struct isw_map_warp *warp, struct isw_cell_window window,
                           struct bounds *out) {
  const double *t = warp->to_place;
  struct bounds from = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
  for (int k = 0; k < 4; k++) {
    double col = window.col + (k % 2) * window.cols, row = window.row + (k / 2) * window.rows;
    double x = t[0] + col * t[1] + row * t[2], y = t[3] + col * t[4] + row * t[5];
    from = (struct bounds){fmin(from.left, x), fmin(from.bottom, y), fmax(from.right, x),
                           fmax(from.top, y)};
  }
  if (warp->geographic) { /* rows of centres at a pole reach beyond it */
    from.bottom = fmax(from.bottom, -90);
    from.top = fmin(from.top, 90);
  }
  CPLPushErrorHandler(CPLQuietErrorHandler);
  bool done = OCTTransformBounds(warp->forth, from.left, from.bottom, from.right, from.top,
                                 &out->left, &out->bottom, &out->right, &out->top, DENSIFY);
  CPLPopErrorHandler();
  return done && isfinite(out->left) && isfinite(out->right) && isfinite(out->bottom) &&
         isfinite(out->top) && out->right > out->left && out->top > out->bottom;
}

/* The data with the rest of the raster as far as is of use. */
static struct bounds widen(struct bounds data, bool known, struct bounds whole) {
  double side = fmax(data.right - data.left, data.top - data.bottom);
  double most = widest_share * side;
  if (!known) whole = data;
  return (struct bounds){data.left - CLAMP(data.left - whole.left, 0, most),
                         data.bottom - CLAMP(data.bottom - whole.bottom, 0, most),
                         data.right + CLAMP(whole.right - data.right, 0, most),
                         data.top + CLAMP(whole.top - data.top, 0, most)};
}

static bool connect(struct isw_map_warp *warp, const struct isw_grid *raster,
                    struct isw_cell_window data, const char *wkt, struct bounds *inner,
                    struct bounds *outer) {
  OGRSpatialReferenceH map = traditional(wkt), own = traditional(raster->wkt);
  CPLPushErrorHandler(CPLQuietErrorHandler);
  if (map != NULL && own != NULL) {
    warp->forth = OCTNewCoordinateTransformation(own, map);
    warp->back = OCTNewCoordinateTransformation(map, own);
  }
  CPLPopErrorHandler();
  bool done = warp->forth != NULL && warp->back != NULL && project_window(warp, data, inner);
  if (done) {
    struct bounds whole = *inner;
    struct isw_cell_window all = {0, 0, raster->width, raster->height};
    bool known = project_window(warp, all, &whole);
    *outer = widen(*inner, known, whole);
  }
  if (map != NULL) OSRDestroySpatialReference(map);
  if (own != NULL) OSRDestroySpatialReference(own);
  return done;
}

static int lattice_cell(double from, double at, double side) {
  return (int)floor((at - from) / side);
}

enum isw_status isw_chart_new_warp(const struct isw_grid *raster, struct isw_cell_window data,
                                   const char *wkt, struct isw_map_warp **out,
                                   struct isw_grid *lattice,
                                   struct isw_cell_window *data_on_lattice,
                                   struct isw_error *error) {
  struct isw_map_warp *warp = g_new0(struct isw_map_warp, 1);
  for (int i = 0; i < 6; i++) warp->to_place[i] = raster->transform[i];
  warp->width = raster->width;
  warp->height = raster->height;
  warp->geographic = raster->geographic;
  double col = data.col + data.cols / 2.0, row = data.row + data.rows / 2.0;
  warp->middle_x = warp->to_place[0] + col * warp->to_place[1] + row * warp->to_place[2];
  struct bounds inner, outer;
  if (!GDALInvGeoTransform(warp->to_place, warp->to_cell) ||
      !connect(warp, raster, data, wkt, &inner, &outer)) {
    isw_chart_free_warp(warp);
    return isw_base_fail(
        error, ISW_USAGE,
        "these data have no place in the CRS chosen for the maps; choose another, auto or grid");
  }
  double side = fmax(outer.right - outer.left, outer.top - outer.bottom) / LATTICE_SIDE;
  *lattice = (struct isw_grid){.width = MAX(lattice_cell(outer.left, outer.right, side), 1),
                               .height = MAX(lattice_cell(outer.bottom, outer.top, side), 1),
                               .transform = {outer.left, side, 0, outer.top, 0, -side},
                               .wkt = g_strdup(wkt)};
  for (int i = 0; i < 6; i++) warp->lattice[i] = lattice->transform[i];
  struct isw_cell_window at = {
      CLAMP(lattice_cell(outer.left, inner.left, side), 0, lattice->width - 1),
      CLAMP(lattice_cell(inner.top, outer.top, side), 0, lattice->height - 1), 0, 0};
  at.cols = CLAMP((int)ceil((inner.right - inner.left) / side), 1, lattice->width - at.col);
  at.rows = CLAMP((int)ceil((inner.top - inner.bottom) / side), 1, lattice->height - at.row);
  *data_on_lattice = at;
  warp->cell_side = sqrt((double)at.cols * at.rows / ((double)data.cols * data.rows));
  warp->reach = fmax(data.cols * hypot(warp->to_place[1], warp->to_place[4]),
                     data.rows * hypot(warp->to_place[2], warp->to_place[5]));
  warp->approximate = GDALCreateApproxTransformer(find_exactly, warp, exact_cells);
  *out = warp;
  return ISW_OK;
}

void isw_chart_free_warp(struct isw_map_warp *warp) {
  if (warp == NULL) return;
  if (warp->approximate != NULL) GDALDestroyApproxTransformer(warp->approximate);
  if (warp->forth != NULL) OCTDestroyCoordinateTransformation(warp->forth);
  if (warp->back != NULL) OCTDestroyCoordinateTransformation(warp->back);
  g_free(warp);
}

void isw_chart_find_raster_cells(struct isw_map_warp *warp, double row, double first_col,
                                 double step, int n, int *cols, int *rows) {
  double *x = g_new(double, (size_t)n), *y = g_new(double, (size_t)n),
         *z = g_new0(double, (size_t)n);
  int *found = g_new0(int, (size_t)n);
  for (int i = 0; i < n; i++) {
    x[i] = first_col + i * step;
    y[i] = row;
  }
  GDALApproxTransform(warp->approximate, TRUE, n, x, y, z, found);
  for (int i = 0; i < n; i++) {
    bool inside = found[i] && x[i] >= 0 && y[i] >= 0 && x[i] < warp->width && y[i] < warp->height;
    cols[i] = inside ? (int)x[i] : -1;
    rows[i] = inside ? (int)y[i] : -1;
  }
  g_free(x);
  g_free(y);
  g_free(z);
  g_free(found);
}

void isw_chart_find_raster_places(const struct isw_map_warp *warp, int n, double *x, double *y) {
  int *found = g_new0(int, (size_t)MAX(n, 1));
  find_places(warp, n, x, y, found);
  for (int i = 0; i < n; i++)
    if (!found[i]) x[i] = y[i] = (double)NAN;
  g_free(found);
}

void isw_chart_find_lattice_cells(struct isw_map_warp *warp, int n, double *x, double *y) {
  int *found = g_new0(int, (size_t)MAX(n, 1));
  CPLPushErrorHandler(CPLQuietErrorHandler);
  OCTTransformEx(warp->forth, n, x, y, NULL, found);
  CPLPopErrorHandler();
  for (int i = 0; i < n; i++) {
    x[i] = found[i] ? (x[i] - warp->lattice[0]) / warp->lattice[1] : (double)NAN;
    y[i] = found[i] ? (y[i] - warp->lattice[3]) / warp->lattice[5] : (double)NAN;
  }
  g_free(found);
}

double isw_chart_warp_reach(const struct isw_map_warp *warp) {
  return warp->reach;
}

double isw_chart_raster_cell_side(const struct isw_map_warp *warp) {
  return warp->cell_side;
}

#include "chart/placing.h"

#include <gdal.h>
#include <glib.h>
#include <math.h>

enum { PARTS_MAX = 1000 }; /* of one edge */

enum isw_status isw_chart_start_placing(const struct isw_map_source *source,
                                        const struct isw_map_frame *frame, struct isw_placing *out,
                                        struct isw_error *error) {
  double transform[6];
  for (int i = 0; i < 6; i++) transform[i] = source->grid.transform[i];
  *out = (struct isw_placing){.source = source, .frame = frame, .longest = HUGE_VAL};
  /* A fiftieth of the map: the arc of such an edge is a ten-thousandth of it high. */
  if (source->warp != NULL) out->longest = isw_chart_warp_reach(source->warp) / 50;
  if (GDALInvGeoTransform(transform, out->to_cell)) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT, "the grid's cells have no area");
}

/* Degrees that bring something to the side on which a grid of longitudes 0..360 or past 180 has
 * it; a change of CRS does that by itself. */
static double turns_of(const struct isw_map_source *source, double middle_x) {
  if (!source->grid.geographic) return 0;
  double middle = source->grid.transform[0] +
                  source->grid.transform[1] * (source->data.col + source->data.cols / 2.0);
  return 360 * round((middle - middle_x) / 360);
}

static void add_edge(GArray *xs, GArray *ys, double from_x, double from_y, double to_x, double to_y,
                     double longest) {
  double length = hypot(to_x - from_x, to_y - from_y);
  int parts = length > longest ? (int)fmin(ceil(length / longest), PARTS_MAX) : 1;
  for (int k = 1; k <= parts; k++) {
    double x = from_x + (to_x - from_x) * k / parts, y = from_y + (to_y - from_y) * k / parts;
    g_array_append_val(xs, x);
    g_array_append_val(ys, y);
  }
}

struct isw_placed_path isw_chart_place_path(const struct isw_placing *placing, int n,
                                            const double *x, const double *y, double middle_x) {
  GArray *xs = g_array_sized_new(FALSE, FALSE, sizeof(double), (guint)n);
  GArray *ys = g_array_sized_new(FALSE, FALSE, sizeof(double), (guint)n);
  for (int i = 0; i < n; i++)
    add_edge(xs, ys, x[MAX(i - 1, 0)], y[MAX(i - 1, 0)], x[i], y[i], placing->longest);
  struct isw_placed_path path = {.n = (int)xs->len};
  path.x_mm = (double *)(void *)g_array_free(xs, FALSE);
  path.y_mm = (double *)(void *)g_array_free(ys, FALSE);
  double shift = turns_of(placing->source, middle_x);
  const double *t = placing->to_cell;
  if (placing->source->warp != NULL)
    isw_chart_find_lattice_cells(placing->source->warp, path.n, path.x_mm, path.y_mm);
  for (int i = 0; i < path.n; i++) {
    double col = path.x_mm[i], row = path.y_mm[i];
    if (placing->source->warp == NULL) {
      double at_x = path.x_mm[i] + shift, at_y = path.y_mm[i];
      col = t[0] + at_x * t[1] + at_y * t[2];
      row = t[3] + at_x * t[4] + at_y * t[5];
    }
    isw_chart_place_cell(placing->frame, col, row, &path.x_mm[i], &path.y_mm[i]);
  }
  return path;
}

void isw_chart_free_path(struct isw_placed_path *path) {
  g_free(path->x_mm);
  g_free(path->y_mm);
  *path = (struct isw_placed_path){0};
}

bool isw_chart_place_point(const struct isw_placing *placing, double x, double y, double middle_x,
                           double *x_mm, double *y_mm) {
  struct isw_placed_path path = isw_chart_place_path(placing, 1, &x, &y, middle_x);
  *x_mm = path.x_mm[0];
  *y_mm = path.y_mm[0];
  isw_chart_free_path(&path);
  return isfinite(*x_mm) && isfinite(*y_mm);
}

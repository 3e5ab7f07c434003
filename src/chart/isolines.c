/* DESIGN: samples -> a working surface about 0.6 mm fine, smoothed by a Gaussian that knows its
 * holes (sum of weight*value over sum of weight) and so reaches a little over the windows' edge ->
 * GDAL's contour generator at the days on which ten-day periods begin -> corners cut -> cut again
 * where there is no window, or where the date jumps so fast that lines would pile up. */
#include "chart/isolines.h"

#include <cpl_error.h>
#include <cpl_string.h>
#include <gdal_alg.h>
#include <math.h>
#include <ogr_api.h>
#include <stdlib.h>
#include <string.h>

static const double step_mm = 0.6;                         /* of the working surface */
static const double smoothing_mm = 1.8;                    /* standard deviation */
static const double steepest = 9;                          /* days per mm that are still drawn */
static const double steepest_wide = 6, cliff_reach_mm = 3; /* the same beside a jump */
static const double shortest_mm = 9, smallest_loop_mm = 16;
static const double bridged_mm = 1.6; /* gaps in windows that a line crosses */
static const float no_day = -9999;

/* Everything the steps share; x, y on the page as the frame's. */
struct work {
  const struct isw_map_frame *frame;
  const struct isw_day_surface *days;
  double scale, step_mm;
  int width, height;
  float *values; /* [height][width], no_day where far from any window */
};

int isw_chart_isoline_levels(int start_day, int after[ISW_TEN_DAY_PERIODS]) {
  int n = 0;
  for (int d = 1; d < ISW_YEAR_DAYS; d++)
    if (isw_base_ten_day_period(start_day + d) != isw_base_ten_day_period(start_day + d - 1))
      after[n++] = d;
  return n;
}

/* Sample at a place on the page; -1 outside and without a window. */
static int days_at(const struct work *work, double x_mm, double y_mm) {
  double col, row;
  isw_chart_find_cell(work->frame, x_mm, y_mm, &col, &row);
  const struct isw_cell_window *window = &work->frame->window;
  int x = (int)floor((col - window->col) / window->cols * work->days->width);
  int y = (int)floor((row - window->row) / window->rows * work->days->height);
  if (x < 0 || y < 0 || x >= work->days->width || y >= work->days->height) return -1;
  return work->days->after[(size_t)y * (size_t)work->days->width + (size_t)x];
}

/* One pass of the blur along a line of n values with a stride; sums and weights at once. */
static void blur_line(const float *kernel, int reach, int n, int stride, const float *sums,
                      const float *weights, float *sums_out, float *weights_out) {
  for (int i = 0; i < n; i++) {
    float sum = 0, weight = 0;
    for (int k = MAX(-reach, -i); k <= MIN(reach, n - 1 - i); k++) {
      float w = kernel[abs(k)];
      sum += w * sums[(i + k) * stride];
      weight += w * weights[(i + k) * stride];
    }
    sums_out[i * stride] = sum;
    weights_out[i * stride] = weight;
  }
}

static void smooth(struct work *work) {
  /* Cells coarser than the smoothing need more of it, or lines would step around each cell. */
  double sigma = fmax(smoothing_mm * work->scale, 0.8 * work->days->cell_mm) / work->step_mm;
  int reach = (int)ceil(2.5 * sigma);
  float *kernel = g_new(float, (gsize)reach + 1);
  for (int k = 0; k <= reach; k++) kernel[k] = (float)exp(-0.5 * k * k / (sigma * sigma));
  gsize n = (gsize)work->width * (gsize)work->height;
  float *weights = g_new(float, n), *sums_between = g_new(float, n),
        *weights_between = g_new(float, n);
  for (gsize i = 0; i < n; i++) {
    weights[i] = work->values[i] < 0 ? 0 : 1;
    work->values[i] *= weights[i];
  }
  for (int y = 0; y < work->height; y++) {
    int at = y * work->width;
    blur_line(kernel, reach, work->width, 1, work->values + at, weights + at, sums_between + at,
              weights_between + at);
  }
  for (int x = 0; x < work->width; x++)
    blur_line(kernel, reach, work->height, work->width, sums_between + x, weights_between + x,
              work->values + x, weights + x);
  for (gsize i = 0; i < n; i++)
    work->values[i] = weights[i] > 0.5F ? work->values[i] / weights[i] : no_day;
  g_free(kernel);
  g_free(weights);
  g_free(sums_between);
  g_free(weights_between);
}

static void make_surface(struct work *work) {
  const struct isw_box *box = &work->frame->box;
  work->step_mm = step_mm * work->scale;
  work->width = MAX((int)ceil(box->width_mm / work->step_mm), 2);
  work->height = MAX((int)ceil(box->height_mm / work->step_mm), 2);
  work->values = g_new(float, (gsize)work->width *(gsize)work->height);
  enum { SUB = 3 }; /* samples per side of a working cell */
  for (int y = 0; y < work->height; y++)
    for (int x = 0; x < work->width; x++) {
      int n = 0, sum = 0;
      for (int k = 0; k < SUB * SUB; k++) {
        int days = days_at(work, box->x_mm + work->step_mm * (x + (k % SUB + 0.5) / SUB),
                           box->y_mm + work->step_mm * (y + (k / SUB + 0.5) / SUB));
        if (days < 0) continue;
        n++;
        sum += days;
      }
      work->values[y * work->width + x] = n == 0 ? -1.0F : (float)sum / (float)n;
    }
  smooth(work);
}

static float value_at(const struct work *work, int x, int y) {
  x = CLAMP(x, 0, work->width - 1);
  y = CLAMP(y, 0, work->height - 1);
  return work->values[y * work->width + x];
}

/* Days per mm of the page at working cell x, y, between the cells `reach` to either side. */
static double slope(const struct work *work, int x, int y, int reach) {
  float left = value_at(work, x - reach, y), right = value_at(work, x + reach, y);
  float above = value_at(work, x, y - reach), below = value_at(work, x, y + reach);
  double across = left < 0 || right < 0 ? 0 : right - left;
  double down = above < 0 || below < 0 ? 0 : below - above;
  return hypot(across, down) / (2 * reach * work->step_mm) * work->scale;
}

static bool is_drawn(const struct work *work, struct isw_point point) {
  if (days_at(work, point.x_mm, point.y_mm) < 0) return false;
  int x = (int)((point.x_mm - work->frame->box.x_mm) / work->step_mm);
  int y = (int)((point.y_mm - work->frame->box.y_mm) / work->step_mm);
  int wide = (int)lround(cliff_reach_mm / step_mm);
  return slope(work, x, y, 1) < steepest && slope(work, x, y, wide) < steepest_wide;
}

static double distance(struct isw_point a, struct isw_point b) {
  return hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm);
}

static double path_length(const GArray *points) {
  double length = 0;
  for (guint i = 1; i < points->len; i++)
    length += distance(g_array_index(points, struct isw_point, i - 1),
                       g_array_index(points, struct isw_point, i));
  return length;
}

/* Chaikin's corner cutting; the ends stay. */
static GArray *cut_corners(GArray *points) {
  GArray *cut = g_array_sized_new(FALSE, FALSE, sizeof(struct isw_point), 2 * points->len);
  const struct isw_point *p = (const void *)points->data;
  g_array_append_val(cut, p[0]);
  for (guint i = 0; i + 1 < points->len; i++) {
    struct isw_point a = {0.75 * p[i].x_mm + 0.25 * p[i + 1].x_mm,
                          0.75 * p[i].y_mm + 0.25 * p[i + 1].y_mm};
    struct isw_point b = {0.25 * p[i].x_mm + 0.75 * p[i + 1].x_mm,
                          0.25 * p[i].y_mm + 0.75 * p[i + 1].y_mm};
    g_array_append_val(cut, a);
    g_array_append_val(cut, b);
  }
  g_array_append_val(cut, p[points->len - 1]);
  g_array_unref(points);
  return cut;
}

static void free_isoline(gpointer data) {
  struct isw_isoline *line = data;
  g_array_unref(line->points);
  g_free(line);
}

static void keep_piece(const struct work *work, GPtrArray *lines, int after, GArray *points,
                       guint from, guint to) {
  if (to <= from + 1) return;
  struct isw_isoline *line = g_new0(struct isw_isoline, 1);
  line->points = g_array_sized_new(FALSE, FALSE, sizeof(struct isw_point), to - from);
  g_array_append_vals(line->points, &g_array_index(points, struct isw_point, from), to - from);
  line->length_mm = path_length(line->points);
  line->day = isw_base_wrap_day(work->days->start_day + after);
  int month, day_of_month;
  isw_base_date_of_day(line->day, &month, &day_of_month);
  line->new_month = day_of_month == 1;
  if (line->length_mm < shortest_mm * work->scale)
    free_isoline(line);
  else
    g_ptr_array_add(lines, line);
}

/* Keep the pieces of one contour that are drawn, over short gaps too. Takes points. */
static void add_contour(const struct work *work, GPtrArray *lines, int after, GArray *points) {
  struct isw_point first = g_array_index(points, struct isw_point, 0);
  struct isw_point last = g_array_index(points, struct isw_point, points->len - 1);
  bool loop = distance(first, last) < 1e-6;
  if (loop && path_length(points) < smallest_loop_mm * work->scale) {
    g_array_unref(points);
    return;
  }
  points = cut_corners(cut_corners(points));
  const struct isw_point *p = (const void *)points->data;
  guint from = 0, end = 0; /* the piece so far is [from, end) */
  double gap_mm = 0;
  for (guint i = 0; i < points->len; i++) {
    if (is_drawn(work, p[i])) {
      if (end > from && gap_mm > bridged_mm * work->scale) {
        keep_piece(work, lines, after, points, from, end);
        from = i;
      }
      if (end == from) from = i;
      end = i + 1;
      gap_mm = 0;
    } else if (i > 0) {
      gap_mm += distance(p[i - 1], p[i]);
    }
  }
  keep_piece(work, lines, after, points, from, end);
  g_array_unref(points);
}

static void collect(const struct work *work, OGRLayerH layer, const int *levels, GPtrArray *lines) {
  OGR_L_ResetReading(layer);
  OGRFeatureH feature;
  while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
    OGRGeometryH geometry = OGR_F_GetGeometryRef(feature);
    int n = geometry != NULL ? OGR_G_GetPointCount(geometry) : 0;
    int after = (int)lround(OGR_F_GetFieldAsDouble(feature, 0) + 0.5);
    if (n >= 2 && levels[0] <= after) {
      GArray *points = g_array_sized_new(FALSE, FALSE, sizeof(struct isw_point), (guint)n);
      for (int i = 0; i < n; i++) {
        struct isw_point point = {OGR_G_GetX(geometry, i), OGR_G_GetY(geometry, i)};
        g_array_append_val(points, point);
      }
      add_contour(work, lines, after, points);
    }
    OGR_F_Destroy(feature);
  }
}

/* "FIXED_LEVELS=..." between whole days, so that a line never runs along cells of its own day. */
static char **contour_options(int n_levels, const int *levels) {
  GString *list = g_string_new("FIXED_LEVELS=");
  for (int i = 0; i < n_levels; i++)
    g_string_append_printf(list, "%s%d.5", i > 0 ? "," : "", levels[i] - 1);
  char **options = CSLAddString(NULL, list->str);
  options = CSLAddString(options, "NODATA=-9999");
  options = CSLAddString(options, "ELEV_FIELD=0");
  g_string_free(list, TRUE);
  return options;
}

static bool run_contours(const struct work *work, GPtrArray *lines) {
  int levels[ISW_TEN_DAY_PERIODS];
  int n_levels = isw_chart_isoline_levels(work->days->start_day, levels);
  GDALDriverH raster_driver = GDALGetDriverByName("MEM");
  GDALDriverH vector_driver = GDALGetDriverByName("Memory");
  GDALDatasetH raster =
      GDALCreate(raster_driver, "", work->width, work->height, 1, GDT_Float32, NULL);
  GDALDatasetH vector = GDALCreate(vector_driver, "", 0, 0, 0, GDT_Unknown, NULL);
  bool done = raster != NULL && vector != NULL;
  if (done) {
    const struct isw_box *box = &work->frame->box;
    double transform[6] = {box->x_mm, work->step_mm, 0, box->y_mm, 0, work->step_mm};
    GDALSetGeoTransform(raster, transform);
    GDALRasterBandH band = GDALGetRasterBand(raster, 1);
    OGRLayerH layer = GDALDatasetCreateLayer(vector, "days", NULL, wkbLineString, NULL);
    OGRFieldDefnH field = OGR_Fld_Create("after", OFTReal);
    done = layer != NULL && OGR_L_CreateField(layer, field, 1) == OGRERR_NONE;
    OGR_Fld_Destroy(field);
    char **options = contour_options(n_levels, levels);
    done = done &&
           GDALRasterIO(band, GF_Write, 0, 0, work->width, work->height, work->values, work->width,
                        work->height, GDT_Float32, 0, 0) == CE_None &&
           GDALContourGenerateEx(band, layer, options, NULL, NULL) == CE_None;
    CSLDestroy(options);
    if (done) collect(work, layer, levels, lines);
  }
  if (raster != NULL) GDALClose(raster);
  if (vector != NULL) GDALClose(vector);
  return done;
}

static gint longest_first(gconstpointer a, gconstpointer b) {
  const struct isw_isoline *p = *(struct isw_isoline *const *)a;
  const struct isw_isoline *q = *(struct isw_isoline *const *)b;
  if (p->length_mm != q->length_mm) return p->length_mm > q->length_mm ? -1 : 1;
  return p->day - q->day;
}

enum isw_status isw_chart_make_isolines(const struct isw_map_frame *frame,
                                        const struct isw_day_surface *surface, double scale,
                                        GPtrArray **out, struct isw_error *error) {
  struct work work = {.frame = frame, .days = surface, .scale = scale};
  GPtrArray *lines = g_ptr_array_new_with_free_func(free_isoline);
  make_surface(&work);
  bool done = run_contours(&work, lines);
  g_free(work.values);
  if (!done) {
    g_ptr_array_unref(lines);
    return isw_base_fail(error, ISW_INTERNAL, "cannot draw lines of equal sowing date: %s",
                         CPLGetLastErrorMsg());
  }
  g_ptr_array_sort(lines, longest_first);
  *out = lines;
  return ISW_OK;
}

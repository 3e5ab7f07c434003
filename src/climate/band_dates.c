#include "climate/band_dates.h"

#include <cpl_error.h>
#include <cpl_string.h>
#include <glib.h>
#include <math.h>
#include <string.h>

#include "climate/months.h"
#include "climate/source.h"
#include "climate/time_axis.h"

/* A time axis with the bounds of its times, as they are stored. */
struct axis {
  size_t n;
  double *times;
  double *bounds; /* [n][2], or NULL: none */
};

static void clear_axis(struct axis *axis) {
  g_free(axis->times);
  g_free(axis->bounds);
}

static double *read_numbers(GDALGroupH group, const char *name, size_t n_dimensions, size_t *n) {
  GDALMDArrayH array = GDALGroupOpenMDArray(group, name, NULL);
  double *numbers = NULL;
  if (array == NULL) return NULL;
  size_t count = 0;
  GDALDimensionH *dimensions = GDALMDArrayGetDimensions(array, &count);
  enum { MOST = 1 << 24 };
  if (count == n_dimensions) {
    GUInt64 start[2] = {0, 0};
    size_t size[2] = {(size_t)GDALDimensionGetSize(dimensions[0]),
                      count > 1 ? (size_t)GDALDimensionGetSize(dimensions[1]) : 1};
    GDALExtendedDataTypeH type = GDALExtendedDataTypeCreate(GDT_Float64);
    if (size[0] < MOST && size[1] <= 2) {
      numbers = g_new0(double, size[0] * size[1]);
      *n = size[0];
      if (!GDALMDArrayRead(array, start, size, NULL, NULL, type, numbers, NULL, 0))
        g_clear_pointer(&numbers, g_free);
    }
    GDALExtendedDataTypeRelease(type);
  }
  GDALReleaseDimensions(dimensions, count);
  GDALMDArrayRelease(array);
  return numbers;
}

/* The text of an attribute of an array; NULL: it has none. New. */
static char *read_attribute(GDALGroupH group, const char *array_name, const char *name) {
  GDALMDArrayH array = GDALGroupOpenMDArray(group, array_name, NULL);
  if (array == NULL) return NULL;
  GDALAttributeH attribute = GDALMDArrayGetAttribute(array, name);
  char *text = NULL;
  if (attribute != NULL) {
    text = g_strdup(GDALAttributeReadAsString(attribute));
    GDALAttributeRelease(attribute);
  }
  GDALMDArrayRelease(array);
  return text;
}

/* Times and their bounds of a dimension, through GDAL's way to arrays of any shape; the raster's
 * way does not show bounds. false: no bounds there. */
static bool read_axis(GDALDatasetH dataset, const char *dimension, struct axis *out) {
  char **files = GDALGetFileList(dataset);
  *out = (struct axis){.n = 0};
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH arrays =
      files != NULL ? GDALOpenEx(files[0], GDAL_OF_MULTIDIM_RASTER, NULL, NULL, NULL) : NULL;
  CSLDestroy(files);
  if (arrays != NULL) {
    GDALGroupH group = GDALDatasetGetRootGroup(arrays);
    if (group != NULL) {
      size_t n_bounds = 0;
      char *bounds = read_attribute(group, dimension, "bounds");
      if (bounds != NULL) {
        out->times = read_numbers(group, dimension, 1, &out->n);
        out->bounds = read_numbers(group, bounds, 2, &n_bounds);
        if (n_bounds != out->n) g_clear_pointer(&out->bounds, g_free);
      }
      g_free(bounds);
      GDALGroupRelease(group);
    }
    GDALClose(arrays);
  }
  CPLPopErrorHandler();
  return out->times != NULL && out->bounds != NULL;
}

/* The middle of a time's bounds; the time itself without any. */
static double middle_of(const struct axis *axis, double time, size_t near) {
  if (axis->bounds == NULL) return time;
  for (size_t k = 0; k < axis->n; k++) {
    const size_t i = (near + k) % axis->n; /* bands follow the axis, mostly */
    if (axis->times[i] == time) return 0.5 * (axis->bounds[2 * i] + axis->bounds[2 * i + 1]);
  }
  return time;
}

static bool date_by_axis(GDALDatasetH dataset, int n, struct isw_band_date *dates) {
  struct axis axis = {.n = 0};
  bool dated = n > 0;
  for (int b = 0; b < n && dated; b++) {
    struct isw_time_value time;
    struct isw_time_point point;
    dated = isw_climate_find_time(dataset, GDALGetRasterBand(dataset, b + 1), &time);
    if (!dated) break;
    if (b == 0 && !read_axis(dataset, time.dimension, &axis)) {
      clear_axis(&axis);
      axis = (struct axis){.n = 0};
    }
    dated = isw_climate_parse_time(time.units, time.calendar,
                                   middle_of(&axis, time.value, (size_t)b), &point);
    if (dated) dates[b] = (struct isw_band_date){true, point.year, point.month};
  }
  clear_axis(&axis);
  return dated;
}

void isw_climate_date_bands(GDALDatasetH dataset, int n, struct isw_band_date *dates) {
  if (date_by_axis(dataset, n, dates)) return;
  for (int b = 0; b < n; b++) {
    const char *description = GDALGetDescription(GDALGetRasterBand(dataset, b + 1));
    dates[b].dated = isw_climate_year_month_in_text(description, &dates[b].year, &dates[b].month);
  }
}

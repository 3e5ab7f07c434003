#include "climate/normals.h"

/* Mean and range to minimum and maximum. */
static enum isw_status spread_mean(const struct isw_normal_sources *normals, int col, int row,
                                   int width, int height, float *planes, size_t stride,
                                   struct isw_error *error) {
  size_t n = (size_t)width * (size_t)height;
  float *upper = planes + (size_t)ISW_YEAR_MONTHS * stride;
  if (normals->range != NULL) {
    enum isw_status status = isw_climate_read_source(normals->range, col, row, width, height, width,
                                                     height, upper, stride, error);
    if (status != ISW_OK) return status;
  }
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) {
    float *lo = planes + (size_t)month * stride, *hi = upper + (size_t)month * stride;
    for (size_t i = 0; i < n; i++) {
      float half_K = 0.5f * (normals->range != NULL ? hi[i] : (float)normals->range_K);
      float mean_C = lo[i];
      lo[i] = mean_C - half_K;
      hi[i] = mean_C + half_K;
    }
  }
  return ISW_OK;
}

enum isw_status isw_climate_read_planes(const struct isw_normal_sources *normals, int col, int row,
                                        int width, int height, float *planes, size_t stride,
                                        struct isw_error *error) {
  enum isw_status status = isw_climate_read_source(normals->first, col, row, width, height, width,
                                                   height, planes, stride, error);
  if (status != ISW_OK) return status;
  if (normals->second == NULL)
    return spread_mean(normals, col, row, width, height, planes, stride, error);
  return isw_climate_read_source(normals->second, col, row, width, height, width, height,
                                 planes + (size_t)ISW_YEAR_MONTHS * stride, stride, error);
}

/* Twelve months of minimum and maximum on their own grid, from two sources or from a mean and a
 * daily range. */
#ifndef ISW_CLIMATE_NORMALS_H
#define ISW_CLIMATE_NORMALS_H

#include "climate/source.h"

struct isw_normal_sources {
  struct isw_source *first;  /* tmin, or the mean */
  struct isw_source *second; /* tmax, or NULL */
  struct isw_source *range;  /* daily range, or NULL: range_K everywhere */
  double range_K;
};

/* Planes [24][stride] of a window of the grid, minima before maxima, degC, NAN = none; stride >=
 * width
 * * height. As isw_climate_read_source: ISW_INPUT_FILE, ISW_RESOURCES. */
enum isw_status isw_climate_read_planes(const struct isw_normal_sources *normals, int col, int row,
                                        int width, int height, float *planes, size_t stride,
                                        struct isw_error *error);

#endif

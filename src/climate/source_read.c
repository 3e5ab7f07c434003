/* DESIGN: GDAL fills planes of packed values, all bands of one dataset in one call (that is what
 * makes pixel-interleaved files cheap); one pass then turns them, in place, into degC with NAN for
 * nodata. Packed values that float cannot hold exactly go through a plane of double. */
#include <math.h>
#include <string.h>

#include "climate/source.h"

static void decode_floats(const struct isw_source_band *band, size_t n, float *values) {
  const float factor = (float)band->factor, shift = (float)band->shift;
  /* Two ranges, whether declared or not, keep the loop free of branches: low > high is empty. */
  float low[ISW_NODATA_RANGES_MAX] = {INFINITY, INFINITY};
  float high[ISW_NODATA_RANGES_MAX] = {-INFINITY, -INFINITY};
  for (int k = 0; k < band->nodata_count; k++) {
    low[k] = (float)band->nodata[k].low;
    high[k] = (float)band->nodata[k].high;
  }
  const float low0 = low[0], high0 = high[0], low1 = low[1], high1 = high[1];
  if (band->nodata_count < 2) {
    for (size_t i = 0; i < n; i++) {
      float v = values[i];
      int missing = (v >= low0) & (v <= high0);
      values[i] = missing ? NAN : v * factor + shift;
    }
    return;
  }
  for (size_t i = 0; i < n; i++) {
    float v = values[i];
    int missing = ((v >= low0) & (v <= high0)) | ((v >= low1) & (v <= high1));
    values[i] = missing ? NAN : v * factor + shift;
  }
}

static void decode_doubles(const struct isw_source_band *band, size_t n, const double *packed,
                           float *values) {
  static const double most = 1e30;
  for (size_t i = 0; i < n; i++) {
    bool missing = false;
    for (int k = 0; k < band->nodata_count; k++)
      missing = missing || (packed[i] >= band->nodata[k].low && packed[i] <= band->nodata[k].high);
    double value = packed[i] * band->factor + band->shift;
    /* A float cannot hold every double; what is clamped here is refused later. */
    if (value > most) value = most;
    if (value < -most) value = -most;
    values[i] = missing ? NAN : (float)value;
  }
}

struct window {
  int col, row, width, height, out_width, out_height;
};

static enum isw_status fail_read(const struct isw_source_band *band, const struct window *w,
                                 struct isw_error *error) {
  const char *reason = CPLGetLastErrorMsg();
  return isw_base_fail(error, ISW_INPUT_FILE,
                       "%s: cannot read cells at column %d, row %d%s%s\nThe file seems damaged or "
                       "cut short; fetch it again",
                       band->file, w->col, w->row, reason[0] == '\0' ? "" : ": ", reason);
}

/* Mask bands: 0 is nodata. */
static bool apply_mask(const struct isw_source_band *band, const struct window *w, size_t n,
                       uint8_t *mask, float *values) {
  GDALRasterBandH handle = GDALGetMaskBand(GDALGetRasterBand(band->dataset, band->number));
  if (GDALRasterIO(handle, GF_Read, w->col, w->row, w->width, w->height, mask, w->out_width,
                   w->out_height, GDT_Byte, 0, 0) != CE_None)
    return false;
  for (size_t i = 0; i < n; i++)
    if (mask[i] == 0) values[i] = NAN;
  return true;
}

/* Bands [first, end) of one dataset in one call; planes follow each other at stride. */
static bool read_floats(struct isw_source *source, int first, int end, const struct window *w,
                        float *planes, size_t stride) {
  int numbers[ISW_YEAR_MONTHS];
  for (int i = first; i < end; i++) numbers[i - first] = source->bands[i].number;
  return GDALDatasetRasterIOEx(source->bands[first].dataset, GF_Read, w->col, w->row, w->width,
                               w->height, planes + (size_t)first * stride, w->out_width,
                               w->out_height, GDT_Float32, end - first, numbers, 0, 0,
                               (GSpacing)(stride * sizeof(float)), NULL) == CE_None;
}

enum isw_status isw_climate_read_source(struct isw_source *source, int col, int row, int width,
                                        int height, int out_width, int out_height, float *planes,
                                        size_t stride, struct isw_error *error) {
  const struct window w = {col, row, width, height, out_width, out_height};
  size_t n = (size_t)out_width * (size_t)out_height;
  double *packed = source->wide ? g_try_new(double, n) : NULL;
  uint8_t *mask = NULL;
  if (source->wide && packed == NULL)
    return isw_base_fail(error, ISW_RESOURCES, "out of memory for %zu cells", n);
  enum isw_status status = ISW_OK;
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  for (int first = 0; first < source->band_count && status == ISW_OK;) {
    int end = first + 1;
    while (!source->wide && end < source->band_count &&
           source->bands[end].dataset == source->bands[first].dataset)
      end++;
    bool read = true;
    if (source->wide) {
      const struct isw_source_band *band = &source->bands[first];
      read = GDALRasterIO(GDALGetRasterBand(band->dataset, band->number), GF_Read, col, row, width,
                          height, packed, out_width, out_height, GDT_Float64, 0, 0) == CE_None;
      if (read) decode_doubles(band, n, packed, planes + (size_t)first * stride);
    } else {
      read = read_floats(source, first, end, &w, planes, stride);
      for (int i = first; i < end && read; i++)
        decode_floats(&source->bands[i], n, planes + (size_t)i * stride);
    }
    for (int i = first; i < end && read; i++) {
      if (!source->bands[i].read_mask) continue;
      if (mask == NULL) mask = g_new(uint8_t, n);
      read = apply_mask(&source->bands[i], &w, n, mask, planes + (size_t)i * stride);
    }
    if (!read) status = fail_read(&source->bands[first], &w, error);
    first = end;
  }
  CPLPopErrorHandler();
  g_free(packed);
  g_free(mask);
  return status;
}

/* DESIGN: labels of all bands -> month order -> for each month how its packed values are told from
 * nodata. Nodata is folded into the pass over the values wherever that says the same as the mask
 * band, because reading the mask doubles the cost of a block. */
#include <cpl_string.h>
#include <float.h>
#include <math.h>
#include <string.h>

#include "climate/band_dates.h"
#include "climate/months.h"
#include "climate/period.h"
#include "climate/source.h"
#include "climate/time_axis.h"

enum { BLOCK_BYTES_MAX = 256 * 1024 * 1024 };

const char *isw_climate_find_metadata(GDALMajorObjectH object, const char *key) {
  char **list = GDALGetMetadata(object, NULL);
  size_t key_length = strlen(key);
  for (int i = 0; list != NULL && list[i] != NULL; i++) {
    const char *equals = strchr(list[i], '=');
    if (equals == NULL) continue;
    size_t length = (size_t)(equals - list[i]);
    if (length < key_length) continue;
    const char *tail = equals - key_length;
    if (g_ascii_strncasecmp(tail, key, key_length) != 0) continue;
    if (length == key_length || tail[-1] == '#') return equals + 1;
  }
  return NULL;
}

bool isw_climate_find_time(GDALDatasetH dataset, GDALRasterBandH band, struct isw_time_value *out) {
  static const char prefix[] = "NETCDF_DIM_";
  char **list = GDALGetMetadata(band, NULL);
  for (int i = 0; list != NULL && list[i] != NULL; i++) {
    if (strncmp(list[i], prefix, sizeof prefix - 1) != 0) continue;
    const char *name = list[i] + sizeof prefix - 1, *equals = strchr(name, '=');
    if (equals == NULL) continue;
    char *dimension = g_strndup(name, (gsize)(equals - name));
    char *units_key = g_strconcat(dimension, "#units", NULL);
    char *calendar_key = g_strconcat(dimension, "#calendar", NULL);
    out->units = GDALGetMetadataItem(dataset, units_key, NULL);
    out->calendar = GDALGetMetadataItem(dataset, calendar_key, NULL);
    g_strlcpy(out->dimension, dimension, sizeof out->dimension);
    char *lower = g_ascii_strdown(dimension, -1);
    bool is_time = isw_climate_is_time_units(out->units) || strcmp(lower, "time") == 0 ||
                   strcmp(lower, "month") == 0;
    g_free(lower);
    g_free(units_key);
    g_free(calendar_key);
    g_free(dimension);
    if (!is_time) continue;
    char *end;
    out->value = g_ascii_strtod(equals + 1, &end);
    if (end != equals + 1) return true;
  }
  return false;
}

struct candidate {
  GDALDatasetH dataset;
  int number;
  const char *file;
};

/* Months of the time axis, or none where it cannot be read as one. */
static void label_by_time(struct isw_source *source, int n, const struct candidate *candidates,
                          struct isw_month_label *labels) {
  double values[ISW_MONTHS_BANDS_MAX] = {0};
  if (n < 1) return;
  bool dated = true, counted = true, whole_months = true, first_moments = true;
  for (int i = 0; i < n; i++) {
    struct isw_time_value time;
    struct isw_time_point point;
    GDALRasterBandH band = GDALGetRasterBand(candidates[i].dataset, candidates[i].number);
    if (!isw_climate_find_time(candidates[i].dataset, band, &time)) return;
    const char *units = time.units, *calendar = time.calendar;
    values[i] = time.value;
    whole_months = whole_months && units != NULL && g_ascii_strncasecmp(units, "mon", 3) == 0 &&
                   values[i] == floor(values[i]);
    dated = dated && isw_climate_parse_time(units, calendar, values[i], &point);
    counted = counted && values[i] >= 1.0 && values[i] <= ISW_MONTHS_BANDS_MAX &&
              values[i] == floor(values[i]);
    if (dated) {
      labels[i].by_time = point.month;
      first_moments = first_moments && point.day_of_month < 1.0 + 1e-4;
    }
  }
  if (!dated)
    for (int i = 0; i < n; i++)
      labels[i].by_time =
          counted && values[i] <= ISW_YEAR_MONTHS ? (int)values[i] - 1 : ISW_MONTH_UNKNOWN;
  if (dated && first_moments && labels[0].by_time == 1)
    g_ptr_array_add(source->doubts,
                    g_strdup_printf("%s: the time axis runs from the first moment of February; if "
                                    "its times are the ends of months, all months are one too late",
                                    source->name));
  if (dated && whole_months && counted && values[0] == 1.0 && labels[0].by_time == 1)
    g_ptr_array_add(source->doubts,
                    g_strdup_printf("%s: the time axis counts months since January from 1, so that "
                                    "band 1 is February; if band 1 is January, it should count "
                                    "from 0",
                                    source->name));
}

/* Of 13 bands the one that is the mean of the other twelve, by a coarse sample; -1: none. */
static int find_annual(const struct candidate *candidates, int n) {
  enum { SIDE = 24, CELLS = SIDE * SIDE };
  static const double tolerance_share = 0.02; /* of the span of a cell's months */
  float *values = g_new(float, (gsize)n *CELLS);
  int found = -1;
  int last_band = n - 1;
  CPLPushErrorHandler(CPLQuietErrorHandler);
  int width = GDALGetRasterXSize(candidates[0].dataset);
  int height = GDALGetRasterYSize(candidates[0].dataset);
  int out_width = MIN(SIDE, width), out_height = MIN(SIDE, height);
  bool read = true;
  for (int i = 0; i < n && read; i++)
    read = GDALRasterIO(GDALGetRasterBand(candidates[i].dataset, candidates[i].number), GF_Read, 0,
                        0, width, height, values + (size_t)i * CELLS, out_width, out_height,
                        GDT_Float32, 0, 0) == CE_None;
  CPLPopErrorHandler();
  const int tried[] = {last_band, 0};
  for (size_t t = 0; read && t < G_N_ELEMENTS(tried) && found < 0; t++) {
    int checked = 0, agreed = 0;
    for (int cell = 0; cell < out_width * out_height; cell++) {
      double sum = 0.0, low = INFINITY, high = -INFINITY;
      for (int i = 0; i < n; i++) {
        double value = values[(size_t)i * CELLS + (size_t)cell];
        if (i == tried[t]) continue;
        sum += value;
        low = fmin(low, value);
        high = fmax(high, value);
      }
      double annual = values[(size_t)tried[t] * CELLS + (size_t)cell];
      if (!isfinite(sum) || !isfinite(annual) || !(high > low)) continue;
      checked++;
      if (fabs(annual - sum / ISW_YEAR_MONTHS) <= tolerance_share * (high - low)) agreed++;
    }
    if (checked > 0 && agreed >= 0.98 * checked) found = tried[t];
  }
  g_free(values);
  return found;
}

/* The tolerance GDAL's own mask has for floating point, wider for markers beyond any temperature,
 * which metadata round (-3.4e38). */
static struct isw_nodata_range nodata_range(double nodata, bool integer) {
  static const double huge = 1e30;
  if (integer) return (struct isw_nodata_range){nodata, nodata};
  if (nodata <= -huge) return (struct isw_nodata_range){-INFINITY, -huge};
  if (nodata >= huge) return (struct isw_nodata_range){huge, INFINITY};
  double slack = 4.0 * (double)FLT_EPSILON * fabs(nodata);
  return (struct isw_nodata_range){nodata - slack, nodata + slack};
}

static void add_nodata(struct isw_source_band *band, double nodata) {
  if (isnan(nodata) || band->nodata_count == ISW_NODATA_RANGES_MAX) return;
  band->nodata[band->nodata_count++] = nodata_range(nodata, band->integer);
}

/* Before anything is read: a type and a block size that can be dealt with. */
static enum isw_status check_stored_form(const struct candidate *from, struct isw_error *error) {
  GDALRasterBandH handle = GDALGetRasterBand(from->dataset, from->number);
  GDALDataType type = GDALGetRasterDataType(handle);
  if (GDALDataTypeIsComplex(type))
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: band %d holds complex numbers", from->file,
                         from->number);
  const char *sign = GDALGetMetadataItem(handle, "PIXELTYPE", "IMAGE_STRUCTURE");
  if (sign != NULL && EQUAL(sign, "SIGNEDBYTE"))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: band %d holds signed bytes, which GDAL gives without their sign\n"
                         "Rewrite it: gdal_translate -ot Int16",
                         from->file, from->number);
  int block_width, block_height;
  GDALGetBlockSize(handle, &block_width, &block_height);
  const char *interleave = GDALGetMetadataItem(from->dataset, "INTERLEAVE", "IMAGE_STRUCTURE");
  int together =
      interleave != NULL && EQUAL(interleave, "PIXEL") ? GDALGetRasterCount(from->dataset) : 1;
  double bytes = (double)block_width * block_height * GDALGetDataTypeSizeBytes(type) * together;
  if (bytes > BLOCK_BYTES_MAX)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: stored in pieces of %d x %d cells (%.0f MB), too large to read in "
                         "parts\nRewrite it in tiles: gdal_translate -co TILED=YES -co "
                         "COMPRESS=DEFLATE",
                         from->file, block_width, block_height, bytes / 1e6);
  return ISW_OK;
}

static enum isw_status describe_band(struct isw_source *source, struct isw_source_band *band,
                                     struct isw_error *error) {
  GDALRasterBandH handle = GDALGetRasterBand(band->dataset, band->number);
  GDALDataType type = GDALGetRasterDataType(handle);
  band->integer = GDALDataTypeIsInteger(type) != 0;
  if (type == GDT_Float64 || type == GDT_Int32 || type == GDT_UInt32 || type == GDT_Int64 ||
      type == GDT_UInt64)
    source->wide = true;
  int has = 0;
  band->scale = GDALGetRasterScale(handle, &has);
  if (!has) band->scale = 1.0;
  band->offset = GDALGetRasterOffset(handle, &has);
  if (!has) band->offset = 0.0;
  if (!isfinite(band->scale) || band->scale == 0.0 || !isfinite(band->offset))
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: band %d has scale %g and offset %g",
                         band->file, band->number, band->scale, band->offset);
  double nodata = GDALGetRasterNoDataValue(handle, &has);
  if (has) add_nodata(band, nodata);
  const char *missing = GDALGetMetadataItem(handle, "missing_value", NULL);
  if (missing != NULL) {
    char *end;
    double value = g_ascii_strtod(missing, &end);
    if (end != missing && *end == '\0' && (!has || value != nodata)) add_nodata(band, value);
  }
  int flags = GDALGetMaskFlags(handle);
  band->read_mask = flags != GMF_ALL_VALID && flags != GMF_NODATA;
  return ISW_OK;
}

static void note_period(struct isw_source *source, GDALDatasetH dataset) {
  static const char *const keys[] = {
      "period",           "normals_period", "climatology_period", "climatological_period",
      "reference_period", "base_period"};
  for (size_t i = 0; i < G_N_ELEMENTS(keys) && source->period == NULL; i++) {
    const char *value = isw_climate_find_metadata(dataset, keys[i]);
    if (value != NULL && isw_climate_is_period(value)) source->period = g_strstrip(g_strdup(value));
  }
}

/* ---- a year of a series ---- */

/* Twelve months, each once, or a message about the first that is not. */
static enum isw_status check_year(const char *name, int year, const int found[ISW_YEAR_MONTHS],
                                  struct isw_error *error) {
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) {
    if (found[month] == 1) continue;
    if (found[month] == 0)
      return isw_base_fail(
          error, ISW_INPUT_CONTENT,
          "%s: %s %d is missing\nA year needs its twelve months; leave the year out "
          "with ‹from› and ‹to›",
          name, isw_base_month_name(month), year);
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: %s %d is there %d times: a monthly series has each month once\nMake "
                         "monthly means of it first, with CDO or NCO for instance",
                         name, isw_base_month_name(month), year, found[month]);
  }
  return ISW_OK;
}

/* The bands of one year among those of a series, with their months as labels. *dated: they have
 * dates; else nothing is done. */
static enum isw_status take_year(const struct isw_source *source,
                                 const struct isw_source_options *options, bool *dated,
                                 struct candidate *candidates, struct isw_month_label *labels,
                                 struct isw_error *error) {
  int found[ISW_YEAR_MONTHS] = {0}, n = 0, undated = 0, total = 0;
  for (guint i = 0; i < source->datasets->len; i++) {
    GDALDatasetH dataset = g_ptr_array_index(source->datasets, i);
    const int count = GDALGetRasterCount(dataset);
    struct isw_band_date *dates = g_new0(struct isw_band_date, (gsize)MAX(count, 1));
    isw_climate_date_bands(dataset, count, dates);
    for (int b = 0; b < count; b++) {
      total++;
      undated += !dates[b].dated;
      if (!dates[b].dated || dates[b].year != options->year || n == ISW_MONTHS_BANDS_MAX) {
        if (dates[b].dated && dates[b].year == options->year) found[dates[b].month]++;
        continue;
      }
      found[dates[b].month]++;
      candidates[n] = (struct candidate){dataset, b + 1, g_ptr_array_index(source->files, i)};
      labels[n++] =
          (struct isw_month_label){.by_time = dates[b].month, .by_number = ISW_MONTH_UNKNOWN};
    }
    g_free(dates);
  }
  *dated = undated == 0 && total > 0;
  if (undated > 0 && (undated < total || !options->year_in_name))
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "%s: %d of %d bands say neither by a time axis nor by a date which month of "
        "which year they are\nName the bands like 1991-01, or give a file for each "
        "year as a name holding {year}",
        source->name, undated, total);
  if (!*dated) return ISW_OK;
  enum isw_status status = check_year(source->name, options->year, found, error);
  for (int i = 0; i < n && status == ISW_OK; i++) status = check_stored_form(&candidates[i], error);
  return status;
}

/* Bands in month order to source->bands. */
static enum isw_status describe_bands(struct isw_source *source, const struct candidate *candidates,
                                      const int *chosen, struct isw_error *error) {
  for (int month = 0; month < source->band_count; month++) {
    const struct candidate *from = &candidates[chosen[month]];
    source->bands[month] = (struct isw_source_band){
        .dataset = from->dataset, .number = from->number, .file = from->file};
    enum isw_status status = describe_band(source, &source->bands[month], error);
    if (status != ISW_OK) return status;
  }
  return ISW_OK;
}

static enum isw_status find_year(struct isw_source *source,
                                 const struct isw_source_options *options, bool *dated,
                                 struct isw_error *error) {
  struct candidate candidates[ISW_MONTHS_BANDS_MAX];
  struct isw_month_label labels[ISW_MONTHS_BANDS_MAX];
  struct isw_month_order order;
  enum isw_status status = take_year(source, options, dated, candidates, labels, error);
  if (status != ISW_OK || !*dated) return status;
  status = isw_climate_order_months(source->name, ISW_YEAR_MONTHS, labels, -1, &order, error);
  if (status != ISW_OK) return status;
  source->month_reason = "dates of a series";
  source->band_count = ISW_YEAR_MONTHS;
  return describe_bands(source, candidates, order.band_of_month, error);
}

enum isw_status isw_climate_find_bands(struct isw_source *source,
                                       const struct isw_source_options *options,
                                       struct isw_error *error) {
  if (options->year > 0) {
    bool dated;
    enum isw_status status = find_year(source, options, &dated, error);
    if (status != ISW_OK || dated) return status;
  }
  struct candidate candidates[ISW_MONTHS_BANDS_MAX];
  struct isw_month_label labels[ISW_MONTHS_BANDS_MAX];
  bool files = source->datasets->len > 1;
  int n = 0, found = 0;
  for (guint i = 0; i < source->datasets->len; i++) {
    GDALDatasetH dataset = g_ptr_array_index(source->datasets, i);
    const char *file = g_ptr_array_index(source->files, i);
    int count = GDALGetRasterCount(dataset);
    found += count;
    if (files && count != 1)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: %d bands, but a file of one month has one", file, count);
    for (int number = 1; number <= count && n < ISW_MONTHS_BANDS_MAX; number++) {
      candidates[n] = (struct candidate){dataset, number, file};
      labels[n] = (struct isw_month_label){
          .by_time = ISW_MONTH_UNKNOWN,
          .by_number = files ? (int)i : ISW_MONTH_UNKNOWN,
          .description = GDALGetDescription(GDALGetRasterBand(dataset, number))};
      enum isw_status status = check_stored_form(&candidates[n], error);
      if (status != ISW_OK) return status;
      n++;
    }
    note_period(source, dataset);
  }
  int chosen[ISW_YEAR_MONTHS] = {0};
  const char *one_band = isw_climate_one_band_words(source->kind);
  if (one_band != NULL) {
    if (found != 1)
      return isw_base_fail(error, ISW_INPUT_CONTENT, "%s: %d bands, but %s has one", source->name,
                           found, one_band);
    source->band_count = 1;
  } else {
    struct isw_month_order order;
    if (found > ISW_MONTHS_BANDS_MAX)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: %d bands, but twelve months are needed\n%s", source->name, found,
                           found % ISW_YEAR_MONTHS == 0
                               ? "Are they a series of years? isosow normals makes normals of it"
                               : "Give a raster of 12 bands");
    label_by_time(source, n, candidates, labels);
    int maybe_annual = n == ISW_MONTHS_BANDS_MAX ? find_annual(candidates, n) : -1;
    enum isw_status status =
        isw_climate_order_months(source->name, n, labels, maybe_annual, &order, error);
    if (status != ISW_OK) return status;
    if (order.annual >= 0)
      g_ptr_array_add(source->notices,
                      g_strdup_printf("%s: band %d is the annual value and is left out",
                                      source->name, candidates[order.annual].number));
    memcpy(chosen, order.band_of_month, sizeof chosen);
    source->month_reason = order.reason;
    source->band_count = ISW_YEAR_MONTHS;
  }
  return describe_bands(source, candidates, chosen, error);
}

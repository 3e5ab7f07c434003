#include "climate/inspection.h"

#include <cpl_error.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "base/interrupt.h"
#include "climate/doubts.h"
#include "climate/limits.h"
#include "climate/sample.h"
#include "climate/source.h"
#include "documents/text_file.h"

enum { WINDOW_CELLS = 65536, WINDOW_SIDE = 256 };
static const long long cells_read_unasked = 25000000;

static bool has_one_band(const char *src) {
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH dataset = GDALOpenEx(src, GDAL_OF_RASTER | GDAL_OF_READONLY, NULL, NULL, NULL);
  CPLPopErrorHandler();
  bool one = dataset != NULL && GDALGetRasterCount(dataset) == 1;
  if (dataset != NULL) GDALClose(dataset);
  return one;
}

static char **list_of(const GPtrArray *texts) {
  char **list = g_new0(char *, texts->len + 1);
  for (guint i = 0; i < texts->len; i++) list[i] = g_strdup(g_ptr_array_index(texts, i));
  return list;
}

static void describe_grid(struct isw_inspection *i) {
  const double *t = i->grid.transform;
  i->cell_width = hypot(t[1], t[4]);
  i->cell_height = hypot(t[2], t[5]);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(i->grid.wkt);
  const char *name = crs == NULL ? NULL : OSRGetName(crs);
  const char *authority = crs == NULL ? NULL : OSRGetAuthorityName(crs, NULL);
  const char *code = crs == NULL ? NULL : OSRGetAuthorityCode(crs, NULL);
  i->crs_name = authority != NULL && code != NULL
                    ? g_strdup_printf("%s (%s:%s)", name, authority, code)
                    : g_strdup(name == NULL ? "unnamed" : name);
  OSRDestroySpatialReference(crs);
  i->south_deg = i->north_deg = i->west_deg = i->east_deg = NAN;
  struct isw_locator *locator;
  if (isw_climate_new_locator(&i->grid, &locator, NULL) != ISW_OK) return;
  i->cell_area_km2 = isw_climate_cell_area_m2(locator, i->grid.width / 2, i->grid.height / 2) / 1e6;
  enum { STEPS = 16 };
  for (int a = 0; a <= STEPS; a++)
    for (int b = 0; b <= STEPS; b++) {
      if (a % STEPS != 0 && b % STEPS != 0) continue;
      double lat, lon, col = (double)a * i->grid.width / STEPS;
      double row = (double)b * i->grid.height / STEPS;
      if (!isw_climate_locate_cell(locator, col, row, &lat, &lon)) continue;
      /* The longitudes of a degree grid as it counts them: 20..380 stays. */
      if (i->grid.geographic) lon = t[0] + col * t[1] + row * t[2];
      i->south_deg = fmin(i->south_deg, lat);
      i->north_deg = fmax(i->north_deg, lat);
      i->west_deg = fmin(i->west_deg, lon);
      i->east_deg = fmax(i->east_deg, lon);
    }
  isw_climate_free_locator(locator);
}

struct sums {
  double sum[ISW_YEAR_MONTHS];
};

static void add_planes(struct isw_inspection *i, struct sums *sums, const float *planes, size_t n) {
  for (int b = 0; b < i->band_count; b++) {
    struct isw_inspection_band *band = &i->bands[b];
    for (size_t cell = 0; cell < n; cell++) {
      double value = (double)planes[(size_t)b * n + cell];
      if (isnan(value)) {
        band->missing++;
        continue;
      }
      band->with_value++;
      sums->sum[b] += value;
      band->low = fmin(band->low, value);
      band->high = fmax(band->high, value);
    }
  }
  for (size_t cell = 0; cell < n; cell++) {
    int have = 0;
    for (int b = 0; b < i->band_count; b++) have += !isnan(planes[(size_t)b * n + cell]);
    i->whole += have == i->band_count;
    i->empty += have == 0;
    i->partial += have > 0 && have < i->band_count;
  }
  i->cells += (long long)n;
}

/* Windows that follow how the file is stored: whole rows of strips, squares of tiles. */
static enum isw_status read_all(struct isw_source *source, struct isw_inspection *i,
                                struct sums *sums, struct isw_error *error) {
  int block_width, block_height, width = source->grid.width, height = source->grid.height;
  GDALGetBlockSize(GDALGetRasterBand(source->bands[0].dataset, source->bands[0].number),
                   &block_width, &block_height);
  bool strips = block_width >= width && width <= WINDOW_CELLS;
  int across = strips ? width : MIN(width, WINDOW_SIDE);
  int down = strips ? MAX(1, WINDOW_CELLS / width) : MIN(height, WINDOW_SIDE);
  float *planes = g_new(float, (gsize)across *(gsize)down *ISW_YEAR_MONTHS);
  enum isw_status status = ISW_OK;
  for (int row = 0; row < height && status == ISW_OK; row += MIN(down, height - row))
    for (int col = 0; col < width && status == ISW_OK; col += MIN(across, width - col)) {
      int w = MIN(across, width - col), h = MIN(down, height - row);
      size_t n = (size_t)w * (size_t)h;
      if (isw_base_interrupted_by() != 0)
        status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
      else
        status = isw_climate_read_source(source, col, row, w, h, w, h, planes, n, error);
      if (status == ISW_OK) add_planes(i, sums, planes, n);
    }
  g_free(planes);
  return status;
}

static char *describe_nodata(const struct isw_source_band *band) {
  GString *text = g_string_new(NULL);
  int has = 0;
  double value = GDALGetRasterNoDataValue(GDALGetRasterBand(band->dataset, band->number), &has);
  if (has) g_string_append_printf(text, "%g", value);
  if (band->read_mask) g_string_append(text, text->len > 0 ? " and mask" : "mask");
  if (text->len == 0) g_string_append(text, "none");
  return g_string_free(text, FALSE);
}

static enum isw_status look_at_values(struct isw_source *source,
                                      const struct isw_inspection_options *options,
                                      struct isw_inspection *i, struct isw_error *error) {
  struct sums sums = {{0}};
  for (int b = 0; b < i->band_count; b++) i->bands[b].low = INFINITY, i->bands[b].high = -INFINITY;
  long long cells = (long long)i->grid.width * i->grid.height;
  i->every_cell = options->every_cell || cells <= cells_read_unasked;
  enum isw_status status = ISW_OK;
  if (i->every_cell)
    status = read_all(source, i, &sums, error);
  else
    add_planes(i, &sums, source->sample, source->plan->cells);
  double sum = 0.0;
  long long count = 0;
  for (int b = 0; b < i->band_count; b++) {
    struct isw_inspection_band *band = &i->bands[b];
    sum += sums.sum[b];
    count += band->with_value;
    band->mean = band->with_value > 0 ? sums.sum[b] / (double)band->with_value : NAN;
    if (band->with_value == 0) band->low = band->high = NAN;
  }
  i->mean = count > 0 ? sum / (double)count : NAN;
  return status;
}

static void doubt_values(struct isw_source *source, const struct isw_inspection *i) {
  if (i->whole == 0)
    g_ptr_array_add(source->doubts,
                    g_strdup_printf("%s: no cell %s a value in every month", source->name,
                                    i->every_cell ? "has" : "that was looked at has"));
  if (i->partial > 0)
    g_ptr_array_add(source->doubts,
                    g_strdup_printf("%s: %lld cells have only some months; they are no data",
                                    source->name, i->partial));
  if (source->kind != ISW_SOURCE_TEMPERATURE) return;
  for (int b = 0; b < i->band_count; b++)
    if (i->bands[b].low < ISW_COLDEST_C || i->bands[b].high > ISW_WARMEST_C)
      g_ptr_array_add(source->doubts,
                      g_strdup_printf("%s: %s runs from %.1f to %.1f degC, outside %g..%g; a run "
                                      "would refuse it",
                                      source->name, isw_base_month_name(b), i->bands[b].low,
                                      i->bands[b].high, ISW_COLDEST_C, ISW_WARMEST_C));
}

static enum isw_status open_either(const char *src, const struct isw_inspection_options *options,
                                   struct isw_source **source, struct isw_error *error) {
  struct isw_source_options as = {.kind = ISW_SOURCE_TEMPERATURE,
                                  .unit = options->unit,
                                  .variable = options->variable,
                                  .crs = options->crs};
  enum isw_status kind = isw_documents_check_kind(src, error);
  if (kind != ISW_OK) return kind;
  if (strstr(src, "{month}") == NULL && has_one_band(src)) as.kind = ISW_SOURCE_ELEVATION;
  return isw_climate_open_source(src, &as, source, error);
}

enum isw_status isw_climate_inspect(const char *src, const struct isw_inspection_options *options,
                                    struct isw_inspection **out, struct isw_error *error) {
  struct isw_source *source = NULL;
  enum isw_status status = open_either(src, options, &source, error);
  if (status != ISW_OK) return status;
  struct isw_inspection *i = g_new0(struct isw_inspection, 1);
  GDALRasterBandH band = GDALGetRasterBand(source->bands[0].dataset, source->bands[0].number);
  i->name = g_strdup(src);
  i->elevation = source->kind == ISW_SOURCE_ELEVATION;
  i->format = g_strdup(GDALGetDriverShortName(GDALGetDatasetDriver(source->bands[0].dataset)));
  i->type = g_strdup(GDALGetDataTypeName(GDALGetRasterDataType(band)));
  i->unit = g_strdup(i->elevation ? "m" : isw_base_unit_name(source->unit));
  i->unit_reason = g_strdup(source->unit_reason);
  i->unit_guessed = i->elevation && strcmp(source->unit_reason, isw_climate_unit_granted) == 0;
  i->month_reason = g_strdup(source->month_reason);
  i->period = g_strdup(source->period);
  i->crs_assumed = source->crs_assumed;
  i->band_count = source->band_count;
  isw_climate_copy_grid(&source->grid, &i->grid);
  describe_grid(i);
  for (int b = 0; b < i->band_count; b++) {
    i->bands[b].file = g_strdup(source->bands[b].file);
    i->bands[b].number = source->bands[b].number;
    i->bands[b].formula = isw_climate_describe_formula(&source->bands[b]);
    i->bands[b].nodata = describe_nodata(&source->bands[b]);
  }
  status = look_at_values(source, options, i, error);
  isw_climate_doubt_cycle(source);
  doubt_values(source, i);
  i->understood = isw_climate_describe_source(source);
  i->notices = list_of(source->notices);
  i->doubts = list_of(source->doubts);
  isw_climate_free_source(source);
  if (status != ISW_OK) {
    isw_climate_free_inspection(i);
    return status;
  }
  *out = i;
  return ISW_OK;
}

void isw_climate_free_inspection(struct isw_inspection *i) {
  if (i == NULL) return;
  char *const texts[] = {i->name,         i->format, i->type,     i->unit,      i->unit_reason,
                         i->month_reason, i->period, i->crs_name, i->understood};
  for (size_t k = 0; k < G_N_ELEMENTS(texts); k++) g_free(texts[k]);
  for (int b = 0; b < i->band_count; b++) {
    g_free(i->bands[b].file);
    g_free(i->bands[b].formula);
    g_free(i->bands[b].nodata);
  }
  g_strfreev(i->notices);
  g_strfreev(i->doubts);
  isw_climate_free_grid(&i->grid);
  g_free(i);
}

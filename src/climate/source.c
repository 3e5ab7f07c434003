#include "climate/source.h"

#include <cpl_conv.h>
#include <math.h>
#include <string.h>

enum isw_status isw_climate_open_source(const char *src, const struct isw_source_options *options,
                                        struct isw_source **out, struct isw_error *error) {
  struct isw_source *source = g_new0(struct isw_source, 1);
  source->name = g_strdup(src);
  source->kind = options->kind;
  source->datasets = g_ptr_array_new();
  source->files = g_ptr_array_new_with_free_func(g_free);
  source->notices = g_ptr_array_new_with_free_func(g_free);
  source->doubts = g_ptr_array_new_with_free_func(g_free);
  enum isw_status status = isw_climate_open_files(source, options, error);
  if (status == ISW_OK) status = isw_climate_find_bands(source, options, error);
  if (status == ISW_OK) status = isw_climate_find_grid(source, options, error);
  for (int b = 0; b < source->band_count; b++) {
    source->bands[b].factor = source->bands[b].scale;
    source->bands[b].shift = source->bands[b].offset;
  }
  if (status == ISW_OK) status = isw_climate_take_sample(source, error);
  if (status == ISW_OK) status = isw_climate_find_unit(source, options->unit, error);
  if (status != ISW_OK) {
    isw_climate_free_source(source);
    return status;
  }
  *out = source;
  return ISW_OK;
}

void isw_climate_free_source(struct isw_source *source) {
  if (source == NULL) return;
  for (guint i = 0; i < source->datasets->len; i++)
    GDALClose(g_ptr_array_index(source->datasets, i));
  g_ptr_array_free(source->datasets, TRUE);
  g_ptr_array_free(source->files, TRUE);
  g_ptr_array_free(source->notices, TRUE);
  g_ptr_array_free(source->doubts, TRUE);
  isw_climate_free_grid(&source->grid);
  g_free(source->plan);
  g_free(source->sample);
  g_free(source->period);
  g_free(source->name);
  g_free(source);
}

char *isw_climate_describe_formula(const struct isw_source_band *band) {
  static const double nothing = 1e-9;
  char *product =
      fabs(band->factor - 1.0) < nothing ? g_strdup("v") : g_strdup_printf("%.6g*v", band->factor);
  if (fabs(band->shift) < nothing) return product;
  char *text =
      g_strdup_printf("%s %c %.6g", product, band->shift < 0.0 ? '-' : '+', fabs(band->shift));
  g_free(product);
  return text;
}

const char *isw_climate_one_band_words(enum isw_source_kind kind) {
  if (kind == ISW_SOURCE_ELEVATION) return "an elevation";
  return kind == ISW_SOURCE_YEAR_SPREAD ? "a year spread" : NULL;
}

char *isw_climate_describe_source(const struct isw_source *source) {
  char *first = isw_climate_describe_formula(&source->bands[0]);
  char *text;
  if (source->kind == ISW_SOURCE_ELEVATION) {
    text = g_strdup_printf("%s: elevation, %s, m by %s", source->name, first, source->unit_reason);
  } else if (source->kind == ISW_SOURCE_YEAR_SPREAD) {
    text =
        g_strdup_printf("%s: year spread, %s, K by %s", source->name, first, source->unit_reason);
  } else {
    const char *target = source->kind == ISW_SOURCE_TEMPERATURE ? "degC" : "K";
    const char *unit = isw_base_unit_name(source->unit);
    char *where = source->datasets->len > 1 ? g_strdup("in the first of twelve files")
                                            : g_strdup_printf("band %d", source->bands[0].number);
    char *value = strcmp(first, "v") == 0
                      ? g_strdup_printf("%s by %s", target, source->unit_reason)
                      : g_strdup_printf("%s = %s, where v is in %s by %s", target, first, unit,
                                        source->unit_reason);
    text = g_strdup_printf("%s: %s; %s is %s (by %s)", source->name, value, isw_base_month_name(0),
                           where, source->month_reason);
    g_free(value);
    g_free(where);
  }
  g_free(first);
  return text;
}

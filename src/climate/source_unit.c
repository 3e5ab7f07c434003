/* DESIGN: the sample is read in the values' own unit first, so that a refusal can name the range
 * that was seen; once the unit is known, sample and bands are turned to degC, K or m. */
#include <math.h>
#include <string.h>

#include "climate/limits.h"
#include "climate/sample.h"
#include "climate/source.h"

static const double coldest_C = ISW_COLDEST_C, warmest_C = ISW_WARMEST_C, widest_K = 60.0;
const char isw_climate_unit_granted[] = "taken for granted";

static const double lowest_m = -1000.0, highest_m = 9000.0;

static void find_ranges(struct isw_source *source) {
  size_t cells = source->plan->cells;
  for (int b = 0; b < source->band_count; b++) {
    struct isw_band_range *range = &source->ranges[b];
    *range = (struct isw_band_range){.low = INFINITY, .high = -INFINITY, .cells = cells};
    const float *values = source->sample + (size_t)b * cells;
    for (size_t i = 0; i < cells; i++) {
      if (isnan(values[i])) {
        range->missing++;
        continue;
      }
      range->low = fmin(range->low, (double)values[i]);
      range->high = fmax(range->high, (double)values[i]);
    }
  }
}

static struct isw_band_range whole_range(const struct isw_source *source) {
  struct isw_band_range whole = {.low = INFINITY, .high = -INFINITY};
  for (int b = 0; b < source->band_count; b++) {
    whole.low = fmin(whole.low, source->ranges[b].low);
    whole.high = fmax(whole.high, source->ranges[b].high);
    whole.cells += source->ranges[b].cells;
    whole.missing += source->ranges[b].missing;
  }
  return whole;
}

enum isw_status isw_climate_take_sample(struct isw_source *source, struct isw_error *error) {
  static const int wanted[] = {9, 64, ISW_SAMPLE_WINDOWS_MAX};
  int block_width, block_height;
  GDALGetBlockSize(GDALGetRasterBand(source->bands[0].dataset, source->bands[0].number),
                   &block_width, &block_height);
  source->plan = g_new0(struct isw_sample_plan, 1);
  /* Rows are cheap: strips of a line or two may be many. */
  bool thin = (double)block_width * block_height < 65536.0 / 4;
  for (size_t i = thin ? 1 : 0; i < G_N_ELEMENTS(wanted); i++) {
    isw_climate_plan_sample(&source->grid, block_width, block_height, wanted[i], source->plan);
    g_free(source->sample);
    source->sample = g_new(float, source->plan->cells *(size_t)source->band_count);
    enum isw_status status = isw_climate_read_sample(source, source->plan, source->sample, error);
    if (status != ISW_OK) return status;
    find_ranges(source);
    struct isw_band_range whole = whole_range(source);
    if (whole.missing < whole.cells) return ISW_OK;
  }
  return ISW_OK;
}

/* "F" for values that fit it, with what the words are; NULL: none fits. */
static const char *likely_unit(double low, double high, const char **words) {
  static const struct {
    double low, high;
    const char *unit, *words;
  } looks[] = {{180.0, 335.0, "K", "kelvin"},
               {ISW_COLDEST_C, ISW_WARMEST_C, "C", "degC"},
               {-130.0, 140.0, "F", "degF"},
               {-900.0, 600.0, "C/10", "tenths of a degC"},
               {-1300.0, 1400.0, "F/10", "tenths of a degF"}};
  for (size_t i = 0; i < G_N_ELEMENTS(looks); i++)
    if (low >= looks[i].low && high <= looks[i].high) {
      *words = looks[i].words;
      return looks[i].unit;
    }
  return NULL;
}

/* As far as metadata say it: *text is what they say, NULL where nothing. */
static enum isw_status unit_of_metadata(const struct isw_source *source, enum isw_unit *unit,
                                        const char **text, struct isw_error *error) {
  *unit = ISW_UNIT_UNKNOWN;
  *text = NULL;
  for (int b = 0; b < source->band_count; b++) {
    GDALRasterBandH handle = GDALGetRasterBand(source->bands[b].dataset, source->bands[b].number);
    const char *said = GDALGetRasterUnitType(handle);
    if (said == NULL || said[0] == '\0') said = GDALGetMetadataItem(handle, "units", NULL);
    if (said == NULL || said[0] == '\0') said = isw_climate_find_metadata(handle, "unit");
    if (said != NULL && said[0] == '\0') said = NULL;
    if (b == 0) {
      *text = said;
      continue;
    }
    if (g_strcmp0(said, *text) != 0 &&
        isw_base_recognise_unit(said) != isw_base_recognise_unit(*text))
      return isw_base_fail(error, ISW_INPUT_DOUBT,
                           "%s: its bands are in different units: band %d says %s, band %d says "
                           "%s\nCorrect the metadata, or say the one of all with ‹unit›",
                           source->name, source->bands[0].number, *text == NULL ? "none" : *text,
                           source->bands[b].number, said == NULL ? "none" : said);
  }
  *unit = isw_base_recognise_unit(*text);
  return ISW_OK;
}

/* From stated values to degC, K or m. */
static void apply(struct isw_source *source, double factor, double shift) {
  for (int b = 0; b < source->band_count; b++) {
    struct isw_source_band *band = &source->bands[b];
    band->factor = factor * band->scale;
    band->shift = factor * band->offset + shift;
  }
  size_t n = source->plan->cells * (size_t)source->band_count;
  for (size_t i = 0; i < n; i++)
    source->sample[i] = (float)((double)source->sample[i] * factor + shift);
  find_ranges(source);
}

static enum isw_status find_elevation_unit(struct isw_source *source, struct isw_error *error) {
  if (isw_climate_looks_like_temperature(source->bands[0].dataset))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: holds temperatures by its metadata, and one band of them: no "
                         "elevation, and one month of twelve\nFor a file or variable per month "
                         "give a name that holds {month}",
                         source->name);
  static const struct {
    const char *spelling;
    double metres;
  } known[] = {{"m", 1.0},     {"metre", 1.0},   {"metres", 1.0},  {"meter", 1.0}, {"meters", 1.0},
               {"ft", 0.3048}, {"foot", 0.3048}, {"feet", 0.3048}, {"km", 1000.0}};
  GDALRasterBandH handle = GDALGetRasterBand(source->bands[0].dataset, source->bands[0].number);
  const char *said = GDALGetRasterUnitType(handle);
  if (said == NULL || said[0] == '\0') said = GDALGetMetadataItem(handle, "units", NULL);
  double metres = 0.0;
  if (said == NULL || said[0] == '\0') {
    metres = 1.0;
    source->unit_reason = isw_climate_unit_granted;
    g_ptr_array_add(
        source->notices,
        g_strdup_printf("%s: no unit; as an elevation it is taken as metres", source->name));
  } else {
    source->unit_reason = "metadata";
    for (size_t i = 0; i < G_N_ELEMENTS(known); i++)
      if (g_ascii_strcasecmp(said, known[i].spelling) == 0) metres = known[i].metres;
  }
  if (metres == 0.0)
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s: unit \"%s\" of elevation is not known\nWrite it in metres",
                         source->name, said);
  apply(source, metres, 0.0);
  struct isw_band_range whole = whole_range(source);
  if (whole.low <= whole.high && (whole.low < lowest_m || whole.high > highest_m))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: elevations from %g to %g m, outside %g..%g m\nCheck its unit and "
                         "nodata value",
                         source->name, whole.low, whole.high, lowest_m, highest_m);
  return ISW_OK;
}

/* A difference, so that degC and K are the same; without a word it is K. */
static enum isw_status find_year_spread_unit(struct isw_source *source, struct isw_error *error) {
  const char *text = NULL;
  source->unit = ISW_UNIT_UNKNOWN;
  enum isw_status status = unit_of_metadata(source, &source->unit, &text, error);
  if (status != ISW_OK) return status;
  source->unit_reason = "metadata";
  if (source->unit == ISW_UNIT_UNKNOWN && text != NULL)
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s: unit \"%s\" of a year spread is not known\nWrite it in K",
                         source->name, text);
  if (source->unit == ISW_UNIT_UNKNOWN) {
    source->unit = ISW_UNIT_K;
    source->unit_reason = "taken for granted";
    g_ptr_array_add(source->notices, g_strdup_printf("%s: no unit; taken as K", source->name));
  }
  apply(source, isw_base_unit_scale(source->unit).factor, 0.0);
  const struct isw_band_range whole = whole_range(source);
  if (whole.low <= whole.high && (whole.low < 0.0 || whole.high > ISW_WIDEST_YEAR_SPREAD_K))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: year spreads from %g to %g K, outside 0..%g K\nCheck its unit and "
                         "nodata value",
                         source->name, whole.low, whole.high, ISW_WIDEST_YEAR_SPREAD_K);
  return ISW_OK;
}

static enum isw_status check_range(const struct isw_source *source, struct isw_band_range stated,
                                   struct isw_error *error) {
  struct isw_band_range whole = whole_range(source);
  if (whole.low > whole.high) return ISW_OK;
  if (source->kind == ISW_SOURCE_DIFFERENCE) {
    if (whole.low < -ISW_MOST_INVERTED_K && whole.low >= -widest_K)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: daily ranges from %g to %g K; a range is maximum less minimum, and "
                           "never negative\nCheck that it is one, and its nodata value",
                           source->name, whole.low, whole.high);
    if (whole.low >= -widest_K && whole.high <= widest_K) return ISW_OK;
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: daily ranges from %g to %g K are not believable\nCheck its unit and "
                         "nodata value",
                         source->name, whole.low, whole.high);
  }
  if (whole.low >= coldest_C && whole.high <= warmest_C) return ISW_OK;
  static const double marker = 1e30;
  if (fabs(stated.low) >= marker || fabs(stated.high) >= marker)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: it holds %g, which looks like a nodata value that its metadata do "
                         "not declare\nDeclare it: gdal_edit.py -a_nodata",
                         source->name, fabs(stated.low) >= marker ? stated.low : stated.high);
  const char *words = NULL, *likely = likely_unit(stated.low, stated.high, &words);
  char *advice = likely != NULL && strcmp(likely, isw_base_unit_name(source->unit)) != 0
                     ? g_strdup_printf("its values, %.4g to %.4g, look like %s: say ‹unit› %s",
                                       stated.low, stated.high, words, likely)
                     : g_strdup("check its unit, scale and nodata value");
  isw_base_fail(error, ISW_INPUT_CONTENT,
                "%s: read as unit %s (by %s), temperatures run from %.1f to %.1f degC, outside "
                "%g..%g\nIf so, %s",
                source->name, isw_base_unit_name(source->unit), source->unit_reason, whole.low,
                whole.high, coldest_C, warmest_C, advice);
  g_free(advice);
  return ISW_INPUT_CONTENT;
}

enum isw_status isw_climate_find_unit(struct isw_source *source, enum isw_unit unit,
                                      struct isw_error *error) {
  if (source->kind == ISW_SOURCE_ELEVATION) return find_elevation_unit(source, error);
  if (source->kind == ISW_SOURCE_YEAR_SPREAD) return find_year_spread_unit(source, error);
  struct isw_band_range stated = whole_range(source);
  enum isw_unit found = ISW_UNIT_UNKNOWN;
  const char *text = NULL;
  if (unit != ISW_UNIT_UNKNOWN) {
    source->unit = unit;
    source->unit_reason = "‹unit›";
    if (unit_of_metadata(source, &found, &text, NULL) == ISW_OK && found != ISW_UNIT_UNKNOWN &&
        found != unit)
      g_ptr_array_add(source->notices,
                      g_strdup_printf("%s: ‹unit› %s overrides its metadata, which say %s",
                                      source->name, isw_base_unit_name(unit), text));
  } else {
    enum isw_status status = unit_of_metadata(source, &found, &text, error);
    if (status != ISW_OK) return status;
    source->unit = found;
    source->unit_reason = "metadata";
  }
  if (source->unit == ISW_UNIT_UNKNOWN) {
    const char *words = NULL, *likely = NULL;
    if (stated.low <= stated.high) likely = likely_unit(stated.low, stated.high, &words);
    char *seen = stated.low <= stated.high
                     ? g_strdup_printf("its values run from %.4g to %.4g", stated.low, stated.high)
                     : g_strdup("no value was seen");
    char *said = text == NULL ? g_strdup("its metadata say no unit")
                              : g_strdup_printf("its unit \"%s\" is not one of temperature", text);
    isw_base_fail(error, ISW_INPUT_DOUBT,
                  "%s: %s, and it is not guessed; %s%s%s\nSay it with ‹unit› C, F, K, C/10 or F/10",
                  source->name, said, seen, likely == NULL ? "" : ", which looks like ",
                  likely == NULL ? "" : words);
    g_free(seen);
    g_free(said);
    return ISW_INPUT_DOUBT;
  }
  bool tenths = source->unit == ISW_UNIT_C10 || source->unit == ISW_UNIT_F10;
  if (tenths && source->bands[0].scale != 1.0)
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s: its metadata scale values by %g, and its unit (by %s) is tenths of a "
                         "degree besides; one of them is too much\nSay the unit of the scaled "
                         "values with ‹unit› C or F",
                         source->name, source->bands[0].scale, source->unit_reason);
  struct isw_unit_scale scale = isw_base_unit_scale(source->unit);
  apply(source, scale.factor, source->kind == ISW_SOURCE_TEMPERATURE ? scale.offset_C : 0.0);
  return check_range(source, stated, error);
}

/* DESIGN: SRC becomes a list of open datasets: one, or twelve for a name holding {month}. A file
 * that opens as an empty container (climatology netCDF) gives its only fitting subdataset. */
#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <string.h>

#include "climate/months.h"
#include "climate/source.h"
#include "documents/text_file.h"

static const char month_mark[] = "{month}";

/* Opens without GDAL printing; its message is left in CPLGetLastErrorMsg. */
static GDALDatasetH open_quietly(const char *path) {
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH dataset =
      GDALOpenEx(path, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
  CPLPopErrorHandler();
  return dataset;
}

/* A file, or another name that GDAL opens (NETCDF:"f.nc":Band1). */
static bool exists(const char *path) {
  VSILFILE *file = VSIFOpenL(path, "rb");
  if (file != NULL) VSIFCloseL(file);
  if (file != NULL || strchr(path, ':') == NULL) return file != NULL;
  GDALDatasetH dataset = open_quietly(path);
  if (dataset != NULL) GDALClose(dataset);
  return dataset != NULL;
}

static const char *variable_of(GDALDatasetH dataset) {
  if (GDALGetRasterCount(dataset) < 1) return NULL;
  return GDALGetMetadataItem(GDALGetRasterBand(dataset, 1), "NETCDF_VARNAME", NULL);
}

bool isw_climate_looks_like_temperature(GDALDatasetH dataset) {
  GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
  const char *unit = GDALGetRasterUnitType(band);
  if (isw_base_recognise_unit(unit) != ISW_UNIT_UNKNOWN) return true;
  static const char *const keys[] = {"units", "standard_name", "long_name"};
  for (size_t i = 0; i < G_N_ELEMENTS(keys); i++) {
    const char *value = GDALGetMetadataItem(band, keys[i], NULL);
    if (value == NULL) continue;
    if (isw_base_recognise_unit(value) != ISW_UNIT_UNKNOWN) return true;
    char *lower = g_ascii_strdown(value, -1);
    bool found = strstr(lower, "temperature") != NULL;
    g_free(lower);
    if (found) return true;
  }
  return false;
}

static bool band_count_fits(GDALDatasetH dataset, enum isw_source_kind kind, bool one_month) {
  int count = GDALGetRasterCount(dataset);
  if (isw_climate_one_band_words(kind) != NULL || one_month) return count == 1;
  return count == ISW_YEAR_MONTHS || count == ISW_MONTHS_BANDS_MAX;
}

static bool ends_in_variable(const char *subdataset, const char *variable) {
  const char *colon = strrchr(subdataset, ':');
  const char *name = colon == NULL ? subdataset : colon + 1;
  while (*name == '/') name++;
  return strcmp(name, variable) == 0;
}

/* What a container holds, as far as choosing from it asks. */
struct contents {
  GPtrArray *names;   /* char *: of all subdatasets, as GDAL opens them */
  GPtrArray *fitting; /* char *: those of the right number of bands that look the part */
  int with_months;    /* of twelve or thirteen bands */
};

static void clear_contents(struct contents *contents) {
  g_ptr_array_free(contents->names, TRUE);
  g_ptr_array_free(contents->fitting, TRUE);
}

static struct contents look_into(GDALDatasetH container, const struct isw_source_options *options,
                                 bool one_month) {
  struct contents contents = {g_ptr_array_new_with_free_func(g_free),
                              g_ptr_array_new_with_free_func(g_free), 0};
  char **list = GDALGetMetadata(container, "SUBDATASETS");
  for (int i = 1; i <= CSLCount(list) / 2; i++) {
    char key[40];
    g_snprintf(key, sizeof key, "SUBDATASET_%d_NAME", i);
    const char *name = CSLFetchNameValue(list, key);
    if (name != NULL) g_ptr_array_add(contents.names, g_strdup(name));
  }
  for (guint i = 0; i < contents.names->len; i++) {
    const char *name = g_ptr_array_index(contents.names, i);
    if (options->variable != NULL && !ends_in_variable(name, options->variable)) continue;
    GDALDatasetH candidate = open_quietly(name);
    if (candidate == NULL) continue;
    contents.with_months += band_count_fits(candidate, ISW_SOURCE_TEMPERATURE, false);
    const bool fits = options->year > 0 && !one_month
                          ? GDALGetRasterCount(candidate) >= ISW_YEAR_MONTHS
                          : band_count_fits(candidate, options->kind, one_month);
    if (fits && (options->variable != NULL || options->kind != ISW_SOURCE_TEMPERATURE ||
                 isw_climate_looks_like_temperature(candidate)))
      g_ptr_array_add(contents.fitting, g_strdup(name));
    GDALClose(candidate);
  }
  return contents;
}

/* "NETCDF:"f.nc":Band{month}" where twelve names differ by the numbers 1 to 12 at their ends; or
 * NULL. New text. */
static char *month_pattern(GPtrArray *names) {
  for (guint i = 0; i < names->len; i++) {
    const char *name = g_ptr_array_index(names, i);
    size_t length = strlen(name);
    if (length < 2 || name[length - 1] != '1' || g_ascii_isdigit(name[length - 2])) continue;
    char *stem = g_strndup(name, length - 1);
    int found = 0;
    for (int month = 1; month <= ISW_YEAR_MONTHS; month++) {
      char *wanted = g_strdup_printf("%s%d", stem, month);
      found += g_ptr_array_find_with_equal_func(names, wanted, g_str_equal, NULL);
      g_free(wanted);
    }
    char *pattern = g_strconcat(stem, month_mark, NULL);
    g_free(stem);
    if (found == ISW_YEAR_MONTHS) return pattern;
    g_free(pattern);
  }
  return NULL;
}

static char *list_names(const GPtrArray *names) {
  GString *text = g_string_new(names->len > 0 ? NULL : " nothing");
  for (guint i = 0; i < names->len; i++)
    g_string_append_printf(text, "\n  %s", (char *)g_ptr_array_index(names, i));
  return g_string_free(text, FALSE);
}

static enum isw_status refuse_contents(const struct contents *contents, const char *path,
                                       const char *variable, struct isw_error *error) {
  char *all = list_names(contents->names), *pattern = month_pattern(contents->names);
  char *advice = pattern != NULL ? g_strdup_printf("A variable for each month: give '%s'", pattern)
                 : contents->with_months > 0 && variable == NULL
                     ? g_strdup("Name the one of twelve times that is meant with ‹var›")
                     : g_strdup("Give a file that holds one");
  enum isw_status status =
      variable != NULL
          ? isw_base_fail(error, ISW_INPUT_CONTENT,
                          "%s: no variable %s with twelve times in it; it holds:%s\n%s", path,
                          variable, all, advice)
          : isw_base_fail(error, ISW_INPUT_CONTENT,
                          "%s: no variable of temperature with twelve times in it; it holds:%s\n%s",
                          path, all, advice);
  g_free(all);
  g_free(pattern);
  g_free(advice);
  return status;
}

/* The container's one subdataset that fits. Takes `container`. */
static GDALDatasetH choose_subdataset(GDALDatasetH container, const char *path,
                                      const struct isw_source_options *options, bool one_month,
                                      char **chosen_name, struct isw_error *error) {
  struct contents contents = look_into(container, options, one_month);
  GDALClose(container);
  GDALDatasetH dataset = NULL;
  if (contents.fitting->len == 1) {
    const char *name = g_ptr_array_index(contents.fitting, 0);
    dataset = open_quietly(name);
    if (dataset == NULL)
      isw_base_fail(error, ISW_INPUT_FILE, "%s: %s", path, CPLGetLastErrorMsg());
    else
      *chosen_name = g_strdup(name);
  } else if (contents.fitting->len == 0 || options->variable != NULL) {
    refuse_contents(&contents, path, options->variable, error);
  } else {
    char *names = list_names(contents.fitting);
    isw_base_fail(error, ISW_INPUT_DOUBT,
                  "%s: several variables of temperature with twelve times; choose with ‹var›, or "
                  "give one of these instead of the file name:%s",
                  path, names);
    g_free(names);
  }
  clear_contents(&contents);
  return dataset;
}

static enum isw_status open_one(struct isw_source *source, const char *path,
                                const struct isw_source_options *options, bool one_month,
                                struct isw_error *error) {
  enum isw_status kind = isw_documents_check_kind(path, error);
  if (kind != ISW_OK) return kind;
  GDALDatasetH dataset = open_quietly(path);
  if (dataset == NULL) {
    const char *reason = CPLGetLastErrorMsg();
    return isw_base_fail(error, ISW_INPUT_FILE,
                         "%s: cannot be read as a raster%s%s\nCheck the name, and with gdalinfo "
                         "what it is",
                         path, reason[0] == '\0' ? "" : ": ", reason);
  }
  char *name = NULL;
  const char *variable = variable_of(dataset);
  bool other_variable = options->variable != NULL &&
                        isw_climate_one_band_words(options->kind) == NULL &&
                        (variable == NULL ? CSLCount(GDALGetMetadata(dataset, "SUBDATASETS")) > 0
                                          : strcmp(variable, options->variable) != 0);
  if (GDALGetRasterCount(dataset) == 0 || other_variable) {
    dataset = choose_subdataset(dataset, path, options, one_month, &name, error);
    if (dataset == NULL) return error == NULL ? ISW_INPUT_CONTENT : error->status;
  }
  g_ptr_array_add(source->datasets, dataset);
  g_ptr_array_add(source->files, name != NULL ? name : g_strdup(path));
  return ISW_OK;
}

static char *replace_mark(const char *src, const char *month) {
  char **parts = g_strsplit(src, month_mark, -1);
  char *path = g_strjoinv(month, parts);
  g_strfreev(parts);
  return path;
}

enum isw_status isw_climate_open_files(struct isw_source *source,
                                       const struct isw_source_options *options,
                                       struct isw_error *error) {
  if (strstr(source->name, month_mark) == NULL)
    return open_one(source, source->name, options, false, error);
  const char *one_band = isw_climate_one_band_words(options->kind);
  if (one_band != NULL)
    return isw_base_fail(error, ISW_USAGE, "%s: %s is one file, without {month}", source->name,
                         one_band);
  for (int month = 1; month <= ISW_YEAR_MONTHS; month++) {
    char padded[16], plain[16];
    g_snprintf(padded, sizeof padded, "%02d", month);
    g_snprintf(plain, sizeof plain, "%d", month);
    char *path = replace_mark(source->name, padded), *other = replace_mark(source->name, plain);
    bool has_other = month < 10 && exists(other);
    enum isw_status status = ISW_OK;
    if (has_other && exists(path)) {
      status =
          isw_base_fail(error, ISW_INPUT_DOUBT, "both %s and %s exist\nRemove one", path, other);
    } else {
      status = open_one(source, has_other ? other : path, options, true, error);
      if (status == ISW_INPUT_FILE && month < 10 && !has_other && !exists(path))
        isw_base_fail(error, status, "%s: month %d is missing: neither %s nor %s can be read",
                      source->name, month, path, other);
    }
    g_free(path);
    g_free(other);
    if (status != ISW_OK) return status;
  }
  return ISW_OK;
}

/* DESIGN: blocks pass through three layouts. Sources give planes (one per month) on the normals'
 * grid; elevation, where asked for, turns them into planes on the fine grid; a last pass checks and
 * interleaves them into 24 values per cell, in chunks that stay in the first-level cache:
 *
 *   planes [24][cells] degC, NAN = none   ->   normals [cells][24], flags [cells]
 */
#include "climate/climate.h"

#include <cpl_string.h>
#include <glib.h>
#include <math.h>
#include <string.h>

#include "climate/doubts.h"
#include "climate/elevation.h"
#include "climate/grid.h"
#include "climate/interleave.h"
#include "climate/reader_inside.h"
#include "climate/sample.h"
#include "climate/source.h"

static void add_text(GPtrArray *list, char *text) {
  for (guint i = 0; i < list->len; i++)
    if (strcmp(g_ptr_array_index(list, i), text) == 0) {
      g_free(text);
      return;
    }
  g_ptr_array_add(list, text);
}

static void note_source(struct isw_climate *climate, struct isw_source *source,
                        struct isw_log *log) {
  isw_climate_doubt_cycle(source);
  char *line = isw_climate_describe_source(source);
  isw_base_notice(log, "%s", line);
  g_ptr_array_add(climate->understood, line);
  for (guint i = 0; i < source->notices->len; i++)
    isw_base_notice(log, "%s", (const char *)g_ptr_array_index(source->notices, i));
  for (guint i = 0; i < source->doubts->len; i++)
    isw_base_warn(log, "%s", (const char *)g_ptr_array_index(source->doubts, i));
  for (guint i = 0; i < source->datasets->len; i++) {
    char **files = GDALGetFileList(g_ptr_array_index(source->datasets, i));
    if (CSLCount(files) == 0)
      add_text(climate->input_files, g_strdup(g_ptr_array_index(source->files, i)));
    for (int k = 0; k < CSLCount(files); k++) add_text(climate->input_files, g_strdup(files[k]));
    CSLDestroy(files);
  }
}

static enum isw_status open_one(struct isw_climate *climate, const char *src,
                                enum isw_source_kind kind,
                                const struct isw_climate_request *request, struct isw_log *log,
                                struct isw_source **out, struct isw_error *error) {
  struct isw_source_options options = {.kind = kind, .crs = request->crs};
  options.crs_if_missing = src == request->elevation;
  if (isw_climate_one_band_words(kind) == NULL) {
    options.unit = request->unit;
    options.variable = request->variable;
  }
  enum isw_status status = isw_climate_open_source(src, &options, out, error);
  if (status == ISW_OK) note_source(climate, *out, log);
  return status;
}

static bool is_given(const char *text) {
  return text != NULL && text[0] != '\0';
}

static enum isw_status check_request(const struct isw_climate_request *request,
                                     struct isw_error *error) {
  bool pair = is_given(request->tmin) || is_given(request->tmax);
  bool mean = is_given(request->mean) || is_given(request->range);
  if (pair && mean)
    return isw_base_fail(error, ISW_USAGE, "give either ‹tmin› and ‹tmax› or ‹mean› and ‹range›");
  if (!mean && (!is_given(request->tmin) || !is_given(request->tmax)))
    return isw_base_fail(error, ISW_USAGE,
                         "%s is missing\nGive ‹tmin› and ‹tmax›, or ‹mean› and ‹range›",
                         is_given(request->tmin) ? "‹tmax›" : "‹tmin›");
  if (mean && (!is_given(request->mean) || !is_given(request->range)))
    return isw_base_fail(error, ISW_USAGE, "%s is missing\n‹mean› and ‹range› go together",
                         is_given(request->mean) ? "‹range›" : "‹mean›");
  bool lapse = is_given(request->lapse) || is_given(request->lapse_monthly);
  if (is_given(request->elevation) != is_given(request->normals_elevation))
    return isw_base_fail(error, ISW_USAGE,
                         "%s is missing\n‹elevation› and ‹normals-elevation› go "
                         "together",
                         is_given(request->elevation) ? "‹normals-elevation›" : "‹elevation›");
  if (lapse && !is_given(request->elevation))
    return isw_base_fail(error, ISW_USAGE,
                         "a lapse rate needs ‹elevation› and ‹normals-elevation›");
  if (is_given(request->lapse) && is_given(request->lapse_monthly))
    return isw_base_fail(error, ISW_USAGE, "give either ‹lapse› or ‹lapse-monthly›");
  return ISW_OK;
}

/* A constant number of K, or a source. */
static enum isw_status open_range(struct isw_climate *climate,
                                  const struct isw_climate_request *request, struct isw_log *log,
                                  struct isw_error *error) {
  static const double widest_K = 60.0;
  char *end;
  double number = g_ascii_strtod(request->range, &end);
  while (*end == ' ') end++;
  if (end == request->range || *end != '\0')
    return open_one(climate, request->range, ISW_SOURCE_DIFFERENCE, request, log,
                    &climate->normals.range, error);
  if (!(number >= 0.0 && number <= widest_K))
    return isw_base_fail(error, ISW_USAGE, "‹range› %s: a daily range is 0 to %g K", request->range,
                         widest_K);
  climate->normals.range_K = number;
  g_ptr_array_add(climate->understood, g_strdup_printf("daily range: %g K everywhere", number));
  return ISW_OK;
}

static enum isw_status open_sources(struct isw_climate *climate,
                                    const struct isw_climate_request *request, struct isw_log *log,
                                    struct isw_error *error) {
  bool mean = is_given(request->mean);
  enum isw_status status =
      open_one(climate, mean ? request->mean : request->tmin, ISW_SOURCE_TEMPERATURE, request, log,
               &climate->normals.first, error);
  if (status == ISW_OK)
    status = mean ? open_range(climate, request, log, error)
                  : open_one(climate, request->tmax, ISW_SOURCE_TEMPERATURE, request, log,
                             &climate->normals.second, error);
  const struct isw_source *other = mean ? climate->normals.range : climate->normals.second;
  if (status == ISW_OK && other != NULL)
    status = isw_climate_compare_grids(&climate->normals.first->grid, climate->normals.first->name,
                                       &other->grid, other->name, error);
  if (status == ISW_OK && climate->normals.second != NULL)
    status = isw_climate_doubt_pair(climate->normals.first, climate->normals.second, log, error);
  return status;
}

static enum isw_status open_elevation(struct isw_climate *climate,
                                      const struct isw_climate_request *request,
                                      struct isw_log *log, struct isw_error *error) {
  if (!is_given(request->elevation)) return ISW_OK;
  enum isw_status status = open_one(climate, request->elevation, ISW_SOURCE_ELEVATION, request, log,
                                    &climate->fine_elevation, error);
  if (status == ISW_OK)
    status = open_one(climate, request->normals_elevation, ISW_SOURCE_ELEVATION, request, log,
                      &climate->normals_elevation, error);
  if (status == ISW_OK)
    status = isw_climate_open_elevation(&climate->normals, request, climate->fine_elevation,
                                        climate->normals_elevation, &climate->elevation, error);
  if (status != ISW_OK) return status;
  char *lapse = isw_climate_describe_lapse(climate->elevation);
  char *line = g_strdup_printf("normals brought to the grid of %s: bilinear at sea level, %s",
                               climate->fine_elevation->name, lapse);
  isw_base_notice(log, "%s", line);
  g_ptr_array_add(climate->understood, line);
  g_free(lapse);
  return ISW_OK;
}

/* On the grid that is handed out: the elevation's where there is one. */
static enum isw_status open_year_spread(struct isw_climate *climate,
                                        const struct isw_climate_request *request,
                                        struct isw_log *log, struct isw_error *error) {
  if (!is_given(request->year_spread)) return ISW_OK;
  const struct isw_source *grid_of =
      climate->fine_elevation != NULL ? climate->fine_elevation : climate->normals.first;
  enum isw_status status = open_one(climate, request->year_spread, ISW_SOURCE_YEAR_SPREAD, request,
                                    log, &climate->year_spread, error);
  if (status != ISW_OK) return status;
  return isw_climate_compare_grids(&grid_of->grid, grid_of->name, &climate->year_spread->grid,
                                   climate->year_spread->name, error);
}

static enum isw_status find_period(struct isw_climate *climate,
                                   const struct isw_climate_request *request,
                                   struct isw_error *error) {
  if (is_given(request->period)) {
    climate->period = g_strdup(request->period);
    return ISW_OK;
  }
  const char *first = climate->normals.first->period;
  const char *second = climate->normals.second != NULL ? climate->normals.second->period : NULL;
  if (first != NULL && second != NULL && strcmp(first, second) != 0)
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s says it stands for %s, %s for %s\nTake normals of one period, or say "
                         "it with ‹period›",
                         climate->normals.first->name, first, climate->normals.second->name,
                         second);
  climate->period = g_strdup(first != NULL ? first : second);
  return ISW_OK;
}

enum isw_status isw_climate_open(const struct isw_climate_request *request, struct isw_log *log,
                                 struct isw_climate **out, struct isw_error *error) {
  enum isw_status status = check_request(request, error);
  if (status != ISW_OK) return status;
  struct isw_climate *climate = g_new0(struct isw_climate, 1);
  climate->understood = g_ptr_array_new_with_free_func(g_free);
  climate->input_files = g_ptr_array_new_with_free_func(g_free);
  climate->hemisphere = request->hemisphere;
  status = open_sources(climate, request, log, error);
  if (status == ISW_OK) status = find_period(climate, request, error);
  if (status == ISW_OK) status = open_elevation(climate, request, log, error);
  if (status == ISW_OK) status = open_year_spread(climate, request, log, error);
  if (status == ISW_OK)
    isw_climate_copy_grid(climate->fine_elevation != NULL ? &climate->fine_elevation->grid
                                                          : &climate->normals.first->grid,
                          &climate->grid);
  if (status == ISW_OK) status = isw_climate_new_locator(&climate->grid, &climate->locator, error);
  if (status != ISW_OK) {
    isw_climate_free(climate);
    return status;
  }
  *out = climate;
  return ISW_OK;
}

void isw_climate_free(struct isw_climate *climate) {
  if (climate == NULL) return;
  isw_climate_free_source(climate->normals.first);
  isw_climate_free_source(climate->normals.second);
  isw_climate_free_source(climate->normals.range);
  isw_climate_free_elevation(climate->elevation);
  isw_climate_free_source(climate->fine_elevation);
  isw_climate_free_source(climate->normals_elevation);
  isw_climate_free_source(climate->year_spread);
  isw_climate_free_locator(climate->locator);
  isw_climate_free_grid(&climate->grid);
  g_ptr_array_free(climate->understood, TRUE);
  g_ptr_array_free(climate->input_files, TRUE);
  g_free(climate->period);
  g_free(climate->planes);
  g_free(climate);
}

const struct isw_grid *isw_climate_grid(const struct isw_climate *climate) {
  return &climate->grid;
}

const char *isw_climate_period(const struct isw_climate *climate) {
  return climate->period;
}

static const char *text_at(const GPtrArray *list, int index) {
  return index >= 0 && (guint)index < list->len ? g_ptr_array_index(list, (guint)index) : NULL;
}

const char *isw_climate_input_file(const struct isw_climate *climate, int index) {
  return text_at(climate->input_files, index);
}

const char *isw_climate_understood(const struct isw_climate *climate, int index) {
  return text_at(climate->understood, index);
}

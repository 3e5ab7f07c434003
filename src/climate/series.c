/* DESIGN: each year is a source of twelve months like any other, opened by the same rules
 * (climate/source.h) and closed again: a series of forty years by month has 480 files, too many to
 * keep open. What is needed to read a band again, its file, number and the way to degC, stays. */
#include "climate/series.h"

#include <cpl_string.h>
#include <cpl_vsi.h>
#include <math.h>
#include <string.h>

#include "climate/band_dates.h"
#include "climate/limits.h"
#include "climate/source.h"
#include "climate/station_record.h"

static const char year_mark[] = "{year}";
enum { OPEN_FILES_MOST = 16 }; /* of a reader */

struct month_band {
  int file;                    /* index into files */
  struct isw_source_band band; /* without its dataset */
  bool wide;
};

struct isw_series {
  char *name, *understood;
  struct isw_grid grid;
  enum isw_unit unit;
  GArray *years;            /* int */
  GArray *months;           /* struct month_band, twelve a year */
  GPtrArray *files, *paths; /* as opened; on the disk */
  bool by_pixel;            /* the first year's file is */
  int block_width, block_height;
};

struct open_file {
  int file;
  GDALDatasetH dataset;
};

struct isw_series_reader {
  const struct isw_series *series;
  int n_open, next; /* the one to be closed next */
  struct open_file open[OPEN_FILES_MOST];
};

/* ---- which years there are ---- */

static char *put_year(const char *name, int year) {
  char text[16];
  g_snprintf(text, sizeof text, "%04d", year);
  char **parts = g_strsplit(name, year_mark, -1);
  char *path = g_strjoinv(text, parts);
  g_strfreev(parts);
  return path;
}

static bool is_there(const char *path) {
  VSILFILE *file = VSIFOpenL(path, "rb");
  if (file != NULL) VSIFCloseL(file);
  return file != NULL;
}

/* The file of the year, or of one of its months. */
static bool has_year(const char *name, int year) {
  char *path = put_year(name, year);
  bool found = false;
  for (int month = 1; month <= ISW_YEAR_MONTHS && !found; month++)
    for (int digits = 1; digits <= 2 && !found; digits++) {
      char number[16];
      g_snprintf(number, sizeof number, "%0*d", digits, month);
      char **parts = g_strsplit(path, "{month}", -1);
      char *file = g_strjoinv(number, parts);
      found = is_there(file);
      g_strfreev(parts);
      g_free(file);
      if (strstr(path, "{month}") == NULL) month = digits = ISW_YEAR_MONTHS; /* once is enough */
    }
  g_free(path);
  return found;
}

static bool within(const struct isw_series_request *request, int year) {
  return (request->from_year == 0 || year >= request->from_year) &&
         (request->to_year == 0 || year <= request->to_year);
}

static int by_number(const void *a, const void *b) {
  return *(const int *)a - *(const int *)b;
}

static struct isw_source_options source_options(const struct isw_series_request *request, int year,
                                                bool in_name) {
  return (struct isw_source_options){.kind = ISW_SOURCE_TEMPERATURE,
                                     .unit = request->unit,
                                     .variable = request->variable,
                                     .crs = request->crs,
                                     .year = year,
                                     .year_in_name = in_name};
}

/* Years of the bands of one file; those that carry no date are refused when their year is opened.
 */
static enum isw_status list_years_of_file(const struct isw_series_request *request, GArray *years,
                                          struct isw_error *error) {
  const struct isw_source_options options = source_options(request, 1, false);
  struct isw_source source = {.name = (char *)request->source,
                              .datasets = g_ptr_array_new(),
                              .files = g_ptr_array_new_with_free_func(g_free)};
  enum isw_status status = isw_climate_open_files(&source, &options, error);
  int total = 0, dated = 0;
  for (guint d = 0; status == ISW_OK && d < source.datasets->len; d++) {
    GDALDatasetH dataset = g_ptr_array_index(source.datasets, d);
    const int n = GDALGetRasterCount(dataset);
    struct isw_band_date *dates = g_new0(struct isw_band_date, (gsize)MAX(n, 1));
    isw_climate_date_bands(dataset, n, dates);
    total += n;
    for (int b = 0; b < n; b++) {
      dated += dates[b].dated;
      bool known = !dates[b].dated || !within(request, dates[b].year);
      for (guint y = years->len; y > 0 && !known; y--)
        known = g_array_index(years, int, y - 1) == dates[b].year;
      if (!known) g_array_append_val(years, dates[b].year);
    }
    g_free(dates);
  }
  for (guint d = 0; d < source.datasets->len; d++) GDALClose(g_ptr_array_index(source.datasets, d));
  g_ptr_array_free(source.datasets, TRUE);
  g_ptr_array_free(source.files, TRUE);
  g_array_sort(years, by_number);
  if (status != ISW_OK || dated > 0) return status;
  return isw_base_fail(
      error, ISW_INPUT_CONTENT,
      "%s: none of its %d bands says, by a time axis or by a date like 1991-01, which "
      "month of which year it is\nGive a series of months, or a file for each year as "
      "a name holding {year}",
      request->source, total);
}

static enum isw_status list_years(const struct isw_series_request *request, GArray *years,
                                  struct isw_error *error) {
  if (strstr(request->source, year_mark) == NULL) {
    enum isw_status status = list_years_of_file(request, years, error);
    if (status != ISW_OK) return status;
  } else {
    for (int year = ISW_RECORD_FIRST_YEAR; year <= ISW_RECORD_LAST_YEAR; year++)
      if (within(request, year) && has_year(request->source, year)) g_array_append_val(years, year);
  }
  if (years->len > 0) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_FILE, "%s: no year of it can be found%s", request->source,
                       request->from_year > 0 || request->to_year > 0
                           ? " between the years of ‹from› and ‹to›"
                           : "");
}

/* ---- understanding each of them ---- */

static int find_or_add_file(struct isw_series *series, const struct isw_source_band *band) {
  for (guint i = series->files->len; i > 0; i--)
    if (strcmp(g_ptr_array_index(series->files, i - 1), band->file) == 0) return (int)i - 1;
  g_ptr_array_add(series->files, g_strdup(band->file));
  char **list = GDALGetFileList(band->dataset);
  for (int i = 0; list != NULL && list[i] != NULL; i++)
    if (!g_ptr_array_find_with_equal_func(series->paths, list[i], g_str_equal, NULL))
      g_ptr_array_add(series->paths, g_strdup(list[i]));
  CSLDestroy(list);
  return (int)series->files->len - 1;
}

/* One file that keeps the year's months together. */
static void note_layout(struct isw_series *series, const struct isw_source *source) {
  GDALDatasetH dataset = source->bands[0].dataset;
  const char *layout = GDALGetMetadataItem(dataset, "INTERLEAVE", "IMAGE_STRUCTURE");
  series->by_pixel = layout != NULL && g_ascii_strcasecmp(layout, "PIXEL") == 0;
  for (int m = 1; m < ISW_YEAR_MONTHS; m++)
    series->by_pixel = series->by_pixel && source->bands[m].dataset == dataset;
  GDALGetBlockSize(GDALGetRasterBand(dataset, source->bands[0].number), &series->block_width,
                   &series->block_height);
}

static enum isw_status take_source(struct isw_series *series, const struct isw_source *source,
                                   int year, struct isw_error *error) {
  if (series->years->len == 0) {
    isw_climate_copy_grid(&source->grid, &series->grid);
    series->unit = source->unit;
    series->understood = isw_climate_describe_source(source);
    note_layout(series, source);
  } else {
    if (source->unit != series->unit)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: %d is in %s, but %d in %s\nGive every year the same unit",
                           source->name, year, isw_base_unit_name(source->unit),
                           g_array_index(series->years, int, 0), isw_base_unit_name(series->unit));
    enum isw_status status =
        isw_climate_compare_grids(&series->grid, series->name, &source->grid, source->name, error);
    if (status != ISW_OK) {
      isw_base_prefix_error(error, "%d: ", year);
      return status;
    }
  }
  g_array_append_val(series->years, year);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    struct month_band month = {.band = source->bands[m], .wide = source->wide};
    month.file = find_or_add_file(series, &source->bands[m]);
    month.band.dataset = NULL;
    month.band.file = g_ptr_array_index(series->files, (guint)month.file);
    g_array_append_val(series->months, month);
  }
  return ISW_OK;
}

static enum isw_status open_year(struct isw_series *series,
                                 const struct isw_series_request *request, int year,
                                 struct isw_error *error) {
  const bool in_name = strstr(request->source, year_mark) != NULL;
  const struct isw_source_options options = source_options(request, year, in_name);
  struct isw_source *source = NULL;
  char *name = put_year(request->source, year);
  enum isw_status status = isw_climate_open_source(name, &options, &source, error);
  if (status == ISW_OK) status = take_source(series, source, year, error);
  isw_climate_free_source(source);
  g_free(name);
  return status;
}

static void warn_of_gaps(const struct isw_series *series, struct isw_log *log) {
  const int *years = (const int *)(const void *)series->years->data;
  const guint n = series->years->len;
  const int missing = years[n - 1] - years[0] + 1 - (int)n;
  for (guint i = 1; i < n && missing > 0; i++) {
    if (years[i] == years[i - 1] + 1) continue;
    isw_base_warn(log, "%s: %d of the years %d-%d are missing, the first %d", series->name, missing,
                  years[0], years[n - 1], years[i - 1] + 1);
    return;
  }
}

enum isw_status isw_climate_open_series(const struct isw_series_request *request,
                                        struct isw_log *log, struct isw_series **out,
                                        struct isw_error *error) {
  GArray *years = g_array_new(FALSE, FALSE, sizeof(int));
  struct isw_series *series = g_new0(struct isw_series, 1);
  series->name = g_strdup(request->source);
  series->years = g_array_new(FALSE, FALSE, sizeof(int));
  series->months = g_array_new(FALSE, FALSE, sizeof(struct month_band));
  series->files = g_ptr_array_new_with_free_func(g_free);
  series->paths = g_ptr_array_new_with_free_func(g_free);
  enum isw_status status = list_years(request, years, error);
  for (guint i = 0; i < years->len && status == ISW_OK; i++)
    status = open_year(series, request, g_array_index(years, int, i), error);
  g_array_unref(years);
  if (status != ISW_OK) {
    isw_climate_free_series(series);
    return status;
  }
  warn_of_gaps(series, log);
  *out = series;
  return ISW_OK;
}

void isw_climate_free_series(struct isw_series *series) {
  if (series == NULL) return;
  isw_climate_free_grid(&series->grid);
  g_array_unref(series->years);
  g_array_unref(series->months);
  g_ptr_array_unref(series->files);
  g_ptr_array_unref(series->paths);
  g_free(series->name);
  g_free(series->understood);
  g_free(series);
}

const struct isw_grid *isw_climate_series_grid(const struct isw_series *series) {
  return &series->grid;
}

const char *isw_climate_series_name(const struct isw_series *series) {
  return series->name;
}

const char *isw_climate_series_understood(const struct isw_series *series) {
  return series->understood;
}

int isw_climate_series_years(const struct isw_series *series, const int **years) {
  *years = (const int *)(const void *)series->years->data;
  return (int)series->years->len;
}

bool isw_climate_series_by_pixel(const struct isw_series *series, int *block_width,
                                 int *block_height) {
  *block_width = series->block_width;
  *block_height = series->block_height;
  return series->by_pixel;
}

const char *isw_climate_series_file(const struct isw_series *series, int index) {
  return index >= 0 && (guint)index < series->paths->len
             ? g_ptr_array_index(series->paths, (guint)index)
             : NULL;
}

/* ---- reading ---- */

struct isw_series_reader *isw_climate_new_series_reader(const struct isw_series *series) {
  struct isw_series_reader *reader = g_new0(struct isw_series_reader, 1);
  reader->series = series;
  return reader;
}

void isw_climate_free_series_reader(struct isw_series_reader *reader) {
  if (reader == NULL) return;
  for (int i = 0; i < reader->n_open; i++) GDALClose(reader->open[i].dataset);
  g_free(reader);
}

static GDALDatasetH open_file(struct isw_series_reader *reader, int file) {
  for (int i = 0; i < reader->n_open; i++)
    if (reader->open[i].file == file) return reader->open[i].dataset;
  CPLErrorReset();
  CPLPushErrorHandler(CPLQuietErrorHandler);
  GDALDatasetH dataset =
      GDALOpenEx(g_ptr_array_index(reader->series->files, (guint)file),
                 GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
  CPLPopErrorHandler();
  if (dataset == NULL) return NULL;
  int slot = reader->n_open;
  if (slot == OPEN_FILES_MOST) {
    slot = reader->next;
    reader->next = (reader->next + 1) % OPEN_FILES_MOST;
    GDALClose(reader->open[slot].dataset);
  } else {
    reader->n_open++;
  }
  reader->open[slot] = (struct open_file){file, dataset};
  return dataset;
}

static enum isw_status check_values(const struct month_band *from, int year, int month,
                                    const struct isw_series_window *window, const float *values,
                                    struct isw_error *error) {
  const size_t n = (size_t)window->width * (size_t)window->height;
  for (size_t i = 0; i < n; i++)
    if (values[i] < (float)ISW_COLDEST_C || values[i] > (float)ISW_WARMEST_C)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: %s %d: %.1f degC at column %d, row %d, outside %g..%g degC\nIs it "
                           "the right unit, or a nodata value that the file does not declare?",
                           from->band.file, isw_base_month_name(month), year, (double)values[i],
                           window->col + (int)(i % (size_t)window->width),
                           window->row + (int)(i / (size_t)window->width), ISW_COLDEST_C,
                           ISW_WARMEST_C);
  return ISW_OK;
}

enum isw_status isw_climate_read_series(struct isw_series_reader *reader, int year_index,
                                        int first_month, int n_months,
                                        const struct isw_series_window *window, float *values,
                                        struct isw_error *error) {
  const struct isw_series *series = reader->series;
  const struct month_band *from = &g_array_index(
      series->months, struct month_band, (guint)(year_index * ISW_YEAR_MONTHS + first_month));
  const int year = g_array_index(series->years, int, (guint)year_index);
  const size_t n = (size_t)window->width * (size_t)window->height;
  enum isw_status status = ISW_OK;
  for (int first = 0, end; first < n_months && status == ISW_OK; first = end) {
    struct isw_source run = {.wide = from[first].wide}; /* months of one file */
    GDALDatasetH dataset = open_file(reader, from[first].file);
    if (dataset == NULL)
      return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be opened again: %s",
                           from[first].band.file, CPLGetLastErrorMsg());
    for (end = first; end < n_months && from[end].file == from[first].file; end++) {
      run.bands[run.band_count] = from[end].band;
      run.bands[run.band_count++].dataset = dataset;
    }
    status = isw_climate_read_source(&run, window->col, window->row, window->width, window->height,
                                     window->width, window->height, values + (size_t)first * n, n,
                                     error);
    for (int m = first; m < end && status == ISW_OK; m++)
      status = check_values(&from[m], year, first_month + m, window, values + (size_t)m * n, error);
  }
  return status;
}

/* DESIGN. A region is as many whole blocks as the memory holds, full rows of them where it can be:
 * files are mostly stored in rows or whole layers, and a layer is unpacked once per region. Its
 * tasks are the months, or slices of rows of a month where there are more than twelve threads; a
 * task goes through the years in order, so sums do not depend on the threads.
 *
 *   region: | block | block | block |      task: month 3, all years:  1961 1962 ... 1990
 *           | block | block | block |                                 sums of each cell
 *
 * Files that keep the months of a year together, pixel by pixel, would be unpacked for each month
 * anew. There a task is a window of the region, of whole blocks of the file where they fit, and
 * takes all twelve months of a year at once:
 *
 *   region: | window | window |             task: window 2, all years: 1961 1962 ... 1990
 *           | window | window |                   months 1..12           sums of each cell and
 * month
 */
#include "survey/series_normals.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "base/interrupt.h"
#include "growth/month_sums.h"
#include "survey/survey.h"
#include "survey/thread_pool.h"

struct readers {
  struct isw_series_reader *tmin, *tmax;
};

struct work {
  const struct isw_series_normals_request *request;
  int first_year, n_years; /* indexes into the series' years */
  int needed, slices;
  bool by_year;                /* tasks are windows, of all months, and not months */
  int task_width, task_height; /* of windows */
  GMutex lock;
  GPtrArray *idle; /* struct readers *: of no task at the moment */
  struct isw_locator *locator;
  /* of the region in hand */
  struct isw_series_window region;
  int16_t *tmin, *tmax; /* [cell][12] */
  float *spread_K;      /* [12][cell] */
  int16_t *year_spread; /* [cell] */
  uint8_t *south;       /* [cell] */
};

/* ---- a task ---- */

static struct readers *borrow_readers(struct work *work) {
  struct readers *readers = NULL;
  g_mutex_lock(&work->lock);
  if (work->idle->len > 0) readers = g_ptr_array_steal_index_fast(work->idle, work->idle->len - 1);
  g_mutex_unlock(&work->lock);
  if (readers != NULL) return readers;
  readers = g_new(struct readers, 1);
  readers->tmin = isw_climate_new_series_reader(work->request->tmin);
  readers->tmax = isw_climate_new_series_reader(work->request->tmax);
  return readers;
}

static void give_readers_back(struct work *work, struct readers *readers) {
  g_mutex_lock(&work->lock);
  g_ptr_array_add(work->idle, readers);
  g_mutex_unlock(&work->lock);
}

static void free_readers(void *pointer) {
  struct readers *readers = pointer;
  isw_climate_free_series_reader(readers->tmin);
  isw_climate_free_series_reader(readers->tmax);
  g_free(readers);
}

static int16_t pack(double value, double step) {
  if (isnan(value)) return ISW_SERIES_NODATA;
  return (int16_t)floor(value / step + 0.5);
}

/* window: within the region. */
static void finish_month(struct work *work, int month, const struct isw_series_window *window,
                         const struct isw_month_sums *sums) {
  const size_t cells = (size_t)work->region.width * (size_t)work->region.height;
  for (int j = 0; j < window->height; j++)
    for (int i = 0; i < window->width; i++, sums++) {
      const size_t cell =
          (size_t)(window->row + j) * (size_t)work->region.width + (size_t)(window->col + i);
      const size_t at = cell * ISW_YEAR_MONTHS + (size_t)month;
      work->tmin[at] =
          pack(isw_growth_month_tmin_C(sums, work->needed), ISW_SERIES_TEMPERATURE_STEP_C);
      work->tmax[at] =
          pack(isw_growth_month_tmax_C(sums, work->needed), ISW_SERIES_TEMPERATURE_STEP_C);
      work->spread_K[(size_t)month * cells + cell] = (float)isw_growth_month_spread_K(sums);
    }
}

/* Months of all years in a window of the region; any number of them, in calendar order. */
static enum isw_status do_window(struct work *work, const struct isw_series_window *window,
                                 int first_month, int n_months, struct isw_error *error) {
  const size_t cells = (size_t)window->width * (size_t)window->height;
  const size_t n = cells * (size_t)n_months;
  const struct isw_series_window from = {work->region.col + window->col,
                                         work->region.row + window->row, window->width,
                                         window->height};
  struct isw_month_sums *sums = g_try_new0(struct isw_month_sums, n);
  float *lower_C = g_try_new(float, 2 * n);
  enum isw_status status = ISW_OK;
  if (sums == NULL || lower_C == NULL)
    status = isw_base_fail(error, ISW_RESOURCES,
                           "out of memory for %zu cells\nAsk for fewer ‹threads› or less ‹memory›",
                           cells);
  struct readers *readers = borrow_readers(work);
  for (int y = work->first_year; y < work->first_year + work->n_years && status == ISW_OK; y++) {
    float *upper_C = lower_C + n;
    status =
        isw_climate_read_series(readers->tmin, y, first_month, n_months, &from, lower_C, error);
    if (status == ISW_OK)
      status =
          isw_climate_read_series(readers->tmax, y, first_month, n_months, &from, upper_C, error);
    for (size_t i = 0; i < n && status == ISW_OK; i++)
      isw_growth_add_month(&sums[i], (double)lower_C[i], (double)upper_C[i]);
    if (status == ISW_OK && isw_base_interrupted_by() != 0)
      status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
  }
  for (int m = 0; m < n_months && status == ISW_OK; m++)
    finish_month(work, first_month + m, window, sums + (size_t)m * cells);
  give_readers_back(work, readers);
  g_free(sums);
  g_free(lower_C);
  return status;
}

static enum isw_status do_month(void *self, int number, struct isw_error *error) {
  struct work *work = self;
  const int month = number / work->slices, slice = number % work->slices;
  const int first = work->region.height * slice / work->slices;
  const int height = work->region.height * (slice + 1) / work->slices - first;
  const struct isw_series_window window = {0, first, work->region.width, height};
  return height == 0 ? ISW_OK : do_window(work, &window, month, 1, error);
}

static int windows_across(const struct work *work) {
  return (work->region.width + work->task_width - 1) / work->task_width;
}

static enum isw_status do_years(void *self, int number, struct isw_error *error) {
  struct work *work = self;
  const int col = number % windows_across(work) * work->task_width;
  const int row = number / windows_across(work) * work->task_height;
  const struct isw_series_window window = {col, row,
                                           MIN(work->task_width, work->region.width - col),
                                           MIN(work->task_height, work->region.height - row)};
  return do_window(work, &window, 0, ISW_YEAR_MONTHS, error);
}

static enum isw_status do_tasks(struct work *work, struct isw_error *error) {
  if (!work->by_year)
    return isw_survey_do_tasks(ISW_YEAR_MONTHS * work->slices, work->request->threads, do_month,
                               work, NULL, error);
  const int down = (work->region.height + work->task_height - 1) / work->task_height;
  return isw_survey_do_tasks(windows_across(work) * down, work->request->threads, do_years, work,
                             NULL, error);
}

/* ---- a region ---- */

static void mark_south(struct work *work) {
  const struct isw_grid *grid = isw_climate_series_grid(work->request->tmin);
  const struct isw_series_window *region = &work->region;
  const enum isw_hemisphere hemisphere = work->request->hemisphere;
  const bool by_row = grid->geographic && grid->transform[4] == 0.0;
  for (int j = 0; j < region->height; j++) {
    uint8_t *line = work->south + (size_t)j * (size_t)region->width;
    double lat_deg = 0.0, lon_deg;
    if (by_row && hemisphere == ISW_HEMISPHERE_AUTO)
      isw_climate_grid_point(grid, 0.5, region->row + j + 0.5, &lon_deg, &lat_deg);
    for (int i = 0; i < region->width; i++) {
      if (!by_row && hemisphere == ISW_HEMISPHERE_AUTO &&
          !isw_climate_locate_cell(work->locator, region->col + i + 0.5, region->row + j + 0.5,
                                   &lat_deg, &lon_deg))
        lat_deg = 0.0;
      line[i] = hemisphere == ISW_HEMISPHERE_SOUTH || lat_deg < 0.0;
    }
  }
}

static void average_spread(struct work *work) {
  const struct isw_record_request *rules = work->request->rules;
  const size_t cells = (size_t)work->region.width * (size_t)work->region.height;
  for (size_t cell = 0; cell < cells; cell++) {
    double sum_K = 0.0;
    int n = 0;
    for (int month = rules->from_month;; month = (month + 1) % ISW_YEAR_MONTHS) {
      const int at = isw_growth_season_month(month, work->south[cell] != 0);
      sum_K += (double)work->spread_K[(size_t)at * cells + cell];
      n++;
      if (month == rules->to_month) break;
    }
    work->year_spread[cell] = pack(sum_K / n, ISW_SERIES_SPREAD_STEP_K);
  }
}

static void count_cell(const struct work *work, size_t cell, struct isw_series_counts *counts) {
  int there = 0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    there += work->tmin[cell * ISW_YEAR_MONTHS + (size_t)m] != ISW_SERIES_NODATA;
    there += work->tmax[cell * ISW_YEAR_MONTHS + (size_t)m] != ISW_SERIES_NODATA;
  }
  counts->cells++;
  if (there == ISW_CELL_NORMALS) {
    counts->whole++;
    counts->with_spread += work->year_spread[cell] != ISW_SERIES_NODATA;
  } else if (there == 0) {
    counts->empty++;
  } else if (counts->partial++ == 0) {
    counts->first_col = work->region.col + (int)(cell % (size_t)work->region.width);
    counts->first_row = work->region.row + (int)(cell / (size_t)work->region.width);
  }
}

/* Blocks of the region, cut out of it one after another. */
static enum isw_status give_blocks(struct work *work, isw_take_series_block *take, void *taker,
                                   struct isw_error *error) {
  enum { CELLS = ISW_BLOCK_SIZE * ISW_BLOCK_SIZE };
  const struct isw_series_window *region = &work->region;
  int16_t *values = g_new(int16_t, (gsize)CELLS * (2 * ISW_YEAR_MONTHS + 1));
  int16_t *tmax = values + (size_t)CELLS * ISW_YEAR_MONTHS,
          *spread = tmax + (size_t)CELLS * ISW_YEAR_MONTHS;
  enum isw_status status = ISW_OK;
  for (int row = 0; row < region->height; row += ISW_BLOCK_SIZE)
    for (int col = 0; col < region->width && status == ISW_OK; col += ISW_BLOCK_SIZE) {
      const struct isw_series_block block = {.col = region->col + col,
                                             .row = region->row + row,
                                             .width = MIN(ISW_BLOCK_SIZE, region->width - col),
                                             .height = MIN(ISW_BLOCK_SIZE, region->height - row),
                                             .tmin = values,
                                             .tmax = tmax,
                                             .year_spread = spread};
      for (int j = 0; j < block.height; j++) {
        const size_t from = (size_t)(row + j) * (size_t)region->width + (size_t)col;
        const size_t to = (size_t)j * (size_t)block.width, n = (size_t)block.width;
        memcpy(values + to * ISW_YEAR_MONTHS, work->tmin + from * ISW_YEAR_MONTHS,
               n * ISW_YEAR_MONTHS * sizeof *values);
        memcpy(tmax + to * ISW_YEAR_MONTHS, work->tmax + from * ISW_YEAR_MONTHS,
               n * ISW_YEAR_MONTHS * sizeof *values);
        memcpy(spread + to, work->year_spread + from, n * sizeof *values);
      }
      status = take(taker, &block, error);
    }
  g_free(values);
  return status;
}

static enum isw_status run_region(struct work *work, isw_take_series_block *take, void *taker,
                                  struct isw_series_counts *counts, struct isw_error *error) {
  const size_t cells = (size_t)work->region.width * (size_t)work->region.height;
  work->tmin = g_try_new(int16_t, cells * ISW_YEAR_MONTHS);
  work->tmax = g_try_new(int16_t, cells * ISW_YEAR_MONTHS);
  work->spread_K = g_try_new(float, cells *ISW_YEAR_MONTHS);
  work->year_spread = g_try_new(int16_t, cells);
  work->south = g_try_new0(uint8_t, cells);
  enum isw_status status = ISW_OK;
  if (work->tmin == NULL || work->tmax == NULL || work->spread_K == NULL ||
      work->year_spread == NULL || work->south == NULL)
    status = isw_base_fail(error, ISW_RESOURCES,
                           "out of memory for %zu cells; ask for less ‹memory›", cells);
  if (status == ISW_OK) status = do_tasks(work, error);
  if (status == ISW_OK) {
    mark_south(work);
    average_spread(work);
    for (size_t cell = 0; cell < cells; cell++) count_cell(work, cell, counts);
    status = give_blocks(work, take, taker, error);
  }
  g_free(work->tmin);
  g_free(work->tmax);
  g_free(work->spread_K);
  g_free(work->year_spread);
  g_free(work->south);
  return status;
}

/* ---- all of them ---- */

/* What a cell and month of a task takes. */
static const double task_bytes = sizeof(struct isw_month_sums) + 2.0 * sizeof(float);

/* As large as the memory allows, in whole blocks. */
static struct isw_series_window plan_region(const struct work *work, double memory_bytes) {
  const struct isw_grid *grid = isw_climate_series_grid(work->request->tmin);
  const double of_cell =
      ISW_YEAR_MONTHS * (2.0 * sizeof(int16_t) + sizeof(float)) + sizeof(int16_t) + 1.0;
  const double busy = work->by_year ? 0.0
                                    : MIN(work->request->threads, ISW_YEAR_MONTHS * work->slices) /
                                          (double)work->slices;
  const double cells = memory_bytes / (of_cell + busy * task_bytes);
  const double blocks_down = floor(cells / ISW_BLOCK_SIZE / grid->width);
  struct isw_series_window region = {.width = grid->width, .height = ISW_BLOCK_SIZE};
  if (blocks_down >= 1.0) {
    const double rows = floor(cells / grid->width / ISW_BLOCK_SIZE) * ISW_BLOCK_SIZE;
    region.height = (int)MIN(MAX(rows, ISW_BLOCK_SIZE), (double)grid->height);
  } else {
    const double across = floor(cells / ISW_BLOCK_SIZE / ISW_BLOCK_SIZE) * ISW_BLOCK_SIZE;
    region.width = (int)MIN(MAX(across, ISW_BLOCK_SIZE), (double)grid->width);
  }
  return region;
}

/* Windows of whole blocks of the file where that many cells hold one, across first. */
static void plan_windows(struct work *work, int block_width, int block_height, double cells) {
  const struct isw_series_window *region = &work->region;
  const int high = MIN(MIN(block_height, ISW_BLOCK_SIZE), region->height);
  const double wide = floor(cells / high / block_width) * block_width;
  work->task_width = (int)CLAMP(wide, MIN(block_width, ISW_BLOCK_SIZE), (double)region->width);
  const double rows = floor(cells / work->task_width / high) * high;
  work->task_height = (int)CLAMP(rows, (double)high, (double)region->height);
}

/* How files are laid out decides what a task is, and memory how large. */
static struct isw_series_window plan_work(struct work *work) {
  static const double most_cells = ISW_BLOCK_SIZE * ISW_BLOCK_SIZE; /* of a window */
  const struct isw_series_normals_request *request = work->request;
  const double memory_bytes = request->memory_MB * 1048576.0;
  int block_width, block_height;
  work->slices = (request->threads + ISW_YEAR_MONTHS - 1) / ISW_YEAR_MONTHS;
  work->by_year = isw_climate_series_by_pixel(request->tmin, &block_width, &block_height) ||
                  isw_climate_series_by_pixel(request->tmax, &block_width, &block_height);
  if (!work->by_year) return plan_region(work, memory_bytes);
  const double half = memory_bytes / 2.0;
  work->region = plan_region(work, half);
  plan_windows(work, block_width, block_height,
               MIN(half / request->threads / (ISW_YEAR_MONTHS * task_bytes), most_cells));
  return work->region;
}

static void find_period(struct work *work, struct isw_series_counts *counts) {
  const struct isw_record_request *rules = work->request->rules;
  const int *years, n = isw_climate_series_years(work->request->tmin, &years);
  for (int y = 0; y < n; y++) {
    if (years[y] < rules->from_year || years[y] > rules->to_year) continue;
    if (work->n_years++ == 0) work->first_year = y;
  }
  work->needed = isw_growth_years_needed(isw_survey_period_years(rules), rules->least_percent);
  *counts = (struct isw_series_counts){
      .n_years = work->n_years, .needed = work->needed, .first_col = -1, .first_row = -1};
}

enum isw_status isw_survey_run_series(const struct isw_series_normals_request *request,
                                      isw_take_series_block *take, void *taker,
                                      struct isw_series_counts *counts, struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_series_grid(request->tmin);
  struct work work = {.request = request, .idle = g_ptr_array_new_with_free_func(free_readers)};
  g_mutex_init(&work.lock);
  find_period(&work, counts);
  const struct isw_series_window most = plan_work(&work);
  const long long across = ((long long)grid->width + most.width - 1) / most.width;
  const long long down = ((long long)grid->height + most.height - 1) / most.height;
  enum isw_status status = isw_climate_new_locator(grid, &work.locator, error);
  for (long long r = 0; r < across * down && status == ISW_OK; r++) {
    const int col = (int)(r % across) * most.width, row = (int)(r / across) * most.height;
    isw_base_progress(request->log, r, across * down);
    work.region = (struct isw_series_window){col, row, MIN(most.width, grid->width - col),
                                             MIN(most.height, grid->height - row)};
    status = run_region(&work, take, taker, counts, error);
  }
  if (status == ISW_OK) isw_base_progress(request->log, 1, 1);
  isw_climate_free_locator(work.locator);
  g_ptr_array_unref(work.idle);
  g_mutex_clear(&work.lock);
  return status;
}

enum isw_status isw_survey_check_series(const struct isw_series *tmin,
                                        const struct isw_series *tmax, struct isw_error *error) {
  const char *const names[] = {isw_climate_series_name(tmin), isw_climate_series_name(tmax)};
  const int *a, *b, n = isw_climate_series_years(tmin, &a), m = isw_climate_series_years(tmax, &b);
  for (int i = 0; i < MAX(n, m); i++) {
    if (i < n && i < m && a[i] == b[i]) continue;
    const bool first_has = i < n && (i >= m || a[i] < b[i]);
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "%s has %s %d, and %s has not\nBoth need the same years; choose those that "
        "both have with ‹from› and ‹to›",
        names[first_has ? 0 : 1], isw_base_month_name(0), first_has ? a[i] : b[i],
        names[first_has ? 1 : 0]);
  }
  return isw_climate_compare_grids(isw_climate_series_grid(tmin), names[0],
                                   isw_climate_series_grid(tmax), names[1], error);
}

#include "climate/doubts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "climate/annual_cycle.h"
#include "climate/grid.h"
#include "climate/sample.h"

/* Means of each month over the sample's cells on one side (+1 north, -1 south) outside the tropics.
 * Returns the number of cells with all twelve. */
static size_t mean_cycle(const struct isw_source *source, const double *lat_deg, int side,
                         double cycle[ISW_YEAR_MONTHS]) {
  size_t cells = source->plan->cells, used = 0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) cycle[m] = 0.0;
  for (size_t i = 0; i < cells; i++) {
    if (side != 0 && !(side * lat_deg[i] >= ISW_OUTSIDE_TROPICS_DEG)) continue;
    bool whole = true;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++)
      whole = whole && !isnan(source->sample[(size_t)m * cells + i]);
    if (!whole) continue;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++)
      cycle[m] += (double)source->sample[(size_t)m * cells + i];
    used++;
  }
  for (int m = 0; m < ISW_YEAR_MONTHS && used > 0; m++) cycle[m] /= (double)used;
  return used;
}

static void locate_sample(const struct isw_source *source, struct isw_locator *locator,
                          double *lat_deg) {
  size_t cells = source->plan->cells;
  double *cols = g_new(double, 3 * cells), *rows = cols + cells, *lon_deg = rows + cells;
  for (int k = 0; k < source->plan->count; k++) {
    const struct isw_sample_window *w = &source->plan->windows[k];
    for (int j = 0; j < w->out_height; j++)
      for (int i = 0; i < w->out_width; i++) {
        size_t cell = w->first + (size_t)j * (size_t)w->out_width + (size_t)i;
        cols[cell] = w->col + (i + 0.5) * w->width / w->out_width;
        rows[cell] = w->row + (j + 0.5) * w->height / w->out_height;
      }
  }
  isw_climate_locate_cells(locator, (int)cells, cols, rows, lat_deg, lon_deg);
  g_free(cols);
}

static void doubt_side(struct isw_source *source, const double *lat_deg, int side) {
  double cycle[ISW_YEAR_MONTHS];
  if (mean_cycle(source, lat_deg, side, cycle) == 0) return;
  double contrast_K = isw_climate_summer_contrast_K(cycle, side < 0);
  if (!isw_climate_is_against_hemisphere(contrast_K)) return;
  g_ptr_array_add(
      source->doubts,
      g_strdup_printf("%s: the annual cycle contradicts the hemisphere: cells in the %s are %.1f K "
                      "colder in summer than in winter; are the months in order, and is the grid "
                      "the right way up?",
                      source->name, side > 0 ? "north" : "south", -contrast_K));
}

/* A year's cycle goes up once and down once; months out of order go up and down again. */
static void doubt_order(struct isw_source *source, const double *lat_deg) {
  for (int side = -1; side <= 1; side += 2) {
    double cycle[ISW_YEAR_MONTHS];
    if (mean_cycle(source, lat_deg, side, cycle) == 0 || !isw_climate_is_rough(cycle)) continue;
    g_ptr_array_add(
        source->doubts,
        g_strdup_printf("%s: temperatures go up and down more than once a year; are the "
                        "months in order (January to December, by %s)?",
                        source->name, source->month_reason));
    return;
  }
}

/* Cells of the sample in which two months, or a month and a value, differ. */
static size_t count_different(const struct isw_source *source, int month, int other, float value,
                              size_t *seen) {
  size_t cells = source->plan->cells, different = 0;
  const float *a = source->sample + (size_t)month * cells;
  const float *b = other < 0 ? NULL : source->sample + (size_t)other * cells;
  *seen = 0;
  for (size_t i = 0; i < cells; i++) {
    if (isnan(a[i]) || (b != NULL && isnan(b[i]))) continue;
    ++*seen;
    different += a[i] != (b != NULL ? b[i] : value);
  }
  return different;
}

static float first_value(const struct isw_source *source, int month) {
  size_t cells = source->plan->cells;
  const float *values = source->sample + (size_t)month * cells;
  for (size_t i = 0; i < cells; i++)
    if (!isnan(values[i])) return values[i];
  return NAN;
}

/* Months that are another month's copy, or one value everywhere; not where all of them are. */
static void doubt_copies(struct isw_source *source) {
  enum { FEW_CELLS = 10 };
  int copied = 0, flat = 0, first_copy = -1, first_flat = -1;
  size_t seen = 0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    int next = (m + 1) % ISW_YEAR_MONTHS;
    bool copy = count_different(source, m, next, 0.0f, &seen) == 0 && seen >= FEW_CELLS;
    bool one =
        count_different(source, m, -1, first_value(source, m), &seen) == 0 && seen >= FEW_CELLS;
    if (copy && copied++ == 0) first_copy = m;
    if (one && flat++ == 0) first_flat = m;
  }
  if (copied > 0 && copied < ISW_YEAR_MONTHS)
    g_ptr_array_add(source->doubts,
                    g_strdup_printf("%s: %s and %s hold the same values in every cell looked at; "
                                    "is one a copy of the other?",
                                    source->name, isw_base_month_name(first_copy),
                                    isw_base_month_name((first_copy + 1) % ISW_YEAR_MONTHS)));
  if (flat > 0 && flat < ISW_YEAR_MONTHS)
    g_ptr_array_add(source->doubts,
                    g_strdup_printf("%s: %s is %g degC in every cell looked at; was it never "
                                    "filled?",
                                    source->name, isw_base_month_name(first_flat),
                                    (double)first_value(source, first_flat)));
}

void isw_climate_doubt_cycle(struct isw_source *source) {
  struct isw_locator *locator;
  if (source->kind != ISW_SOURCE_TEMPERATURE ||
      isw_climate_new_locator(&source->grid, &locator, NULL) != ISW_OK)
    return;
  double *lat_deg = g_new(double, source->plan->cells);
  locate_sample(source, locator, lat_deg);
  doubt_side(source, lat_deg, 1);
  doubt_side(source, lat_deg, -1);
  doubt_order(source, lat_deg);
  doubt_copies(source);
  g_free(lat_deg);
  isw_climate_free_locator(locator);
}

/* upper: tmax at the sample of tmin. */
static void doubt_shift(const struct isw_source *tmin, const struct isw_source *tmax,
                        const float *upper, struct isw_log *log) {
  size_t cells = tmin->plan->cells;
  struct isw_locator *locator;
  if (isw_climate_new_locator(&tmin->grid, &locator, NULL) != ISW_OK) return;
  double *lat_deg = g_new(double, cells);
  locate_sample(tmin, locator, lat_deg);
  struct isw_source other = *tmin;
  other.sample = (float *)upper;
  for (int side = -1; side <= 1; side += 2) {
    double low[ISW_YEAR_MONTHS], high[ISW_YEAR_MONTHS];
    if (mean_cycle(tmin, lat_deg, side, low) == 0 || mean_cycle(&other, lat_deg, side, high) == 0)
      continue;
    int months = isw_climate_months_behind(low, high);
    if (months == 0) continue;
    isw_base_warn(
        log,
        "the year of %s runs %d month%s %s that of %s; are the months of both in the same "
        "order?",
        tmax->name, abs(months), abs(months) == 1 ? "" : "s", months > 0 ? "behind" : "before",
        tmin->name);
    break;
  }
  g_free(lat_deg);
  isw_climate_free_locator(locator);
}

enum isw_status isw_climate_doubt_pair(const struct isw_source *tmin, struct isw_source *tmax,
                                       struct isw_log *log, struct isw_error *error) {
  size_t n = tmin->plan->cells * ISW_YEAR_MONTHS, above = 0, equal = 0, seen = 0;
  const float *upper = tmax->sample;
  float *reread = NULL;
  if (memcmp(tmin->plan, tmax->plan, sizeof *tmin->plan) != 0) {
    upper = reread = g_new(float, n);
    enum isw_status status = isw_climate_read_sample(tmax, tmin->plan, reread, error);
    if (status != ISW_OK) {
      g_free(reread);
      return status;
    }
  }
  for (size_t i = 0; i < n; i++) {
    if (isnan(tmin->sample[i]) || isnan(upper[i])) continue;
    seen++;
    above += tmin->sample[i] > upper[i];
    equal += tmin->sample[i] == upper[i];
  }
  doubt_shift(tmin, tmax, upper, log);
  g_free(reread);
  if (2 * above > seen)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "the minimum (%s) is above the maximum (%s) in %.0f %% of the cells looked "
        "at\nThe two look exchanged: swap ‹tmin› and ‹tmax›",
        tmin->name, tmax->name, 100.0 * (double)above / (double)seen);
  if (seen > 0 && equal == seen)
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s and %s hold the same values; one of them is not what it should be\n"
                         "Check ‹tmin› and ‹tmax›",
                         tmin->name, tmax->name);
  return ISW_OK;
}

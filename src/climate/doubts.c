#include "climate/doubts.h"

#include <math.h>
#include <string.h>

#include "climate/grid_geometry.h"
#include "climate/sample.h"

static const double outside_tropics_deg = 25.0, clear_contrast_K = 2.0;

/* Means of each month over the sample's cells on one side (+1 north, -1 south) outside the tropics.
 * Returns the number of cells with all twelve. */
static size_t mean_cycle(const struct isw_source *source, const double *lat_deg, int side,
                         double cycle[ISW_YEAR_MONTHS]) {
  size_t cells = source->plan->cells, used = 0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) cycle[m] = 0.0;
  for (size_t i = 0; i < cells; i++) {
    if (side != 0 && !(side * lat_deg[i] >= outside_tropics_deg)) continue;
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
  /* June to August against December to February */
  double contrast_K = side * (cycle[5] + cycle[6] + cycle[7] - cycle[11] - cycle[0] - cycle[1]) / 3;
  if (contrast_K > -clear_contrast_K) return;
  g_ptr_array_add(
      source->doubts,
      g_strdup_printf("%s: the annual cycle contradicts the hemisphere: cells in the %s are %.1f K "
                      "colder in summer than in winter; are the months in order, and is the grid "
                      "the right way up?",
                      source->name, side > 0 ? "north" : "south", -contrast_K));
}

/* A year's cycle goes up once and down once; months out of order go up and down again. */
static void doubt_order(struct isw_source *source, const double *lat_deg) {
  static const double clear_span_K = 5.0, most_way_in_spans = 2.8;
  for (int side = -1; side <= 1; side += 2) {
    double cycle[ISW_YEAR_MONTHS], low = INFINITY, high = -INFINITY, way = 0.0;
    if (mean_cycle(source, lat_deg, side, cycle) == 0) continue;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      low = fmin(low, cycle[m]);
      high = fmax(high, cycle[m]);
      way += fabs(cycle[(m + 1) % ISW_YEAR_MONTHS] - cycle[m]);
    }
    if (high - low < clear_span_K || way < most_way_in_spans * (high - low)) continue;
    g_ptr_array_add(
        source->doubts,
        g_strdup_printf("%s: temperatures go up and down more than once a year; are the "
                        "months in order (January to December, by %s)?",
                        source->name, source->month_reason));
    return;
  }
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
  g_free(lat_deg);
  isw_climate_free_locator(locator);
}

enum isw_status isw_climate_doubt_pair(const struct isw_source *tmin, struct isw_source *tmax,
                                       struct isw_error *error) {
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
  g_free(reread);
  if (2 * above > seen)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "the minimum (%s) is above the maximum (%s) in %.0f %% of the cells looked "
        "at\nThe two look exchanged: swap --tmin and --tmax",
        tmin->name, tmax->name, 100.0 * (double)above / (double)seen);
  if (seen > 0 && equal == seen)
    return isw_base_fail(error, ISW_INPUT_DOUBT,
                         "%s and %s hold the same values; one of them is not what it should be\n"
                         "Check --tmin and --tmax",
                         tmin->name, tmax->name);
  return ISW_OK;
}

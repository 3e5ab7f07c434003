#include <math.h>
#include <string.h>

#include "climate/climate.h"
#include "climate/elevation.h"
#include "climate/grid.h"
#include "climate/interleave.h"
#include "climate/limits.h"
#include "climate/reader_inside.h"

enum { CHUNK_CELLS = 65536 };

/* "column 4, row 7 (39.1250, -105.2500)" */
static void name_cell(struct isw_climate *climate, int col, int row, char *out, size_t size) {
  double lat_deg, lon_deg;
  if (isw_climate_locate_cell(climate->locator, col + 0.5, row + 0.5, &lat_deg, &lon_deg))
    g_snprintf(out, (gulong)size, "column %d, row %d (%.4f, %.4f)", col, row, lat_deg, lon_deg);
  else
    g_snprintf(out, (gulong)size, "column %d, row %d", col, row);
}

static enum isw_status refuse_cell(struct isw_climate *climate, int col, int row, int width,
                                   size_t n, const float *normals,
                                   const struct isw_interleave_counts *counts,
                                   struct isw_error *error) {
  static const float coldest_C = (float)ISW_COLDEST_C, warmest_C = (float)ISW_WARMEST_C;
  static const float most_inverted_K = (float)ISW_MOST_INVERTED_K;
  size_t cell = counts->first_refused;
  const float *values = normals + cell * ISW_CELL_NORMALS;
  char place[96];
  name_cell(climate, col + (int)(cell % (size_t)width), row + (int)(cell / (size_t)width), place,
            sizeof place);
  const char *first = climate->normals.first->name;
  const char *second = climate->normals.second != NULL ? climate->normals.second->name : first;
  for (int k = 0; k < ISW_CELL_NORMALS; k++)
    if (values[k] < coldest_C || values[k] > warmest_C)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: %g degC in %s at %s, outside %g..%g degC\nCheck unit, scale and "
                           "nodata value; isosow inspect shows what was understood",
                           k < ISW_YEAR_MONTHS ? first : second, (double)values[k],
                           isw_base_month_name(k % ISW_YEAR_MONTHS), place, (double)coldest_C,
                           (double)warmest_C);
  int month = 0;
  for (int k = 0; k < ISW_YEAR_MONTHS; k++)
    if (values[k] - values[k + ISW_YEAR_MONTHS] > most_inverted_K) {
      month = k;
      break;
    }
  size_t with_data = n - counts->empty;
  if (climate->normals.range != NULL)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "%s: the daily range is negative, %g K in %s at %s; so in %zu of %zu cells "
        "around\nA range is maximum less minimum: correct these cells or make them "
        "nodata",
        climate->normals.range->name, (double)(values[month + ISW_YEAR_MONTHS] - values[month]),
        isw_base_month_name(month), place, counts->refused, with_data);
  const char *advice = counts->refused * 2 > with_data
                           ? "The two look exchanged: swap ‹tmin› and ‹tmax›"
                           : "Correct these cells or make them nodata";
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "minimum above maximum in %s at %s: %g in %s, %g in %s; so in %zu of %zu "
                       "cells around\n%s",
                       isw_base_month_name(month), place, (double)values[month], first,
                       (double)values[month + ISW_YEAR_MONTHS], second, counts->refused, with_data,
                       advice);
}

static void add_counts(struct isw_climate *climate, const struct isw_interleave_counts *counts,
                       int col, int row, int width, size_t n) {
  struct isw_climate_counts *all = &climate->counts;
  if (all->inverted == 0 && counts->inverted > 0)
    name_cell(climate, col + (int)(counts->first_inverted % (size_t)width),
              row + (int)(counts->first_inverted / (size_t)width), all->first_inverted,
              sizeof all->first_inverted);
  all->cells += (long long)n;
  all->valid += (long long)counts->valid;
  all->empty += (long long)counts->empty;
  all->partial += (long long)counts->partial;
  all->inverted += (long long)counts->inverted;
}

/* Year spreads of cells that have normals; a cell without one is no data. spread_K: n values of
 * room. */
static enum isw_status read_year_spread(struct isw_climate *climate, int col, int row, int width,
                                        int height, float *spread_K, uint8_t *flags,
                                        struct isw_interleave_counts *counts,
                                        struct isw_error *error) {
  static const float widest_K = (float)ISW_WIDEST_YEAR_SPREAD_K;
  size_t n = (size_t)width * (size_t)height;
  enum isw_status status = isw_climate_read_source(climate->year_spread, col, row, width, height,
                                                   width, height, spread_K, n, error);
  for (size_t i = 0; i < n && status == ISW_OK; i++) {
    if ((flags[i] & ISW_CELL_VALID) == 0) continue;
    if (isnan(spread_K[i])) {
      flags[i] &= (uint8_t)~ISW_CELL_VALID;
      counts->valid--;
      counts->empty++;
    } else if (!(spread_K[i] >= 0.0f && spread_K[i] <= widest_K)) {
      char place[96];
      name_cell(climate, col + (int)(i % (size_t)width), row + (int)(i / (size_t)width), place,
                sizeof place);
      status =
          isw_base_fail(error, ISW_INPUT_CONTENT,
                        "%s: a year spread of %g K at %s, outside 0..%g K\nCheck its unit and "
                        "nodata value",
                        climate->year_spread->name, (double)spread_K[i], place, (double)widest_K);
    }
  }
  return status;
}

static enum isw_status read_rows(struct isw_climate *climate, int col, int row, int width,
                                 int height, float *normals, float *year_spread_K, uint8_t *flags,
                                 struct isw_error *error) {
  size_t n = (size_t)width * (size_t)height;
  if (climate->planes_size < n * ISW_CELL_NORMALS) {
    g_free(climate->planes);
    climate->planes_size = n * ISW_CELL_NORMALS;
    climate->planes = g_try_new(float, climate->planes_size);
    if (climate->planes == NULL) {
      climate->planes_size = 0;
      return isw_base_fail(error, ISW_RESOURCES, "out of memory for a block of %d x %d cells",
                           width, height);
    }
  }
  enum isw_status status = climate->elevation != NULL
                               ? isw_climate_read_lifted(climate->elevation, col, row, width,
                                                         height, climate->planes, n, error)
                               : isw_climate_read_planes(&climate->normals, col, row, width, height,
                                                         climate->planes, n, error);
  if (status != ISW_OK) return status;
  struct isw_interleave_counts counts;
  isw_climate_interleave(n, climate->planes, n, normals, flags, &counts);
  if (counts.refused > 0) return refuse_cell(climate, col, row, width, n, normals, &counts, error);
  if (climate->year_spread != NULL) {
    /* The planes have been taken: room for one more where nobody asked for it. */
    float *spread_K = year_spread_K != NULL ? year_spread_K : climate->planes;
    status = read_year_spread(climate, col, row, width, height, spread_K, flags, &counts, error);
    if (status != ISW_OK) return status;
  } else if (year_spread_K != NULL) {
    for (size_t i = 0; i < n; i++) year_spread_K[i] = NAN;
  }
  add_counts(climate, &counts, col, row, width, n);
  return isw_climate_mark_south(climate, col, row, width, height, flags, error);
}

enum isw_status isw_climate_read_cells(struct isw_climate *climate, int col, int row, int width,
                                       int height, float *normals, float *year_spread_K,
                                       uint8_t *flags, struct isw_error *error) {
  const struct isw_grid *grid = &climate->grid;
  if (col < 0 || row < 0 || width < 1 || height < 1 || width > grid->width - col ||
      height > grid->height - row)
    return isw_base_fail(error, ISW_INTERNAL,
                         "a block of %d x %d cells at %d, %d is not in a grid "
                         "of %d x %d",
                         width, height, col, row, grid->width, grid->height);
  int rows_at_once = MAX(1, CHUNK_CELLS / width);
  for (int done = 0; done < height; done += rows_at_once) {
    int rows = MIN(rows_at_once, height - done);
    size_t before = (size_t)done * (size_t)width;
    enum isw_status status =
        read_rows(climate, col, row + done, width, rows, normals + before * ISW_CELL_NORMALS,
                  year_spread_K != NULL ? year_spread_K + before : NULL, flags + before, error);
    if (status != ISW_OK) return status;
  }
  return ISW_OK;
}

enum isw_status isw_climate_read_block(struct isw_climate *climate, int col, int row, int width,
                                       int height, float *normals, uint8_t *flags,
                                       struct isw_error *error) {
  return isw_climate_read_cells(climate, col, row, width, height, normals, NULL, flags, error);
}

struct isw_climate_counts isw_climate_get_counts(const struct isw_climate *climate) {
  return climate->counts;
}

enum isw_status isw_climate_check_counts(const struct isw_climate_counts *counts,
                                         struct isw_log *log, struct isw_error *error) {
  static const double most_share = 0.001;
  long long with_data = counts->cells - counts->empty;
  if (counts->partial > 0)
    isw_base_warn(log, "%lld of %lld cells have only some of the 24 values; they are no data",
                  counts->partial, counts->cells);
  if (counts->inverted == 0) return ISW_OK;
  if ((double)counts->inverted > most_share * (double)with_data)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "minimum above maximum in %lld of %lld cells with data, the first at %s: "
                         "more than 0.1 %%\nThe two inputs do not belong together, or one is wrong",
                         counts->inverted, with_data, counts->first_inverted);
  isw_base_warn(log,
                "minimum above maximum by up to 0.5 K in %lld of %lld cells with data, the first "
                "at %s; they are no data",
                counts->inverted, with_data, counts->first_inverted);
  return ISW_OK;
}

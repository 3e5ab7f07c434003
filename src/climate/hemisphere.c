/* DESIGN: the sign of latitude is asked of as few points as will do: along rows of a plain degree
 * grid it is the row's; elsewhere a block whose outline lies on one side lies there whole. */
#include <math.h>
#include <string.h>

#include "climate/climate.h"
#include "climate/grid.h"
#include "climate/reader_inside.h"

static void mark_rows(const struct isw_grid *grid, int row, int width, int height, uint8_t *flags) {
  for (int j = 0; j < height; j++) {
    double x, lat_deg;
    isw_climate_grid_point(grid, 0.5, row + j + 0.5, &x, &lat_deg);
    if (lat_deg >= 0.0) continue;
    uint8_t *line = flags + (size_t)j * (size_t)width;
    for (int i = 0; i < width; i++) line[i] |= ISW_CELL_SOUTH;
  }
}

enum side { SIDE_NORTH, SIDE_SOUTH, SIDE_BOTH };

static enum side side_of_outline(struct isw_climate *climate, int col, int row, int width,
                                 int height) {
  int n = 2 * (width + height), used = 0;
  double *cols = g_new(double, 4 * (gsize)n), *rows = cols + n, *lat = rows + n, *lon = lat + n;
  for (int i = 0; i < width; i++) {
    cols[used] = cols[used + 1] = col + i + 0.5;
    rows[used++] = row + 0.5;
    rows[used++] = row + height - 0.5;
  }
  for (int j = 0; j < height; j++) {
    rows[used] = rows[used + 1] = row + j + 0.5;
    cols[used++] = col + 0.5;
    cols[used++] = col + width - 0.5;
  }
  isw_climate_locate_cells(climate->locator, n, cols, rows, lat, lon);
  int south = 0, north = 0;
  for (int i = 0; i < n; i++) {
    south += lat[i] < 0.0;
    north += lat[i] >= 0.0;
  }
  g_free(cols);
  return north == n ? SIDE_NORTH : south == n ? SIDE_SOUTH : SIDE_BOTH;
}

static enum isw_status mark_cells(struct isw_climate *climate, int col, int row, int width,
                                  int height, uint8_t *flags, struct isw_error *error) {
  double *cols = g_new(double, 4 * (gsize)width), *rows = cols + width;
  double *lat = rows + width, *lon = lat + width;
  enum isw_status status = ISW_OK;
  for (int j = 0; j < height && status == ISW_OK; j++) {
    uint8_t *line = flags + (size_t)j * (size_t)width;
    for (int i = 0; i < width; i++) {
      cols[i] = col + i + 0.5;
      rows[i] = row + j + 0.5;
    }
    isw_climate_locate_cells(climate->locator, width, cols, rows, lat, lon);
    for (int i = 0; i < width && status == ISW_OK; i++) {
      if (lat[i] < 0.0) line[i] |= ISW_CELL_SOUTH;
      if (isnan(lat[i]) && (line[i] & ISW_CELL_VALID) != 0)
        status = isw_base_fail(error, ISW_INPUT_DOUBT,
                               "column %d, row %d has temperatures, but its CRS gives it no "
                               "latitude, so its hemisphere is not known\nCheck the CRS, or say "
                               "‹hemisphere› north or south",
                               col + i, row + j);
    }
  }
  g_free(cols);
  return status;
}

enum isw_status isw_climate_mark_south(struct isw_climate *climate, int col, int row, int width,
                                       int height, uint8_t *flags, struct isw_error *error) {
  const struct isw_grid *grid = &climate->grid;
  enum side side = SIDE_BOTH;
  if (climate->hemisphere == ISW_HEMISPHERE_NORTH) return ISW_OK;
  if (climate->hemisphere == ISW_HEMISPHERE_SOUTH) {
    side = SIDE_SOUTH;
  } else if (grid->geographic && grid->transform[4] == 0.0) {
    mark_rows(grid, row, width, height, flags);
    return ISW_OK;
  } else {
    side = side_of_outline(climate, col, row, width, height);
  }
  if (side == SIDE_NORTH) return ISW_OK;
  if (side == SIDE_BOTH) return mark_cells(climate, col, row, width, height, flags, error);
  size_t n = (size_t)width * (size_t)height;
  for (size_t i = 0; i < n; i++) flags[i] |= ISW_CELL_SOUTH;
  return ISW_OK;
}

/* DESIGN: the search reads squares of growing half-size around the place's cell. Distance is
 * measured on the ground. A find counts once nothing outside the square can be nearer, which a
 * second, larger square settles. */
#include "survey/place_cell.h"

#include <glib.h>
#include <math.h>

#include "survey/cell_normals.h"

enum { BLOCK_CELLS = 256, FIRST_HALF = 1, GROWTH = 8 };
static const double earth_radius_km = 6371.0088; /* mean radius, IUGG */

struct search {
  struct isw_climate *climate;
  struct isw_locator *locator;
  double lat_deg, lon_deg;
  int col, row;
  bool found;
  int best_col, best_row;
  double best_km, best_lat_deg, best_lon_deg;
};

/* By haversines. */
double isw_survey_distance_km(double lat_a_deg, double lon_a_deg, double lat_b_deg,
                              double lon_b_deg) {
  static const double radian = G_PI / 180.0;
  double dlat = (lat_b_deg - lat_a_deg) * radian, dlon = (lon_b_deg - lon_a_deg) * radian;
  double a = sin(dlat / 2) * sin(dlat / 2) +
             cos(lat_a_deg * radian) * cos(lat_b_deg * radian) * sin(dlon / 2) * sin(dlon / 2);
  return 2.0 * earth_radius_km * asin(fmin(1.0, sqrt(a)));
}

static void try_cell(struct search *search, int col, int row) {
  double lat, lon;
  if (!isw_climate_locate_cell(search->locator, col + 0.5, row + 0.5, &lat, &lon)) return;
  double km = isw_survey_distance_km(search->lat_deg, search->lon_deg, lat, lon);
  if (search->found && km >= search->best_km) return;
  search->found = true;
  search->best_km = km;
  search->best_col = col;
  search->best_row = row;
  search->best_lat_deg = lat;
  search->best_lon_deg = lon;
}

/* Valid cells of the square of half-size `half` about the place's cell. */
static enum isw_status search_square(struct search *search, int half, struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_grid(search->climate);
  int left = MAX(0, search->col - half), right = MIN(grid->width, search->col + half + 1);
  int top = MAX(0, search->row - half), bottom = MIN(grid->height, search->row + half + 1);
  int width_most = MIN(BLOCK_CELLS, right - left), height_most = MIN(BLOCK_CELLS, bottom - top);
  size_t cells = (size_t)width_most * (size_t)height_most;
  float *normals = g_new(float, cells *ISW_CELL_NORMALS);
  uint8_t *flags = g_new(uint8_t, cells);
  enum isw_status status = ISW_OK;
  for (int row = top; row < bottom && status == ISW_OK; row += height_most) {
    for (int col = left; col < right && status == ISW_OK; col += width_most) {
      int width = MIN(width_most, right - col), height = MIN(height_most, bottom - row);
      status =
          isw_climate_read_block(search->climate, col, row, width, height, normals, flags, error);
      for (int i = 0; status == ISW_OK && i < width * height; i++)
        if (flags[i] & ISW_CELL_VALID) try_cell(search, col + i % width, row + i / width);
    }
  }
  g_free(normals);
  g_free(flags);
  return status;
}

/* Ground from the place's cell to the nearest edge of the square, where the grid goes on. */
static double reach_km(const struct search *search, int half) {
  const struct isw_grid *grid = isw_climate_grid(search->climate);
  static const int steps[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
  double reach = INFINITY;
  for (int i = 0; i < 4; i++) {
    int col = search->col + steps[i][0] * half, row = search->row + steps[i][1] * half;
    if (col < 0 || col >= grid->width || row < 0 || row >= grid->height) continue;
    double lat, lon;
    if (isw_climate_locate_cell(search->locator, col + 0.5, row + 0.5, &lat, &lon))
      reach = fmin(reach, isw_survey_distance_km(search->lat_deg, search->lon_deg, lat, lon));
  }
  return reach;
}

static enum isw_status search_around(struct search *search, struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_grid(search->climate);
  int whole = MAX(grid->width, grid->height);
  for (int half = FIRST_HALF;; half = half <= whole / GROWTH ? half * GROWTH : whole) {
    enum isw_status status = search_square(search, half, error);
    if (status != ISW_OK || half >= whole) return status;
    if (search->found && search->best_km <= reach_km(search, half)) return ISW_OK;
  }
}

static enum isw_status refuse(const struct search *search, struct isw_error *error) {
  if (!search->found)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "no cell of the grid has all 24 values; look at the inputs with isosow "
                         "inspect");
  int away = MAX(ABS(search->best_col - search->col), ABS(search->best_row - search->row));
  return isw_base_fail(error, ISW_USAGE,
                       "%g,%g: there are no data there; the nearest cell that has them is "
                       "%.1f km away at %.4f,%.4f (%d cells)\nChoose a place on land, or take that "
                       "cell",
                       search->lat_deg, search->lon_deg, search->best_km, search->best_lat_deg,
                       search->best_lon_deg, away);
}

static enum isw_status read_cell(struct search *search, struct isw_place_cell *out, bool *valid,
                                 struct isw_error *error) {
  float normals[ISW_CELL_NORMALS], year_spread_K;
  uint8_t flags;
  enum isw_status status = isw_climate_read_cells(search->climate, out->col, out->row, 1, 1,
                                                  normals, &year_spread_K, &flags, error);
  if (status != ISW_OK) return status;
  *valid = (flags & ISW_CELL_VALID) != 0;
  out->south = (flags & ISW_CELL_SOUTH) != 0;
  isw_survey_take_normals(normals, year_spread_K, &out->normals);
  double lat = search->lat_deg, lon = search->lon_deg;
  isw_climate_locate_cell(search->locator, out->col + 0.5, out->row + 0.5, &lat, &lon);
  out->lat_deg = lat;
  out->lon_deg = lon;
  out->away_km = isw_survey_distance_km(search->lat_deg, search->lon_deg, lat, lon);
  return ISW_OK;
}

static enum isw_status find_cell(struct search *search, bool nearest, struct isw_place_cell *out,
                                 struct isw_error *error) {
  double col, row;
  if (!isw_climate_find_cell(search->locator, search->lat_deg, search->lon_deg, &col, &row))
    return isw_base_fail(error, ISW_USAGE,
                         "%g,%g: lies outside the grid\nGive latitude, then longitude, in "
                         "degrees; isosow inspect shows what the grid covers",
                         search->lat_deg, search->lon_deg);
  search->col = (int)floor(col);
  search->row = (int)floor(row);
  *out = (struct isw_place_cell){.col = search->col, .row = search->row};
  bool valid;
  enum isw_status status = read_cell(search, out, &valid, error);
  if (status != ISW_OK || valid) return status;
  status = search_around(search, error);
  if (status != ISW_OK) return status;
  int away = MAX(ABS(search->best_col - search->col), ABS(search->best_row - search->row));
  if (!search->found || (away > 1 && !nearest)) {
    if (search->found) out->away_km = search->best_km;
    return refuse(search, error);
  }
  *out = (struct isw_place_cell){.col = search->best_col, .row = search->best_row, .moved = true};
  return read_cell(search, out, &valid, error);
}

enum isw_status isw_survey_find_place_cell(struct isw_climate *climate, double lat_deg,
                                           double lon_deg, bool nearest, struct isw_place_cell *out,
                                           struct isw_error *error) {
  struct search search = {.climate = climate, .lat_deg = lat_deg, .lon_deg = lon_deg};
  enum isw_status status =
      isw_climate_new_locator(isw_climate_grid(climate), &search.locator, error);
  if (status != ISW_OK) return status;
  status = find_cell(&search, nearest, out, error);
  isw_climate_free_locator(search.locator);
  return status;
}

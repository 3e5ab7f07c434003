#include "survey/cell_areas.h"

#include <glib.h>

struct isw_cell_areas {
  struct isw_locator *locator;
  bool same_along_row; /* a degree grid: one area per row */
  size_t room;         /* cells that area_m2 holds */
  double *area_m2;
};

enum isw_status isw_survey_new_cell_areas(const struct isw_grid *grid, struct isw_cell_areas **out,
                                          struct isw_error *error) {
  struct isw_locator *locator;
  enum isw_status status = isw_climate_new_locator(grid, &locator, error);
  if (status != ISW_OK) return status;
  *out = g_new0(struct isw_cell_areas, 1);
  (*out)->locator = locator;
  (*out)->same_along_row =
      grid->geographic && grid->transform[2] == 0.0 && grid->transform[4] == 0.0;
  return ISW_OK;
}

void isw_survey_free_cell_areas(struct isw_cell_areas *areas) {
  if (areas == NULL) return;
  isw_climate_free_locator(areas->locator);
  g_free(areas->area_m2);
  g_free(areas);
}

static void fill_rows(struct isw_cell_areas *areas, int col, int row, int width, int height) {
  for (int r = 0; r < height; r++) {
    double row_m2 = isw_climate_cell_area_m2(areas->locator, col, row + r);
    for (int c = 0; c < width; c++) areas->area_m2[(size_t)r * (size_t)width + (size_t)c] = row_m2;
  }
}

static void fill_between_corners(struct isw_cell_areas *areas, int col, int row, int width,
                                 int height) {
  double corner_m2[2][2]; /* [lower][right] */
  for (int lower = 0; lower < 2; lower++)
    for (int right = 0; right < 2; right++)
      corner_m2[lower][right] = isw_climate_cell_area_m2(areas->locator, col + right * (width - 1),
                                                         row + lower * (height - 1));
  for (int r = 0; r < height; r++) {
    double y = height > 1 ? (double)r / (height - 1) : 0.0;
    for (int c = 0; c < width; c++) {
      double x = width > 1 ? (double)c / (width - 1) : 0.0;
      double upper = (1.0 - x) * corner_m2[0][0] + x * corner_m2[0][1];
      double lower = (1.0 - x) * corner_m2[1][0] + x * corner_m2[1][1];
      areas->area_m2[(size_t)r * (size_t)width + (size_t)c] = (1.0 - y) * upper + y * lower;
    }
  }
}

const double *isw_survey_areas_of_block(struct isw_cell_areas *areas, int col, int row, int width,
                                        int height) {
  size_t cells = (size_t)width * (size_t)height;
  if (cells > areas->room) {
    areas->area_m2 = g_renew(double, areas->area_m2, cells);
    areas->room = cells;
  }
  if (areas->same_along_row)
    fill_rows(areas, col, row, width, height);
  else
    fill_between_corners(areas, col, row, width, height);
  return areas->area_m2;
}

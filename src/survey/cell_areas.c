#include "survey/cell_areas.h"

#include <glib.h>

/* A projection's scale changes with the square of the distance: over 16 cells of 1 km that is one
 * part in a million. */
enum { NODE_STEP = 16 };

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

/* Nodes every NODE_STEP cells, and one on the last cell. */
static int node_count(int cells) {
  return (cells - 1 + NODE_STEP - 1) / NODE_STEP + 1;
}

static int node_cell(int node, int cells) {
  return MIN(node * NODE_STEP, cells - 1);
}

/* Share of the way from the node before a cell to the next, and that node. */
static double past_node(int cell, int cells, int *node) {
  *node = MIN(cell / NODE_STEP, MAX(node_count(cells) - 2, 0));
  int from = node_cell(*node, cells), to = node_cell(*node + 1, cells);
  return to > from ? (double)(cell - from) / (to - from) : 0.0;
}

static void fill_between_nodes(struct isw_cell_areas *areas, int col, int row, int width,
                               int height) {
  int across = node_count(width), down = node_count(height);
  double *node_m2 = g_new(double, (gsize)across *(gsize)down);
  for (int j = 0; j < down; j++)
    for (int i = 0; i < across; i++)
      node_m2[j * across + i] = isw_climate_cell_area_m2(areas->locator, col + node_cell(i, width),
                                                         row + node_cell(j, height));
  for (int r = 0; r < height; r++) {
    int j;
    double y = past_node(r, height, &j);
    const double *upper = node_m2 + j * across, *lower = node_m2 + MIN(j + 1, down - 1) * across;
    for (int c = 0; c < width; c++) {
      int i;
      double x = past_node(c, width, &i);
      int next = MIN(i + 1, across - 1);
      areas->area_m2[(size_t)r * (size_t)width + (size_t)c] =
          (1.0 - y) * ((1.0 - x) * upper[i] + x * upper[next]) +
          y * ((1.0 - x) * lower[i] + x * lower[next]);
    }
  }
  g_free(node_m2);
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
    fill_between_nodes(areas, col, row, width, height);
  return areas->area_m2;
}

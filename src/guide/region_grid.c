#include "guide/region_grid.h"

#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

struct isw_region_grid *isw_guide_new_region_grid(const struct isw_plan *plan, int width,
                                                  int height) {
  struct isw_region_grid *region = g_new0(struct isw_region_grid, 1);
  int longer = MAX(width, height);
  region->plan = plan;
  region->step = (longer + ISW_REGION_CELLS_MAX - 1) / ISW_REGION_CELLS_MAX;
  /* As many as have their middle cell in the grid. */
  int before = region->step / 2;
  region->width = (width - before + region->step - 1) / region->step;
  region->height = (height - before + region->step - 1) / region->step;
  size_t cells = (size_t)region->width * (size_t)region->height;
  region->flags = g_new0(uint8_t, cells);
  region->district = g_new(int16_t, cells);
  region->elevation_band = g_new(int32_t, cells);
  region->area = g_new(int16_t, cells);
  for (size_t i = 0; i < cells; i++) {
    region->district[i] = region->area[i] = -1;
    region->elevation_band[i] = ISW_NO_BAND;
  }
  int n_results = plan->n_varieties * plan->n_seasons;
  region->bands = g_new(int16_t *, (gsize)n_results);
  for (int r = 0; r < n_results; r++) region->bands[r] = g_new0(int16_t, cells * ISW_CELL_BANDS);
  region->picks = g_new(uint8_t *, (gsize)plan->n_seasons);
  for (int s = 0; s < plan->n_seasons; s++) region->picks[s] = g_new0(uint8_t, cells);
  return region;
}

void isw_guide_free_region_grid(struct isw_region_grid *region) {
  if (region == NULL) return;
  for (int r = 0; r < region->plan->n_varieties * region->plan->n_seasons; r++)
    g_free(region->bands[r]);
  for (int s = 0; s < region->plan->n_seasons; s++) g_free(region->picks[s]);
  g_free(region->bands);
  g_free(region->picks);
  g_free(region->flags);
  g_free(region->district);
  g_free(region->elevation_band);
  g_free(region->area);
  g_free(region);
}

/* The full grid's column or row behind one here. */
static int behind(const struct isw_region_grid *region, int index) {
  return index * region->step + region->step / 2;
}

/* The cell here that stands for a full grid's cell, or -1. */
static long cell_here(const struct isw_region_grid *region, int col, int row) {
  if (col % region->step != region->step / 2 || row % region->step != region->step / 2) return -1;
  return (long)(row / region->step) * region->width + col / region->step;
}

void isw_guide_full_cell(const struct isw_region_grid *region, int cell, int *col, int *row) {
  *col = behind(region, cell % region->width);
  *row = behind(region, cell / region->width);
}

static void take_cell(struct isw_region_grid *region, const struct isw_block *block, int plan_index,
                      size_t from, size_t to) {
  const struct isw_plan *plan = region->plan;
  size_t cells = (size_t)block->width * (size_t)block->height;
  region->flags[to] = block->flags[from];
  for (int r = 0; r < plan->n_varieties * plan->n_seasons; r++)
    memcpy(region->bands[r] + to * ISW_CELL_BANDS,
           block->bands[plan_index] + ((size_t)r * cells + from) * ISW_CELL_BANDS,
           ISW_CELL_BANDS * sizeof(int16_t));
  for (int s = 0; s < plan->n_seasons; s++)
    region->picks[s][to] = block->picks[plan_index][(size_t)s * cells + from];
}

void isw_guide_add_region_block(struct isw_region_grid *region, const struct isw_block *block,
                                int plan_index, const float *height_m, double band_m, int n_found,
                                const struct isw_district_cells *found) {
  for (int row = 0; row < block->height; row++) {
    for (int col = 0; col < block->width; col++) {
      long to = cell_here(region, block->col + col, block->row + row);
      if (to < 0) continue;
      size_t from = (size_t)row * (size_t)block->width + (size_t)col;
      if (block->flags[from] & ISW_CELL_VALID)
        take_cell(region, block, plan_index, from, (size_t)to);
    }
  }
  for (int i = 0; i < n_found; i++) {
    for (size_t k = 0; k < found[i].n; k++) {
      int col = (int)found[i].cells[k] % block->width, row = (int)found[i].cells[k] / block->width;
      long to = cell_here(region, block->col + col, block->row + row);
      if (to < 0 || region->district[to] >= 0) continue;
      region->district[to] = (int16_t)found[i].district;
      double height = height_m != NULL ? (double)height_m[found[i].cells[k]] : NAN;
      if (band_m > 0.0 && !isnan(height))
        region->elevation_band[to] = isw_guide_band_of(height, band_m);
    }
  }
}

void isw_guide_settle_region(struct isw_region_grid *region, const struct isw_guide_areas *areas) {
  int cells = region->width * region->height;
  for (int i = 0; i < cells; i++)
    if (region->district[i] >= 0)
      region->area[i] =
          (int16_t)isw_guide_find_area(areas, region->district[i], region->elevation_band[i]);
}

/* How far a cell's result is from its district's medians, in days and points of score. */
static int unlikeness(const struct isw_table_row *row, const int16_t *bands, int start_day) {
  static const int without_window = 60;
  int away = abs(bands[ISW_BAND_SCORE] - row->median_score);
  bool usual = row->window_share >= 0.5, has = bands[ISW_BAND_WINDOW_DAYS] > 0;
  if (usual != has) return away + without_window;
  if (!has) return away;
  int after = isw_base_days_forward(start_day, bands[ISW_BAND_BEST_SOW] - 1);
  return away + abs(after - row->after[ISW_TABLE_BEST_SOW][1]);
}

/* Which results tell whether a cell is typical. */
static void choose_results(const struct isw_plan *plan, const struct isw_district_table *table,
                           int area, bool *chosen) {
  int n = 0, n_results = plan->n_varieties * plan->n_seasons;
  for (int r = 0; r < n_results; r++) chosen[r] = false;
  for (int s = 0; s < plan->n_seasons; s++) {
    struct isw_table_pick pick = isw_guide_read_pick(table, 1 + area, s);
    for (int v = 0; v < plan->n_varieties; v++) {
      if (plan->varieties[v] != pick.variety || pick.risky) continue;
      chosen[isw_growth_result_index(plan, v, s)] = true;
      n++;
    }
  }
  for (int r = 0; r < n_results && n == 0; r++) chosen[r] = true;
}

int isw_guide_typical_cell(const struct isw_region_grid *region,
                           const struct isw_district_table *table, int area) {
  const struct isw_plan *plan = region->plan;
  int n_results = plan->n_varieties * plan->n_seasons;
  struct isw_table_row *rows = g_new(struct isw_table_row, (gsize)n_results);
  bool *chosen = g_new(bool, (gsize)n_results);
  choose_results(plan, table, area, chosen);
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      isw_guide_read_row(table, 1 + area, v, s, &rows[isw_growth_result_index(plan, v, s)]);
  int best = -1;
  long least = 0;
  for (int cell = 0; cell < region->width * region->height; cell++) {
    if (region->area[cell] != area) continue;
    bool south = (region->flags[cell] & ISW_CELL_SOUTH) != 0;
    long sum = 0;
    for (int v = 0; v < plan->n_varieties; v++) {
      for (int s = 0; s < plan->n_seasons; s++) {
        int r = isw_growth_result_index(plan, v, s);
        if (!chosen[r]) continue;
        const struct isw_season *season = &plan->sheet->seasons[plan->seasons[s]];
        sum += unlikeness(&rows[r], region->bands[r] + (size_t)cell * ISW_CELL_BANDS,
                          isw_growth_season_days(season, south).from_day);
      }
    }
    if (best >= 0 && sum >= least) continue;
    best = cell;
    least = sum;
  }
  g_free(chosen);
  g_free(rows);
  return best;
}

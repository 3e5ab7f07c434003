#include "climate/sample.h"

#include <math.h>
#include <string.h>

enum { SAMPLE_CELLS = 4096 };

void isw_climate_plan_sample(const struct isw_grid *grid, int block_width, int block_height,
                             int wanted, struct isw_sample_plan *plan) {
  memset(plan, 0, sizeof *plan); /* plans are compared byte by byte */
  int across = (int)(((long long)grid->width + block_width - 1) / block_width);
  int down = (int)(((long long)grid->height + block_height - 1) / block_height);
  /* About as many columns as rows of windows, but strips come one above the other. */
  int side = (int)sqrt((double)wanted);
  int use_across = MIN(across, side), use_down = MIN(down, wanted / use_across);
  use_across = MIN(across, wanted / use_down);
  int per_window = SAMPLE_CELLS / (use_across * use_down);
  for (int j = 0; j < use_down; j++)
    for (int i = 0; i < use_across; i++) {
      int block_col = (int)((2LL * i + 1) * across / (2LL * use_across));
      int block_row = (int)((2LL * j + 1) * down / (2LL * use_down));
      struct isw_sample_window *window = &plan->windows[plan->count++];
      window->col = (int)((long long)block_col * block_width);
      window->row = (int)((long long)block_row * block_height);
      window->width = (int)MIN((long long)block_width, (long long)grid->width - window->col);
      window->height = (int)MIN((long long)block_height, (long long)grid->height - window->row);
      int rows = MAX(1, (int)sqrt((double)per_window * window->height / window->width));
      window->out_height = MIN(window->height, rows);
      window->out_width = MIN(window->width, MAX(1, per_window / window->out_height));
      window->first = plan->cells;
      plan->cells += (size_t)window->out_width * (size_t)window->out_height;
    }
}

enum isw_status isw_climate_read_sample(struct isw_source *source,
                                        const struct isw_sample_plan *plan, float *planes,
                                        struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (int i = 0; i < plan->count && status == ISW_OK; i++) {
    const struct isw_sample_window *w = &plan->windows[i];
    status = isw_climate_read_source(source, w->col, w->row, w->width, w->height, w->out_width,
                                     w->out_height, planes + w->first, plan->cells, error);
  }
  return status;
}

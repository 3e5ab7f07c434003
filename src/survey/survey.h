/* The run over a grid: blocks are read, their rows computed by several threads, and finished blocks
 * handed in order to a sink. Knows no format. */
#ifndef ISW_SURVEY_SURVEY_H
#define ISW_SURVEY_SURVEY_H

#include "climate/climate.h"
#include "growth/cell.h"
#include "growth/pick.h"
#include "regions/mask.h"
#include "survey/cell_bands.h"

enum { ISW_BLOCK_SIZE = 256 }; /* cells; also the rasters' tile size */

/* One finished block. Cells are row-major within it. */
struct isw_block {
  long long index;             /* 0.., row-major over the grid's blocks */
  int col, row, width, height; /* cells; smaller at the right and lower edge */
  const uint8_t *flags;        /* [cell] ISW_CELL_* */
  /* Per plan p: bands[p][result][cell][ISW_CELL_BANDS], result as isw_growth_result_index;
   * ISW_BANDS_NODATA where the cell is not valid. */
  const int16_t *const *bands;
  /* Per plan p: picks[p][season][cell], codes of isw_growth_pick_code, or ISW_PICK_NODATA. */
  const uint8_t *const *picks;
  /* Per plan p: spans[p][season][cell][ISW_SPAN_BANDS], ISW_BANDS_NODATA as in bands. */
  const int16_t *const *spans;
  int job; /* 0; of several sink jobs: which one is to be done now */
};

/* Takes finished blocks in order, on whichever thread is free. With one sink job, one call at a
 * time: nothing needs to be locked. With several (isw_survey_options.sink_jobs), different jobs run
 * at the same time, but each job by itself gets the blocks in order, one at a time. */
struct isw_sink {
  void *self;
  enum isw_status (*take_block)(void *self, const struct isw_block *block, struct isw_error *error);
};

struct isw_survey_options {
  int threads;                        /* all in all, the calling one included; 1.. */
  int memory_MB;                      /* bound on the blocks in flight; 0: default */
  long long first_block, block_count; /* a part of the grid; block_count 0: all */
  /* Where taking blocks is much work: take_block is called with jobs 0..sink_jobs-1 of a block, at
   * the same time, but each job in the order of the blocks. 0 or 1: once per block. */
  int sink_jobs;
  struct isw_mask *mask; /* cells that do not count in it are as without data; NULL: all count */
  struct isw_log *log;   /* progress; may be NULL */
};

/* Blocks along a side of that many cells, up to 2^31 - 1. */
long long isw_survey_blocks_along(int cells);

/* All blocks of a grid. */
long long isw_survey_count_blocks(const struct isw_grid *grid);

/* Memory that a run's blocks and workers take, bytes. */
size_t isw_survey_expected_bytes(int n_plans, const struct isw_plan *const *plans,
                                 const struct isw_survey_options *options);

/* Run plans (1 or more, computed in one pass over the normals) over the grid. Returns the first
 * failure of reading (isw_climate_read_cells: ISW_INPUT_FILE, ISW_INPUT_CONTENT, ISW_INPUT_DOUBT)
 * or of the sink; ISW_INTERRUPTED on a signal; ISW_RESOURCES. Everything is borrowed. */
enum isw_status isw_survey_run(struct isw_climate *climate, int n_plans,
                               const struct isw_plan *const *plans,
                               const struct isw_survey_options *options,
                               const struct isw_sink *sink, struct isw_error *error);

#endif

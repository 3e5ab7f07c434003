/* DESIGN. A ring of slots, each holding one block on its way, and threads that are all alike, the
 * calling one among them. Whoever is free takes the first of these tasks that there is:
 *
 *     hand over   the oldest block, when it is done           one block at a time, in order
 *     read        the next block, when a slot is free         one at a time, in order
 *     compute     a few rows of the oldest block that has some left
 *
 * So the program keeps exactly as many processors busy as it was given threads, blocks reach the
 * sink in index order (what it writes does not depend on the number of threads), and memory is that
 * of the ring, whatever the size of the grid. Computing leaves the ring before reading fills it:
 * a slot that is free is one whose block nobody needs any more. */
#include "survey/survey.h"

#include <glib.h>

#include "base/interrupt.h"
#include "survey/cell_normals.h"

enum { ROWS_PER_JOB = 4, SLOTS_MOST = 4, DEFAULT_MEMORY_MB = 160 };

enum slot_state { SLOT_FREE, SLOT_READING, SLOT_COMPUTING, SLOT_DONE };

struct slot {
  enum slot_state state;
  long long index;
  int col, row, width, height;
  int rows_taken, jobs_open;     /* of computing */
  int handed_taken, handed_open; /* jobs of handing over */
  float *normals, *year_spread_K;
  uint8_t *flags;
  int16_t **bands; /* [plan] */
  uint8_t **picks; /* [plan] */
  int16_t **spans; /* [plan] */
};

struct survey {
  struct isw_mask *mask;
  struct isw_climate *climate;
  const struct isw_grid *grid;
  int n_plans;
  const struct isw_plan *const *plans;
  const struct isw_sink *sink;
  int sink_jobs;
  struct isw_log *log;
  long long first_block, end_block;
  int n_slots;
  struct slot slots[SLOTS_MOST];
  GMutex mutex; /* guards all below and the slots' states and counters */
  GCond changed;
  long long next_read, next_handed; /* blocks */
  bool reading, stopping;
  enum isw_status status;
  struct isw_error error;
};

long long isw_survey_blocks_along(int cells) {
  return ((long long)cells + ISW_BLOCK_SIZE - 1) / ISW_BLOCK_SIZE;
}

static long long blocks_across(const struct isw_grid *grid) {
  return isw_survey_blocks_along(grid->width);
}

long long isw_survey_count_blocks(const struct isw_grid *grid) {
  return blocks_across(grid) * isw_survey_blocks_along(grid->height);
}

static size_t results_of(const struct isw_plan *plan) {
  return (size_t)plan->n_varieties * (size_t)plan->n_seasons;
}

/* Keep the first failure and wake everybody. Call with the mutex held. */
static void stop_survey(struct survey *survey, enum isw_status status,
                        const struct isw_error *error) {
  if (survey->status == ISW_OK) {
    survey->status = status;
    survey->error = *error;
  }
  survey->stopping = true;
  g_cond_broadcast(&survey->changed);
}

static void stop_if_interrupted(struct survey *survey) {
  if (!isw_base_interrupted_by()) return;
  struct isw_error error;
  isw_base_fail(&error, ISW_INTERRUPTED, "interrupted; nothing was changed in the results folder");
  stop_survey(survey, ISW_INTERRUPTED, &error);
}

/* ---- reading ---- */

static void place_block(const struct isw_grid *grid, long long index, struct slot *slot) {
  long long across = blocks_across(grid);
  slot->index = index;
  slot->col = (int)(index % across) * ISW_BLOCK_SIZE;
  slot->row = (int)(index / across) * ISW_BLOCK_SIZE;
  slot->width = MIN(ISW_BLOCK_SIZE, grid->width - slot->col);
  slot->height = MIN(ISW_BLOCK_SIZE, grid->height - slot->row);
}

/* The slot of the next block to be read, or NULL: none is free, or somebody reads. */
static struct slot *next_free_slot(struct survey *survey) {
  if (survey->reading || survey->next_read == survey->end_block) return NULL;
  struct slot *slot = &survey->slots[survey->next_read % survey->n_slots];
  return slot->state == SLOT_FREE ? slot : NULL;
}

static enum isw_status read_cells(struct survey *survey, struct slot *slot,
                                  struct isw_error *error) {
  enum isw_status status =
      isw_climate_read_cells(survey->climate, slot->col, slot->row, slot->width, slot->height,
                             slot->normals, slot->year_spread_K, slot->flags, error);
  if (status != ISW_OK || survey->mask == NULL) return status;
  size_t cells = (size_t)slot->width * (size_t)slot->height;
  uint8_t *kept = g_new(uint8_t, cells);
  status = isw_regions_keep_cells(survey->mask, slot->col, slot->row, slot->width, slot->height,
                                  slot->flags, kept, error);
  for (size_t i = 0; i < cells && status == ISW_OK; i++)
    if (!kept[i] && (slot->flags[i] & ISW_CELL_VALID))
      slot->flags[i] ^= ISW_CELL_VALID | ISW_CELL_LEFT_OUT;
  g_free(kept);
  return status;
}

/* Called, and left, with the mutex held; so are all tasks. */
static void read_block(struct survey *survey, struct slot *slot) {
  survey->reading = true;
  slot->state = SLOT_READING;
  place_block(survey->grid, survey->next_read++, slot);
  g_mutex_unlock(&survey->mutex);
  struct isw_error error;
  enum isw_status status = read_cells(survey, slot, &error);
  g_mutex_lock(&survey->mutex);
  survey->reading = false;
  slot->rows_taken = 0;
  slot->jobs_open = (slot->height + ROWS_PER_JOB - 1) / ROWS_PER_JOB;
  slot->state = SLOT_COMPUTING;
  if (status != ISW_OK) stop_survey(survey, status, &error);
  g_cond_broadcast(&survey->changed);
}

/* ---- computing ---- */

/* What one worker needs of its own: a workspace per plan, and one cell's results. */
struct bench {
  struct isw_growth_workspace **workspaces;
  struct isw_result *results;
  struct isw_span span;
};

static void compute_cell(const struct survey *survey, const struct slot *slot, size_t cell,
                         struct bench *bench) {
  size_t cells = (size_t)slot->width * (size_t)slot->height;
  bool valid = (slot->flags[cell] & ISW_CELL_VALID) != 0;
  bool south = (slot->flags[cell] & ISW_CELL_SOUTH) != 0;
  struct isw_normals normals = {0};
  if (valid)
    isw_survey_take_normals(slot->normals + cell * ISW_CELL_NORMALS, slot->year_spread_K[cell],
                            &normals);
  for (int p = 0; p < survey->n_plans; p++) {
    const struct isw_plan *plan = survey->plans[p];
    size_t n_results = results_of(plan);
    if (valid) isw_growth_cell(bench->workspaces[p], &normals, south, bench->results);
    for (size_t r = 0; r < n_results; r++) {
      int16_t *bands = slot->bands[p] + (r * cells + cell) * ISW_CELL_BANDS;
      if (valid)
        isw_survey_encode_result(&bench->results[r], bands);
      else
        for (int b = 0; b < ISW_CELL_BANDS; b++) bands[b] = ISW_BANDS_NODATA;
    }
    for (int s = 0; s < plan->n_seasons; s++) {
      const size_t at = (size_t)s * cells + cell;
      int16_t *span = slot->spans[p] + at * ISW_SPAN_BANDS;
      if (valid) {
        const struct isw_pick pick = isw_growth_pick(plan, s, bench->results);
        slot->picks[p][at] = (uint8_t)isw_growth_pick_code(pick);
        isw_growth_span(plan, s, south, pick, bench->results, &bench->span);
        isw_survey_encode_span(&bench->span, span);
      } else {
        slot->picks[p][at] = ISW_PICK_NODATA;
        for (int b = 0; b < ISW_SPAN_BANDS; b++) span[b] = ISW_BANDS_NODATA;
      }
    }
  }
}

static void compute_cells(const struct survey *survey, const struct slot *slot, int first_row,
                          struct bench *bench) {
  int end_row = MIN(first_row + ROWS_PER_JOB, slot->height);
  size_t first = (size_t)first_row * (size_t)slot->width;
  size_t end = (size_t)end_row * (size_t)slot->width;
  for (size_t cell = first; cell < end; cell++) compute_cell(survey, slot, cell, bench);
}

/* The oldest block with rows nobody has taken, or NULL. */
static struct slot *next_open_slot(struct survey *survey) {
  struct slot *oldest = NULL;
  for (int i = 0; i < survey->n_slots; i++) {
    struct slot *slot = &survey->slots[i];
    if (slot->state == SLOT_COMPUTING && slot->rows_taken < slot->height &&
        (oldest == NULL || slot->index < oldest->index))
      oldest = slot;
  }
  return oldest;
}

static struct bench new_bench(const struct survey *survey) {
  struct bench bench;
  size_t most_results = 0;
  bench.workspaces = g_new(struct isw_growth_workspace *, (size_t)survey->n_plans);
  for (int p = 0; p < survey->n_plans; p++) {
    bench.workspaces[p] = g_new(struct isw_growth_workspace, 1);
    isw_growth_start_workspace(survey->plans[p], bench.workspaces[p]);
    most_results = MAX(most_results, results_of(survey->plans[p]));
  }
  bench.results = g_new(struct isw_result, most_results);
  return bench;
}

static void free_bench(const struct survey *survey, struct bench *bench) {
  for (int p = 0; p < survey->n_plans; p++) g_free(bench->workspaces[p]);
  g_free(bench->workspaces);
  g_free(bench->results);
}

static void compute_rows(struct survey *survey, struct slot *slot, struct bench *bench) {
  int first_row = slot->rows_taken;
  slot->rows_taken += ROWS_PER_JOB;
  g_mutex_unlock(&survey->mutex);
  compute_cells(survey, slot, first_row, bench);
  g_mutex_lock(&survey->mutex);
  if (--slot->jobs_open > 0) return;
  slot->state = SLOT_DONE;
  slot->handed_taken = 0;
  slot->handed_open = survey->sink_jobs;
  g_cond_broadcast(&survey->changed);
}

/* ---- handing over ---- */

/* The slot of the oldest block, when it is done and has jobs that nobody has taken, or NULL. */
static struct slot *next_done_slot(struct survey *survey) {
  if (survey->next_handed == survey->end_block) return NULL;
  struct slot *slot = &survey->slots[survey->next_handed % survey->n_slots];
  bool ready = slot->state == SLOT_DONE && slot->index == survey->next_handed &&
               slot->handed_taken < survey->sink_jobs;
  return ready ? slot : NULL;
}

static enum isw_status give_to_sink(const struct slot *slot, const struct isw_sink *sink, int job,
                                    struct isw_error *error) {
  struct isw_block block = {.index = slot->index,
                            .col = slot->col,
                            .row = slot->row,
                            .width = slot->width,
                            .height = slot->height,
                            .flags = slot->flags,
                            .bands = (const int16_t *const *)slot->bands,
                            .picks = (const uint8_t *const *)slot->picks,
                            .spans = (const int16_t *const *)slot->spans,
                            .job = job};
  return sink->take_block(sink->self, &block, error);
}

static void hand_over(struct survey *survey, struct slot *slot) {
  int job = slot->handed_taken++;
  g_mutex_unlock(&survey->mutex);
  struct isw_error error;
  enum isw_status status = give_to_sink(slot, survey->sink, job, &error);
  g_mutex_lock(&survey->mutex);
  if (status != ISW_OK) stop_survey(survey, status, &error);
  if (--slot->handed_open > 0) return;
  slot->state = SLOT_FREE;
  survey->next_handed++;
  isw_base_progress(survey->log, survey->next_handed - survey->first_block,
                    survey->end_block - survey->first_block);
  g_cond_broadcast(&survey->changed);
}

/* ---- the threads ---- */

static gpointer work_on_blocks(gpointer data) {
  struct survey *survey = data;
  struct bench bench = new_bench(survey);
  g_mutex_lock(&survey->mutex);
  while (survey->next_handed < survey->end_block) {
    stop_if_interrupted(survey);
    if (survey->stopping) break;
    struct slot *slot;
    if ((slot = next_done_slot(survey)) != NULL)
      hand_over(survey, slot);
    else if ((slot = next_free_slot(survey)) != NULL)
      read_block(survey, slot);
    else if ((slot = next_open_slot(survey)) != NULL)
      compute_rows(survey, slot, &bench);
    else
      g_cond_wait(&survey->changed, &survey->mutex);
  }
  g_mutex_unlock(&survey->mutex);
  free_bench(survey, &bench);
  return NULL;
}

static size_t slot_bytes(int n_plans, const struct isw_plan *const *plans) {
  size_t per_cell = (ISW_CELL_NORMALS + 1) * sizeof(float) + 1;
  for (int p = 0; p < n_plans; p++)
    per_cell += results_of(plans[p]) * ISW_CELL_BANDS * sizeof(int16_t) +
                (size_t)plans[p]->n_seasons * (ISW_SPAN_BANDS * sizeof(int16_t) + 1);
  return per_cell * ISW_BLOCK_SIZE * ISW_BLOCK_SIZE;
}

static int fitting_slots(int n_plans, const struct isw_plan *const *plans, int memory_MB) {
  size_t bytes = (size_t)(memory_MB > 0 ? memory_MB : DEFAULT_MEMORY_MB) << 20;
  return (int)CLAMP(bytes / slot_bytes(n_plans, plans), 1, SLOTS_MOST);
}

size_t isw_survey_expected_bytes(int n_plans, const struct isw_plan *const *plans,
                                 const struct isw_survey_options *options) {
  size_t workers = (size_t)MAX(options->threads, 1) * (size_t)n_plans;
  return (size_t)fitting_slots(n_plans, plans, options->memory_MB) * slot_bytes(n_plans, plans) +
         workers * sizeof(struct isw_growth_workspace);
}

static void free_slots(struct survey *survey) {
  for (int i = 0; i < survey->n_slots; i++) {
    struct slot *slot = &survey->slots[i];
    g_free(slot->normals);
    g_free(slot->year_spread_K);
    g_free(slot->flags);
    for (int p = 0; p < survey->n_plans; p++) {
      if (slot->bands != NULL) g_free(slot->bands[p]);
      if (slot->picks != NULL) g_free(slot->picks[p]);
      if (slot->spans != NULL) g_free(slot->spans[p]);
    }
    g_free(slot->bands);
    g_free(slot->picks);
    g_free(slot->spans);
  }
}

/* false: out of memory */
static bool make_slots(struct survey *survey) {
  size_t cells = ISW_BLOCK_SIZE * ISW_BLOCK_SIZE;
  for (int i = 0; i < survey->n_slots; i++) {
    struct slot *slot = &survey->slots[i];
    slot->state = SLOT_FREE;
    slot->normals = g_try_new(float, cells *ISW_CELL_NORMALS);
    slot->year_spread_K = g_try_new(float, cells);
    slot->flags = g_try_new(uint8_t, cells);
    slot->bands = g_new0(int16_t *, (size_t)survey->n_plans);
    slot->picks = g_new0(uint8_t *, (size_t)survey->n_plans);
    slot->spans = g_new0(int16_t *, (size_t)survey->n_plans);
    if (slot->normals == NULL || slot->year_spread_K == NULL || slot->flags == NULL) return false;
    for (int p = 0; p < survey->n_plans; p++) {
      const struct isw_plan *plan = survey->plans[p];
      slot->bands[p] = g_try_new(int16_t, results_of(plan) * cells * ISW_CELL_BANDS);
      slot->picks[p] = g_try_new(uint8_t, (size_t)plan->n_seasons * cells);
      slot->spans[p] = g_try_new(int16_t, (size_t)plan->n_seasons * cells * ISW_SPAN_BANDS);
      if (slot->bands[p] == NULL || slot->picks[p] == NULL || slot->spans[p] == NULL) return false;
    }
  }
  return true;
}

/* A thread that the system does not give is one fewer: the calling one is always there. */
static enum isw_status run_threads(struct survey *survey, int threads, struct isw_error *error) {
  GThread **others = g_new0(GThread *, (size_t)threads);
  int started = 0;
  while (started < threads - 1 &&
         (others[started] = g_thread_try_new("survey", work_on_blocks, survey, NULL)) != NULL)
    started++;
  work_on_blocks(survey);
  for (int i = 0; i < started; i++) g_thread_join(others[i]);
  g_free(others);
  if (survey->status != ISW_OK && error != NULL) *error = survey->error;
  return survey->status;
}

enum isw_status isw_survey_run(struct isw_climate *climate, int n_plans,
                               const struct isw_plan *const *plans,
                               const struct isw_survey_options *options,
                               const struct isw_sink *sink, struct isw_error *error) {
  struct survey survey = {.climate = climate,
                          .grid = isw_climate_grid(climate),
                          .n_plans = n_plans,
                          .plans = plans,
                          .sink = sink,
                          .sink_jobs = MAX(options->sink_jobs, 1),
                          .mask = options->mask,
                          .log = options->log,
                          .first_block = options->first_block};
  long long count =
      options->block_count > 0 ? options->block_count : isw_survey_count_blocks(survey.grid);
  survey.end_block = survey.first_block + count;
  survey.next_read = survey.next_handed = survey.first_block;
  survey.n_slots = fitting_slots(n_plans, plans, options->memory_MB);
  if (count < survey.n_slots) survey.n_slots = (int)MAX(count, 1);
  enum isw_status status;
  if (make_slots(&survey)) {
    g_mutex_init(&survey.mutex);
    g_cond_init(&survey.changed);
    isw_base_progress(options->log, 0, MAX(count, 1));
    status = run_threads(&survey, MAX(options->threads, 1), error);
    g_cond_clear(&survey.changed);
    g_mutex_clear(&survey.mutex);
  } else {
    status = isw_base_fail(error, ISW_RESOURCES,
                           "no memory for a block of %d x %d cells; choose fewer varieties or "
                           "seasons",
                           ISW_BLOCK_SIZE, ISW_BLOCK_SIZE);
  }
  free_slots(&survey);
  return status;
}

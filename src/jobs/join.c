/* The parts of a run to its results. */
#include <glib.h>
#include <string.h>

#include "base/interrupt.h"
#include "jobs/jobs.h"
#include "jobs/part_job.h"
#include "jobs/part_options.h"
#include "output/part_set.h"

/* What the parts say instead of a command line and its inputs. */
static enum isw_status take_over_run(struct isw_map_job *job, struct isw_options *options,
                                     const struct isw_part_set *parts, struct isw_error *error) {
  struct isw_part_run run;
  enum isw_status status = isw_output_read_part_run(parts->run, parts->paths[0], &run, error);
  if (status != ISW_OK) return status;
  if (strcmp(run.isosow, ISOSOW_VERSION) != 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: was made by isosow %s, this is %s; join with the version that "
                           "made the parts",
                           parts->paths[0], run.isosow, ISOSOW_VERSION);
  if (status == ISW_OK) status = isw_jobs_restore_options(&run, parts->paths[0], options, error);
  if (status == ISW_OK)
    status = isw_crop_parse_sheet(run.sheet_text, strlen(run.sheet_text), run.sheet_origin,
                                  &job->sheet, error);
  if (status == ISW_OK) status = isw_jobs_plan_sheet(options, job->sheet, &job->plan, error);
  if (status == ISW_OK) status = isw_jobs_make_page(options, job->sheet, &job->page, error);
  job->facts = run.facts;
  job->source_line = run.source_line;
  run.facts = (struct isw_run_facts){.n_inputs = 0};
  run.source_line = NULL;
  if (status == ISW_OK)
    status = isw_jobs_open_additions(options, &job->facts.grid, &job->log, &job->additions,
                                     &job->page, error);
  isw_output_clear_part_run(&run);
  return status;
}

/* Between the parts and the results: one thread unpacks blocks in order, all threads do a block's
 * jobs (a raster each), which is most of the work. */
struct replay {
  struct isw_map_job *job;
  long long blocks;
  GThreadPool *pool;
  const struct isw_block *block; /* being handed over */
  GMutex mutex;                  /* guards all below */
  GCond done;
  int open; /* jobs */
  enum isw_status status;
  struct isw_error error;
};

/* number: of the job, and 1, because 0 cannot be queued. */
static void do_job(gpointer number, gpointer data) {
  struct replay *replay = data;
  struct isw_block block = *replay->block;
  block.job = GPOINTER_TO_INT(number) - 1;
  struct isw_error error;
  enum isw_status status = isw_jobs_do_map_job(replay->job, &block, &error);
  g_mutex_lock(&replay->mutex);
  if (status != ISW_OK && replay->status == ISW_OK) {
    replay->status = status;
    replay->error = error;
  }
  if (--replay->open == 0) g_cond_signal(&replay->done);
  g_mutex_unlock(&replay->mutex);
}

static enum isw_status take_block(void *self, const struct isw_block *block,
                                  struct isw_error *error) {
  struct replay *replay = self;
  if (isw_base_interrupted_by())
    return isw_base_fail(error, ISW_INTERRUPTED,
                         "interrupted; nothing was changed in the results folder");
  replay->block = block;
  replay->open = isw_jobs_count_map_jobs(replay->job);
  for (int number = replay->open; number > 0; number--)
    g_thread_pool_push(replay->pool, GINT_TO_POINTER(number), NULL);
  g_mutex_lock(&replay->mutex);
  while (replay->open > 0) g_cond_wait(&replay->done, &replay->mutex);
  g_mutex_unlock(&replay->mutex);
  isw_base_progress(&replay->job->log, block->index + 1, replay->blocks);
  if (replay->status != ISW_OK && error != NULL) *error = replay->error;
  return replay->status;
}

static void add_counts(struct isw_climate_counts *sum, const struct isw_climate_counts *part) {
  sum->cells += part->cells;
  sum->valid += part->valid;
  sum->empty += part->empty;
  sum->partial += part->partial;
  if (sum->inverted == 0)
    g_strlcpy(sum->first_inverted, part->first_inverted, sizeof sum->first_inverted);
  sum->inverted += part->inverted;
}

static enum isw_status replay_part(struct replay *replay, const struct isw_part_set *parts,
                                   int number, struct isw_error *error) {
  const char *path = parts->paths[number - 1];
  int of = parts->n_parts;
  struct isw_map_job *job = replay->job;
  struct isw_part_reader *reader;
  enum isw_status status = isw_output_open_part(path, &reader, error);
  if (status != ISW_OK) return status;
  const struct isw_part *part = isw_output_part_share(reader);
  struct isw_part share = isw_output_share_blocks(replay->blocks, number, of);
  struct isw_part_shape shape = isw_jobs_part_shape(&job->facts.grid, job->plan);
  struct isw_sink sink = {replay, take_block};
  /* Looked at before; but parts are computed by many, at any time. */
  if (strcmp(isw_output_part_run(reader), parts->run) != 0)
    status =
        isw_base_fail(error, ISW_INPUT_FILE,
                      "%s: was replaced by a part of another run while parts were joined; join "
                      "again when no part is being computed",
                      path);
  else if (part->first_block != share.first_block || part->block_count != share.block_count)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s: holds other blocks than part %d of %d; compute it again", path,
                           number, of);
  if (status == ISW_OK) status = isw_output_replay_part(reader, &shape, &sink, error);
  if (status == ISW_OK) add_counts(&job->counts, isw_output_part_counts(reader));
  isw_output_close_part(reader);
  return status;
}

static enum isw_status replay_parts(struct isw_map_job *job, const struct isw_part_set *parts,
                                    struct isw_error *error) {
  struct replay replay = {.job = job, .blocks = isw_survey_count_blocks(&job->facts.grid)};
  replay.pool = g_thread_pool_new(do_job, &replay, job->options->threads, FALSE, NULL);
  g_mutex_init(&replay.mutex);
  g_cond_init(&replay.done);
  enum isw_status status = ISW_OK;
  for (int i = 0; i < parts->n_parts && status == ISW_OK; i++)
    status = replay_part(&replay, parts, i + 1, error);
  g_thread_pool_free(replay.pool, FALSE, TRUE);
  g_cond_clear(&replay.done);
  g_mutex_clear(&replay.mutex);
  return status;
}

static enum isw_status join_parts(struct isw_map_job *job, const struct isw_part_set *parts,
                                  struct isw_error *error) {
  enum isw_status status = isw_jobs_check_parts(&job->facts.grid, parts->n_parts, error);
  if (status == ISW_OK) status = isw_jobs_open_map_results(job, error);
  if (status == ISW_OK) status = replay_parts(job, parts, error);
  if (status == ISW_OK) status = isw_jobs_finish_map_rasters(job, error);
  if (status == ISW_OK) status = isw_jobs_commit_map(job, error);
  return status;
}

enum isw_status isw_jobs_join(const struct isw_request *request, struct isw_error *error) {
  /* The parts bring the options that decide results; what they make is a map run's. */
  struct isw_options options;
  isw_jobs_start_options(&options);
  options.threads = request->options->threads;
  options.quiet = request->options->quiet;
  options.overwrite = request->options->overwrite;
  options.out = g_strdup(request->words[0]);
  struct isw_map_job job;
  isw_jobs_start_map_job(&job, request, &options, ISW_COMMAND_MAP);
  struct isw_part_set parts = {.n_parts = 0};
  enum isw_status status = isw_output_find_parts(options.out, &parts, error);
  if (status == ISW_OK) status = take_over_run(&job, &options, &parts, error);
  if (status == ISW_OK) status = join_parts(&job, &parts, error);
  if (status == ISW_OK && !options.quiet) status = isw_jobs_answer_map_summary(&job, error);
  isw_output_clear_parts(&parts);
  isw_jobs_free_map_job(&job);
  isw_jobs_clear_options(&options);
  return status;
}

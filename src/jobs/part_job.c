#include "jobs/part_job.h"

#include <gdal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "jobs/part_options.h"
#include "output/part_set.h"

/* ---- which part ---- */

static bool read_number(const char *text, int *out) {
  gint64 number;
  if (text == NULL || !g_ascii_string_to_signed(text, 10, 0, ISW_PARTS_MAX, &number, NULL))
    return false;
  *out = (int)number;
  return true;
}

static enum isw_status ask_job_array(int *number, int *of, struct isw_error *error) {
  int id, first, last, count;
  if (!read_number(g_getenv("SLURM_ARRAY_TASK_ID"), &id) ||
      !read_number(g_getenv("SLURM_ARRAY_TASK_MIN"), &first) ||
      !read_number(g_getenv("SLURM_ARRAY_TASK_MAX"), &last) ||
      !read_number(g_getenv("SLURM_ARRAY_TASK_COUNT"), &count))
    return isw_base_fail(error, ISW_USAGE,
                         "--part auto: this is no task of a Slurm job array; say --part K/N");
  /* An array of the tasks to be run again does not know how many parts there are. */
  if (first > 1 || last - first + 1 != count)
    return isw_base_fail(error, ISW_USAGE,
                         "--part auto: the array's tasks are not 1 to N or 0 to N-1, so the "
                         "number of parts is not known; say --part K/N");
  *number = id - first + 1;
  *of = count;
  return ISW_OK;
}

enum isw_status isw_jobs_parse_part(const char *text, int *number, int *of,
                                    struct isw_error *error) {
  if (strcmp(text, "auto") == 0) return ask_job_array(number, of, error);
  char **words = g_strsplit(text, "/", 2);
  bool sound = g_strv_length(words) == 2 && read_number(words[0], number) &&
               read_number(words[1], of) && *number >= 1 && *number <= *of;
  g_strfreev(words);
  if (sound) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE,
                       "--part %s: is neither K/N with K from 1 to N and N up to %d, nor auto",
                       text, ISW_PARTS_MAX);
}

struct isw_part_shape isw_jobs_part_shape(const struct isw_grid *grid,
                                          const struct isw_plan *plan) {
  return (struct isw_part_shape){.grid_width = grid->width,
                                 .grid_height = grid->height,
                                 .n_results = plan->n_varieties * plan->n_seasons,
                                 .n_seasons = plan->n_seasons,
                                 .n_varieties = plan->sheet->n_varieties};
}

enum isw_status isw_jobs_check_parts(const struct isw_grid *grid, int of, struct isw_error *error) {
  long long blocks = isw_survey_count_blocks(grid);
  if (of <= blocks) return ISW_OK;
  return isw_base_fail(
      error, ISW_USAGE,
      "%d parts: a grid of %d x %d cells has only %lld block%s of %d x %d; ask for "
      "%lld part%s at most",
      of, grid->width, grid->height, blocks, blocks == 1 ? "" : "s", ISW_BLOCK_SIZE, ISW_BLOCK_SIZE,
      blocks, blocks == 1 ? "" : "s");
}

/* ---- what is there already ---- */

static char *describe_run(const struct isw_map_job *job) {
  GArray *options = isw_jobs_list_part_options(job->options);
  struct isw_part_run run = {.isosow = g_strdup(ISOSOW_VERSION),
                             .gdal = g_strdup(GDALVersionInfo("RELEASE_NAME")),
                             .facts = job->facts,
                             .source_line = g_strdup(job->source_line),
                             .sheet_origin = g_strdup(job->sheet->origin),
                             .sheet_text = g_strndup(job->sheet->text, job->sheet->text_size),
                             .n_options = (int)options->len,
                             .options = (void *)options->data};
  char *text = isw_output_write_part_run(&run);
  run.facts = (struct isw_run_facts){.n_inputs = 0}; /* the job's */
  g_array_free(options, FALSE);
  isw_output_clear_part_run(&run);
  return text;
}

static enum isw_status refuse_finished(const struct isw_map_job *job, struct isw_error *error) {
  char *record = g_build_filename(job->options->out, "run.json", NULL);
  bool finished = g_file_test(record, G_FILE_TEST_EXISTS);
  g_free(record);
  if (!finished || job->replace != ISW_REPLACE_NOTHING) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: results are there already (run.json)",
                       job->options->out);
}

/* *done: the part needs no computing. */
static enum isw_status look_at_existing(struct isw_map_job *job, const char *path,
                                        const struct isw_part *part, const char *run, bool *done,
                                        struct isw_error *error) {
  *done = false;
  if (job->replace != ISW_REPLACE_NOTHING || !g_file_test(path, G_FILE_TEST_EXISTS)) return ISW_OK;
  struct isw_part_reader *reader;
  struct isw_error cut;
  if (isw_output_open_part(path, &reader, &cut) != ISW_OK) {
    isw_base_notice(&job->log, "%s: is cut; computing it again", path);
    return ISW_OK;
  }
  const struct isw_part *there = isw_output_part_share(reader);
  char *difference = isw_output_compare_part_runs(run, isw_output_part_run(reader));
  *done = difference == NULL && there->number == part->number && there->of == part->of &&
          there->first_block == part->first_block && there->block_count == part->block_count;
  enum isw_status status = ISW_OK;
  if (*done)
    isw_base_notice(&job->log, "%s: is there already; nothing to do", path);
  else
    status = isw_base_fail(error, ISW_USAGE_EXISTS, "%s: is a part of another run (its %s differs)",
                           path, difference != NULL ? difference : "share");
  g_free(difference);
  isw_output_close_part(reader);
  return status;
}

/* ---- computing ---- */

static enum isw_status compute(struct isw_map_job *job, const char *folder,
                               const struct isw_part *part, const char *run,
                               struct isw_error *error) {
  struct isw_part_shape shape = isw_jobs_part_shape(isw_climate_grid(job->climate), job->plan);
  struct isw_part_writer *writer;
  enum isw_status status = isw_output_create_part(folder, part, &shape, run, &writer, error);
  if (status != ISW_OK) return status;
  const struct isw_plan *plans[] = {job->plan};
  struct isw_survey_options survey = {.threads = job->options->threads,
                                      .memory_MB = job->options->memory_MB,
                                      .first_block = part->first_block,
                                      .block_count = part->block_count,
                                      .mask = job->mask,
                                      .log = &job->log};
  struct isw_sink sink = {writer, isw_output_write_part_block};
  status = isw_survey_run(job->climate, 1, plans, &survey, &sink, error);
  /* Their checksums are in the part's head, taken before a block was read. */
  if (status == ISW_OK) status = isw_jobs_check_map_inputs(job, error);
  if (status != ISW_OK) {
    isw_output_drop_part(writer);
    return status;
  }
  struct isw_climate_counts counts = isw_climate_get_counts(job->climate);
  return isw_output_finish_part(writer, &counts, error);
}

enum isw_status isw_jobs_compute_part(struct isw_map_job *job, int number, int of,
                                      struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_grid(job->climate);
  enum isw_status status = isw_jobs_check_parts(grid, of, error);
  if (status == ISW_OK) status = refuse_finished(job, error);
  if (status == ISW_OK) status = isw_jobs_note_map_facts(job, error);
  if (status != ISW_OK) return status;
  struct isw_part part = isw_output_share_blocks(isw_survey_count_blocks(grid), number, of);
  char *run = describe_run(job), *folder = isw_output_parts_folder(job->options->out);
  char *name = isw_output_part_name(number, of), *path = g_build_filename(folder, name, NULL);
  bool done;
  status = look_at_existing(job, path, &part, run, &done, error);
  if (status == ISW_OK && !done) status = compute(job, folder, &part, run, error);
  if (status == ISW_OK && !done && !job->options->quiet) {
    GString *line = g_string_new(path);
    g_string_append_c(line, '\n');
    status = isw_jobs_answer_data(job->request, line, error);
    g_string_free(line, TRUE);
  }
  g_free(path);
  g_free(name);
  g_free(folder);
  g_free(run);
  return status;
}

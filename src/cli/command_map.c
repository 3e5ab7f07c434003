/* isosow map: windows for every cell of a grid, or of one part of it. */
#include <glib.h>

#include "cli/commands.h"
#include "cli/part_job.h"

static enum isw_status run_whole(struct isw_map_job *job, struct isw_error *error) {
  enum isw_status status = isw_cli_open_map_results(job, error);
  if (status != ISW_OK) return status;
  const struct isw_plan *plans[] = {job->plan};
  struct isw_survey_options survey = {.threads = job->options->threads,
                                      .memory_MB = job->options->memory_MB,
                                      .sink_jobs = isw_cli_count_map_jobs(job),
                                      .log = &job->log};
  struct isw_sink sink = {job, isw_cli_do_map_job};
  status = isw_survey_run(job->climate, 1, plans, &survey, &sink, error);
  if (status == ISW_OK) status = isw_cli_finish_map_rasters(job, error);
  if (status == ISW_OK) status = isw_cli_commit_map(job, error);
  if (status == ISW_OK && !job->options->quiet) isw_cli_print_map_summary(job);
  return status;
}

static enum isw_status run(struct isw_map_job *job, struct isw_error *error) {
  const char *part = job->options->part;
  bool resume = job->options->resume;
  int number = 0, of = 0;
  if (part != NULL && resume)
    return isw_base_fail(error, ISW_USAGE,
                         "--resume is for whole runs; a part that is there already is refused "
                         "without --overwrite");
  enum isw_status status = part != NULL ? isw_cli_parse_part(part, &number, &of, error) : ISW_OK;
  if (status == ISW_OK) status = isw_cli_open_map_inputs(job, error);
  bool done = false;
  if (status == ISW_OK && resume) status = isw_cli_resume_map(job, &done, error);
  if (status != ISW_OK || done) return status;
  return part != NULL ? isw_cli_compute_part(job, number, of, error) : run_whole(job, error);
}

static const struct isw_cli_command map_command = {
    ISW_COMMAND_MAP, "--tmin SRC --tmax SRC --crop SHEET --out DIR",
    "Sowing windows for every cell: a raster per variety and season, picks, printed maps.", 0, 0};

int isw_cli_command_map(int argc, char **argv) {
  char **typed = g_strdupv(argv);
  int n_typed = argc;
  struct isw_options options;
  isw_jobs_start_options(&options);
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_cli_parse(&map_command, &argc, &argv, &options, &error);
  struct isw_map_job job = {.options = &options,
                            .command = ISW_COMMAND_MAP,
                            .argc = n_typed,
                            .argv = (const char *const *)typed};
  isw_cli_start_map_job(&job);
  if (status == ISW_OK) status = run(&job, &error);
  isw_cli_free_map_job(&job);
  isw_jobs_clear_options(&options);
  g_strfreev(typed);
  return status == ISW_OK ? isw_base_exit_code(ISW_OK) : isw_cli_report("map", &error);
}

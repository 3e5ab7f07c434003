/* Windows for every cell of a grid, or of one part of it. */
#include <glib.h>

#include "jobs/jobs.h"
#include "jobs/part_job.h"

static enum isw_status run_whole(struct isw_map_job *job, struct isw_error *error) {
  enum isw_status status = isw_jobs_open_map_results(job, error);
  if (status != ISW_OK) return status;
  const struct isw_plan *one[] = {job->plan}, *const *plans = one;
  int n_plans = 1;
  if (job->opens != NULL) plans = isw_jobs_opens_plans(job->opens, &n_plans);
  struct isw_survey_options survey = {.threads = job->options->threads,
                                      .mask = job->mask,
                                      .memory_MB = job->options->memory_MB,
                                      .sink_jobs = isw_jobs_count_map_jobs(job),
                                      .log = &job->log};
  struct isw_sink sink = {job, isw_jobs_do_map_job};
  status = isw_survey_run(job->climate, n_plans, plans, &survey, &sink, error);
  if (status == ISW_OK) status = isw_jobs_finish_map_rasters(job, error);
  if (status == ISW_OK) status = isw_jobs_commit_map(job, error);
  if (status != ISW_OK || job->options->quiet) return status;
  return isw_jobs_answer_map_summary(job, error);
}

static enum isw_status run(struct isw_map_job *job, struct isw_error *error) {
  const char *part = job->options->part;
  bool resume = job->options->resume;
  int number = 0, of = 0;
  if (part != NULL && resume)
    return isw_base_fail(error, ISW_USAGE,
                         "--resume is for whole runs; a part that is there already is refused "
                         "without --overwrite");
  if (part != NULL && job->options->what_opens)
    return isw_base_fail(error, ISW_USAGE, "--what-opens is for whole runs; leave out --part");
  enum isw_status status = part != NULL ? isw_jobs_parse_part(part, &number, &of, error) : ISW_OK;
  if (status == ISW_OK) status = isw_jobs_open_map_inputs(job, error);
  bool done = false;
  if (status == ISW_OK && resume) status = isw_jobs_resume_map(job, &done, error);
  if (status != ISW_OK || done) return status;
  return part != NULL ? isw_jobs_compute_part(job, number, of, error) : run_whole(job, error);
}

enum isw_status isw_jobs_map(const struct isw_request *request, struct isw_error *error) {
  struct isw_map_job job;
  isw_jobs_start_map_job(&job, request, request->options, ISW_COMMAND_MAP);
  enum isw_status status = run(&job, error);
  isw_jobs_free_map_job(&job);
  return status;
}

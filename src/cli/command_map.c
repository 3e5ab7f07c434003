/* isosow map: windows for every cell of a grid, or of one part of it. */
#include <glib.h>

#include "cli/commands.h"
#include "cli/part_job.h"

struct map_options {
  struct isw_cli_options shared;
  struct isw_page_options pages;
  char *out, *part;
  gboolean overwrite, resume, cog;
};

static enum isw_status run_whole(struct isw_map_job *job, struct isw_error *error) {
  enum isw_status status = isw_cli_open_map_results(job, error);
  if (status != ISW_OK) return status;
  const struct isw_plan *plans[] = {job->plan};
  struct isw_survey_options survey = {.threads = job->shared->threads,
                                      .memory_MB = job->shared->memory_MB,
                                      .sink_jobs = isw_cli_count_map_jobs(job),
                                      .log = &job->log};
  struct isw_sink sink = {job, isw_cli_do_map_job};
  status = isw_survey_run(job->climate, 1, plans, &survey, &sink, error);
  if (status == ISW_OK) status = isw_cli_finish_map_rasters(job, error);
  if (status == ISW_OK) status = isw_cli_commit_map(job, error);
  if (status == ISW_OK && !job->shared->quiet) isw_cli_print_map_summary(job);
  return status;
}

static enum isw_status run(struct isw_map_job *job, const char *part, bool resume,
                           struct isw_error *error) {
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

static GOptionContext *make_context(struct map_options *options) {
  const GOptionEntry entries[] = {
      {"out", 0, 0, G_OPTION_ARG_FILENAME, &options->out, "Folder for the results", "DIR"},
      {"overwrite", 0, 0, G_OPTION_ARG_NONE, &options->overwrite,
       "Replace results of an earlier run", NULL},
      {"resume", 0, 0, G_OPTION_ARG_NONE, &options->resume,
       "Compute nothing if this very run's results are there, whole; else run", NULL},
      {"cog", 0, 0, G_OPTION_ARG_NONE, &options->cog,
       "Rasters as cloud-optimised GeoTIFFs, with overviews", NULL},
      {"part", 0, 0, G_OPTION_ARG_STRING, &options->part,
       "Compute only part K of N, for isosow join (auto: the Slurm array task's)", "K/N|auto"},
      G_OPTION_ENTRY_NULL};
  GOptionContext *context = isw_cli_new_context(
      "--tmin SRC --tmax SRC --crop SHEET --out DIR",
      "Sowing windows for every cell: a raster per variety and season, picks, printed maps.");
  isw_cli_add_crop_options(context, &options->shared);
  g_option_context_add_main_entries(context, entries, NULL);
  isw_cli_add_run_options(context, &options->shared);
  isw_cli_add_climate_options(context, &options->shared);
  isw_cli_add_condition_options(context, &options->shared);
  isw_cli_add_page_options(context, &options->pages);
  return context;
}

int isw_cli_command_map(int argc, char **argv) {
  char **typed = g_strdupv(argv);
  int n_typed = argc;
  struct map_options options = {.out = NULL};
  isw_cli_start_options(&options.shared);
  isw_cli_start_page_options(&options.pages);
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_cli_parse(make_context(&options), &argc, &argv, 0, 0, &error);
  struct isw_map_job job = {.shared = &options.shared,
                            .pages = &options.pages,
                            .out = options.out,
                            .overwrite = options.overwrite,
                            .cog = options.cog,
                            .command_name = "map",
                            .argc = n_typed,
                            .argv = (const char *const *)typed};
  isw_cli_start_map_job(&job);
  if (status == ISW_OK) status = run(&job, options.part, options.resume, &error);
  isw_cli_free_map_job(&job);
  isw_cli_free_options(&options.shared);
  isw_cli_free_page_options(&options.pages);
  g_free(options.out);
  g_free(options.part);
  g_strfreev(typed);
  return status == ISW_OK ? isw_base_exit_code(ISW_OK) : isw_cli_report("map", &error);
}

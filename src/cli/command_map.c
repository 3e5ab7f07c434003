/* isosow map: windows for every cell of a grid. */
#include <cpl_error.h>
#include <gdal.h>
#include <glib.h>
#include <stdio.h>

#include "cli/commands.h"
#include "cli/map_pages.h"
#include "cli/shared_options.h"
#include "output/run_record.h"
#include "output/window_rasters.h"

/* Tiles of all inputs' bands stay decoded while their block is read. */
static const GIntBig raster_cache_bytes = 64 << 20;

struct map_options {
  struct isw_cli_options shared;
  struct isw_page_options pages;
  char *out;
  gboolean overwrite;
};

struct map_job {
  const struct map_options *options;
  int argc;
  const char *const *argv;
  GTimer *timer;
  struct isw_log log;
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  enum isw_maps maps;
  struct isw_map_page page;
  struct isw_climate *climate;
  char *source_line;
  GPtrArray *names; /* of all results but run.json */
  struct isw_folder *folder;
  struct isw_window_rasters *rasters;
  struct isw_tally *tally;
};

static void list_names(struct map_job *job) {
  const struct isw_plan *plan = job->plan;
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      g_ptr_array_add(job->names, isw_output_result_name(plan, v, s, ".tif"));
  for (int s = 0; s < plan->n_seasons; s++)
    g_ptr_array_add(job->names, isw_output_pick_name(plan, s, ".tif"));
  isw_cli_list_pages(plan, job->maps, job->names);
}

static enum isw_status take_block(void *self, const struct isw_block *block,
                                  struct isw_error *error) {
  struct map_job *job = self;
  isw_survey_add_block(job->tally, block, 0);
  return isw_output_write_window_block(job->rasters, block, 0, error);
}

static enum isw_status compute_rasters(struct map_job *job, struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_grid(job->climate);
  uint8_t colours[256][4];
  isw_chart_pick_colours(job->plan, colours);
  enum isw_status status = isw_survey_new_tally(grid, job->plan, &job->tally, error);
  if (status == ISW_OK)
    status = isw_output_create_window_rasters(job->plan, grid, isw_climate_period(job->climate),
                                              (const uint8_t(*)[4])colours, job->folder,
                                              &job->rasters, error);
  if (status != ISW_OK) return status;
  const struct isw_plan *plans[] = {job->plan};
  struct isw_survey_options survey = {.threads = job->options->shared.threads,
                                      .memory_MB = job->options->shared.memory_MB,
                                      .log = &job->log};
  struct isw_sink sink = {job, take_block};
  status = isw_survey_run(job->climate, 1, plans, &survey, &sink, error);
  if (status != ISW_OK) return status;
  struct isw_climate_counts counts = isw_climate_get_counts(job->climate);
  status = isw_climate_check_counts(&counts, &job->log, error);
  if (status == ISW_OK && counts.valid == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "no cell of the grid has all 24 values; look at the inputs with isosow "
                           "inspect");
  return status == ISW_OK ? isw_output_close_window_rasters(job->rasters, error) : status;
}

static enum isw_status write_record(struct map_job *job, struct isw_error *error) {
  const struct isw_cli_options *shared = &job->options->shared;
  const struct isw_plan *plan = job->plan;
  char numbers[3][32];
  g_ascii_formatd(numbers[0], sizeof numbers[0], "%g", shared->good);
  g_ascii_formatd(numbers[1], sizeof numbers[1], "%g", shared->spread);
  g_ascii_formatd(numbers[2], sizeof numbers[2], "%g", shared->warmer);
  const struct isw_run_option options[] = {
      {"good", numbers[0]},
      {"spread", numbers[1]},
      {"warmer", numbers[2]},
      {"grown-under", shared->grown_under != NULL ? shared->grown_under : "open ground"},
      {"start", shared->start != NULL ? shared->start : "as the seasons say"},
      {"hemisphere", shared->hemisphere != NULL ? shared->hemisphere : "auto"},
  };
  GArray *windows = g_array_new(FALSE, FALSE, sizeof(struct isw_run_window_count));
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      struct isw_run_window_count count = {
          plan->sheet->varieties[plan->varieties[v]].name,
          plan->sheet->seasons[plan->seasons[s]].name,
          isw_survey_result_tally(job->tally, isw_growth_result_index(plan, v, s))
              ->cells_with_window};
      g_array_append_val(windows, count);
    }
  }
  struct isw_run_record record = {.command_name = "map",
                                  .argc = job->argc,
                                  .argv = job->argv,
                                  .climate = job->climate,
                                  .sheet = job->sheet,
                                  .n_options = G_N_ELEMENTS(options),
                                  .options = options,
                                  .counts = isw_climate_get_counts(job->climate),
                                  .n_window_counts = (int)windows->len,
                                  .window_counts = (const void *)windows->data,
                                  .n_results = (int)job->names->len,
                                  .results = (const char *const *)job->names->pdata,
                                  .threads = shared->threads,
                                  .wall_seconds = g_timer_elapsed(job->timer, NULL)};
  enum isw_status status = isw_output_write_run_record(&record, job->folder, error);
  g_array_unref(windows);
  return status;
}

static enum isw_status open_inputs(struct map_job *job, struct isw_error *error) {
  const struct map_options *options = job->options;
  if (options->out == NULL)
    return isw_base_fail(error, ISW_USAGE, "--out is missing; name a folder for the results");
  if (options->shared.threads < 1)
    return isw_base_fail(error, ISW_USAGE, "--threads %d: must be 1 or more",
                         options->shared.threads);
  enum isw_status status = isw_cli_make_plan(&options->shared, &job->sheet, &job->plan, error);
  if (status == ISW_OK)
    status = isw_cli_make_page(&options->pages, job->sheet, &job->maps, &job->page, error);
  struct isw_climate_request request;
  if (status == ISW_OK) status = isw_cli_make_climate_request(&options->shared, &request, error);
  if (status == ISW_OK) status = isw_climate_open(&request, &job->log, &job->climate, error);
  return status;
}

static enum isw_status run_job(struct map_job *job, struct isw_error *error) {
  GDALSetCacheMax64(raster_cache_bytes);
  enum isw_status status = open_inputs(job, error);
  if (status != ISW_OK) return status;
  list_names(job);
  status = isw_output_open_folder(job->options->out, job->options->overwrite, (int)job->names->len,
                                  (const char *const *)job->names->pdata, &job->log, &job->folder,
                                  error);
  if (status == ISW_OK) status = compute_rasters(job, error);
  if (status != ISW_OK) return status;
  job->source_line = isw_cli_source_line(&job->options->shared, job->climate);
  job->page.source_line = job->source_line;
  job->page.south = 2 * isw_survey_south_cells(job->tally) > isw_survey_valid_cells(job->tally);
  status = isw_cli_draw_pages(job->plan, job->maps, &job->page, job->tally,
                              job->options->shared.threads, job->folder, &job->log, error);
  if (status == ISW_OK) status = write_record(job, error);
  if (status == ISW_OK) status = isw_output_commit_folder(job->folder, "run.json", error);
  return status;
}

static void free_job(struct map_job *job) {
  isw_output_free_window_rasters(job->rasters);
  isw_output_free_folder(job->folder);
  isw_survey_free_tally(job->tally);
  isw_climate_free(job->climate);
  g_free(job->plan);
  isw_crop_free_sheet(job->sheet);
  g_free(job->source_line);
  g_ptr_array_unref(job->names);
  g_timer_destroy(job->timer);
}

static void print_summary(const struct map_job *job) {
  struct isw_climate_counts counts = isw_climate_get_counts(job->climate);
  printf("%s: %u results, %lld of %lld cells with climate data\n", job->options->out,
         job->names->len + 1, counts.valid, counts.cells);
  const struct isw_plan *plan = job->plan;
  double valid_m2 = isw_survey_valid_m2(job->tally);
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      const struct isw_result_tally *tally =
          isw_survey_result_tally(job->tally, isw_growth_result_index(plan, v, s));
      double share = valid_m2 > 0.0 ? 100.0 * (1.0 - tally->no_window_m2 / valid_m2) : 0.0;
      printf("  %-24s %-10s window on %5.1f %% of the area\n",
             plan->sheet->varieties[plan->varieties[v]].name,
             plan->sheet->seasons[plan->seasons[s]].name, share);
    }
  }
}

int isw_cli_command_map(int argc, char **argv) {
  char **typed = g_strdupv(argv);
  int n_typed = argc;
  struct map_options options = {.out = NULL};
  isw_cli_start_options(&options.shared);
  isw_cli_start_page_options(&options.pages);
  const GOptionEntry entries[] = {
      {"out", 0, 0, G_OPTION_ARG_FILENAME, &options.out, "Folder for the results", "DIR"},
      {"overwrite", 0, 0, G_OPTION_ARG_NONE, &options.overwrite,
       "Replace results of an earlier run", NULL},
      G_OPTION_ENTRY_NULL};
  GOptionContext *context = isw_cli_new_context(
      "--tmin SRC --tmax SRC --crop SHEET --out DIR",
      "Sowing windows for every cell: a raster per variety and season, picks, printed maps.");
  isw_cli_add_crop_options(context, &options.shared);
  g_option_context_add_main_entries(context, entries, NULL);
  isw_cli_add_run_options(context, &options.shared);
  isw_cli_add_climate_options(context, &options.shared);
  isw_cli_add_condition_options(context, &options.shared);
  isw_cli_add_page_options(context, &options.pages);

  struct isw_error error = {.status = ISW_OK};
  struct map_job job = {.options = &options,
                        .argc = n_typed,
                        .argv = (const char *const *)typed,
                        .timer = g_timer_new(),
                        .names = g_ptr_array_new_with_free_func(g_free)};
  enum isw_status status = isw_cli_parse(context, &argc, &argv, 0, 0, &error);
  job.log = isw_base_log_make(stderr, options.shared.quiet);
  if (status == ISW_OK) status = run_job(&job, &error);
  if (status == ISW_OK && !options.shared.quiet) print_summary(&job);
  free_job(&job);
  isw_cli_free_options(&options.shared);
  isw_cli_free_page_options(&options.pages);
  g_free(options.out);
  g_strfreev(typed);
  return status == ISW_OK ? isw_base_exit_code(ISW_OK) : isw_cli_report("map", &error);
}

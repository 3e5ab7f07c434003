#include "jobs/normals_grid.h"

#include <gdal.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

#include "growth/month_sums.h"
#include "jobs/input_files.h"
#include "jobs/record_inputs.h"
#include "jobs/run_inputs.h"
#include "output/normals_record.h"
#include "output/series_rasters.h"

/* Tiles of a year's bands, while a region's months are read from them. */
static const GIntBig raster_cache_bytes = 64 << 20;
enum { RESULTS_MOST = 4 };

/* What netCDF unpacks, megabytes at a time for every layer of every year, glibc would after the
 * first one take from its heap, and leave holes there that grow with the years: twice the memory
 * after sixty. */
static void keep_memory_flat(void) {
#ifdef __GLIBC__
  enum { MAPPED_FROM_BYTES = 128 << 10 }; /* glibc starts so, and then moves it */
  mallopt(M_MMAP_THRESHOLD, MAPPED_FROM_BYTES);
#endif
}

struct normals_job {
  const struct isw_request *request;
  const struct isw_options *options; /* the request's */
  struct isw_log log;
  GTimer *timer;
  struct isw_series *tmin, *tmax;
  struct isw_record_request rules;
  char *period;
  bool spread; /* there are years enough */
  struct isw_input_watch *watch;
  struct isw_folder *folder;
  struct isw_series_rasters *rasters;
  struct isw_series_counts counts;
  int n_results;
  const char *results[RESULTS_MOST];
};

static enum isw_status open_series(struct normals_job *job, const char *source,
                                   struct isw_series **out, struct isw_error *error) {
  const struct isw_options *options = job->options;
  const struct isw_series_request request = {.source = source,
                                             .variable = options->variable,
                                             .crs = options->crs,
                                             .unit = isw_jobs_chosen_unit(options),
                                             .from_year = options->from_year,
                                             .to_year = options->to_year};
  enum isw_status status = isw_climate_open_series(&request, &job->log, out, error);
  if (status == ISW_OK) isw_base_notice(&job->log, "%s", isw_climate_series_understood(*out));
  return status;
}

static void find_rules(struct normals_job *job) {
  const struct isw_options *options = job->options;
  const int *years, n = isw_climate_series_years(job->tmin, &years);
  job->rules = (struct isw_record_request){
      .from_year = options->from_year > 0 ? options->from_year : years[0],
      .to_year = options->to_year > 0 ? options->to_year : years[n - 1],
      .least_percent = options->least_percent,
      .from_month = options->months.from_month,
      .to_month = options->months.to_month};
  job->period = isw_jobs_record_period(&job->rules);
  job->spread = n >= ISW_SPREAD_YEARS_LEAST;
}

/* Too few years for the completeness that is asked for leave every cell without data. */
static enum isw_status check_years(const struct normals_job *job, struct isw_error *error) {
  const int *years, n = isw_climate_series_years(job->tmin, &years);
  const int period = isw_survey_period_years(&job->rules);
  const int needed = isw_growth_years_needed(period, job->rules.least_percent);
  if (n >= needed) return ISW_OK;
  return isw_base_fail(
      error, ISW_INPUT_CONTENT,
      "%s: %d of the %d years %s are there, and %d are needed (--least %d)\nChoose "
      "other years with --from and --to, or ask for fewer with --least",
      isw_climate_series_name(job->tmin), n, period, job->period, needed, job->rules.least_percent);
}

static enum isw_status open_inputs(struct normals_job *job, struct isw_error *error) {
  const struct isw_options *options = job->options;
  if (options->tmin == NULL || options->tmax == NULL)
    return isw_base_fail(error, ISW_USAGE, "%s is missing\nGive --tmin and --tmax, or --record",
                         options->tmin == NULL ? "--tmin" : "--tmax");
  if (options->out == NULL) return isw_jobs_refuse_without_out(error);
  if (options->from_year > 0 && options->to_year > 0 && options->from_year > options->to_year)
    return isw_base_fail(error, ISW_USAGE, "from %d to %d there is no year", options->from_year,
                         options->to_year);
  enum isw_status status = open_series(job, options->tmin, &job->tmin, error);
  if (status == ISW_OK) status = open_series(job, options->tmax, &job->tmax, error);
  if (status == ISW_OK) status = isw_survey_check_series(job->tmin, job->tmax, error);
  if (status != ISW_OK) return status;
  find_rules(job);
  return check_years(job, error);
}

static void list_files(const struct normals_job *job, GPtrArray *paths) {
  const struct isw_series *const sources[] = {job->tmin, job->tmax};
  for (size_t s = 0; s < G_N_ELEMENTS(sources); s++)
    for (int i = 0; isw_climate_series_file(sources[s], i) != NULL; i++)
      g_ptr_array_add(paths, g_strdup(isw_climate_series_file(sources[s], i)));
}

static enum isw_status open_results(struct normals_job *job, struct isw_error *error) {
  job->n_results = isw_output_series_raster_names(job->spread, job->results);
  job->results[job->n_results++] = isw_output_normals_name;
  GPtrArray *inputs = g_ptr_array_new_with_free_func(g_free);
  list_files(job, inputs);
  job->watch = isw_output_watch_inputs((int)inputs->len, (const char *const *)inputs->pdata);
  g_ptr_array_unref(inputs);
  inputs = isw_jobs_list_input_paths(job->request, job->options, NULL);
  list_files(job, inputs);
  const struct isw_earlier_request there = {
      .dir = job->options->out,
      .replace = job->options->overwrite ? ISW_REPLACE_RESULTS : ISW_REPLACE_NOTHING,
      .n_names = job->n_results,
      .names = job->results,
      .n_inputs = (int)inputs->len,
      .inputs = (const char *const *)inputs->pdata,
      .threads = job->options->threads};
  enum isw_status status = isw_output_open_folder(&there, &job->log, &job->folder, error);
  g_ptr_array_unref(inputs);
  if (status != ISW_OK) return status;
  return isw_output_start_series_rasters(job->folder, isw_climate_series_grid(job->tmin),
                                         job->period, job->spread, &job->rasters, error);
}

static void warn_of_counts(struct normals_job *job) {
  const struct isw_series_counts *counts = &job->counts;
  if (counts->partial > 0)
    isw_base_warn(
        &job->log,
        "%lld of %lld cells have normals for some months only, the first at column %d, row "
        "%d: a month needs %d of the %d years (--least %d)",
        counts->partial, counts->cells, counts->first_col, counts->first_row, counts->needed,
        isw_survey_period_years(&job->rules), job->rules.least_percent);
  if (!job->spread)
    isw_base_warn(&job->log, "fewer than %d years: normals, but no year_spread.tif",
                  ISW_SPREAD_YEARS_LEAST);
  else if (counts->with_spread < counts->whole)
    isw_base_warn(&job->log,
                  "%lld of %lld cells with normals have no year spread: fewer than %d years "
                  "of some month",
                  counts->whole - counts->with_spread, counts->whole, ISW_SPREAD_YEARS_LEAST);
}

static enum isw_status write_record(struct normals_job *job, struct isw_error *error) {
  const struct isw_normals_record record = {.tmin = job->tmin,
                                            .tmax = job->tmax,
                                            .rules = &job->rules,
                                            .counts = &job->counts,
                                            .argc = job->request->argc,
                                            .argv = job->request->argv,
                                            .n_results = job->n_results,
                                            .results = job->results,
                                            .threads = job->options->threads,
                                            .wall_seconds = g_timer_elapsed(job->timer, NULL)};
  return isw_output_write_normals_record(&record, job->folder, error);
}

static enum isw_status answer_summary(const struct normals_job *job, struct isw_error *error) {
  GString *text = g_string_new(NULL);
  const char *out = job->options->out;
  g_string_printf(text, "%s: %s %s of %d years, %lld of %lld cells with normals\n", out,
                  isw_survey_is_standard_period(&job->rules) ? "standard normals" : "normals",
                  job->period, job->counts.n_years, job->counts.whole, job->counts.cells);
  g_string_append_printf(text, "isosow map --tmin %s/tmin.tif --tmax %s/tmax.tif", out, out);
  if (job->spread) g_string_append_printf(text, " --year-spread %s/year_spread.tif", out);
  g_string_append(text, " --crop SHEET --out DIR\n");
  enum isw_status status = isw_jobs_answer_string(job->request, text, error);
  g_string_free(text, TRUE);
  return status;
}

static enum isw_status run_job(struct normals_job *job, struct isw_error *error) {
  GDALSetCacheMax64(raster_cache_bytes);
  keep_memory_flat();
  enum isw_status status = open_inputs(job, error);
  if (status == ISW_OK) status = open_results(job, error);
  if (status != ISW_OK) return status;
  const struct isw_series_normals_request series = {
      .tmin = job->tmin,
      .tmax = job->tmax,
      .rules = &job->rules,
      .hemisphere = (enum isw_hemisphere)job->options->hemisphere,
      .threads = job->options->threads,
      .memory_MB = job->options->memory_MB,
      .log = &job->log};
  status = isw_survey_run_series(&series, isw_output_take_series_block, job->rasters, &job->counts,
                                 error);
  if (status == ISW_OK && job->counts.whole == 0)
    status =
        isw_base_fail(error, ISW_INPUT_CONTENT,
                      "no cell has %d of the %d years for every month\nChoose other years with "
                      "--from and --to, or ask for fewer with --least",
                      job->counts.needed, isw_survey_period_years(&job->rules));
  if (status == ISW_OK) status = isw_output_finish_series_rasters(job->rasters, error);
  if (status == ISW_OK) status = write_record(job, error);
  if (status == ISW_OK) status = isw_output_check_inputs(job->watch, error);
  if (status == ISW_OK) status = isw_output_commit_folder(job->folder, error);
  if (status != ISW_OK) return status;
  warn_of_counts(job);
  return answer_summary(job, error);
}

enum isw_status isw_jobs_make_grid_normals(const struct isw_request *request,
                                           struct isw_error *error) {
  struct normals_job job = {
      .request = request, .options = request->options, .log = request->log, .timer = g_timer_new()};
  enum isw_status status = run_job(&job, error);
  isw_output_free_series_rasters(job.rasters);
  isw_output_free_folder(job.folder);
  isw_output_free_watch(job.watch);
  isw_climate_free_series(job.tmin);
  isw_climate_free_series(job.tmax);
  g_free(job.period);
  g_timer_destroy(job.timer);
  return status;
}

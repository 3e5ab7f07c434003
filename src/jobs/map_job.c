#include "jobs/map_job.h"

#include <gdal.h>
#include <stdio.h>
#include <string.h>

#include "chart/drawn_with.h"
#include "chart/palette.h"
#include "chart/raster_style.h"
#include "jobs/input_files.h"
#include "jobs/lines_job.h"
#include "jobs/part_options.h"
#include "jobs/publish.h"
#include "output/cog.h"
#include "output/run_match.h"
#include "survey/area_share.h"
#include "words/say.h"
#include "words/shares.h"

/* Tiles of all inputs' bands stay decoded while their block is read. */
static const GIntBig raster_cache_bytes = 64 << 20;

void isw_jobs_start_map_job(struct isw_map_job *job, const struct isw_request *request,
                            const struct isw_options *options, enum isw_command command) {
  *job = (struct isw_map_job){
      .request = request,
      .options = options,
      .command = command,
      .replace = options->overwrite ? ISW_REPLACE_RESULTS : ISW_REPLACE_NOTHING,
      .log = request->log,
      .timer = g_timer_new(),
      .names = g_ptr_array_new_with_free_func(g_free)};
  GDALSetCacheMax64(raster_cache_bytes);
}

void isw_jobs_free_map_job(struct isw_map_job *job) {
  for (int i = 0; i < job->n_others; i++) {
    isw_output_free_window_rasters(job->others[i].rasters);
    isw_survey_free_tally(job->others[i].tally);
    g_free(job->others[i].plan);
    isw_crop_free_sheet(job->others[i].sheet);
  }
  g_free(job->others);
  isw_output_free_window_rasters(job->rasters);
  isw_jobs_free_opens(job->opens);
  isw_output_free_folder(job->folder);
  isw_survey_free_tally(job->tally);
  isw_climate_free(job->climate);
  isw_output_free_watch(job->watch);
  isw_jobs_clear_additions(&job->additions);
  isw_regions_free_mask(job->mask);
  g_free(job->mask_line);
  isw_output_clear_facts(&job->facts);
  g_free(job->plan);
  isw_crop_free_sheet(job->sheet);
  g_free(job->source_line);
  g_ptr_array_unref(job->names);
  g_timer_destroy(job->timer);
}

/* The first crop is the job's own, the rest are others. */
static void take_plans(struct isw_map_job *job, struct isw_crop_plans *crops) {
  job->sheet = crops->sheets[0];
  job->plan = crops->plans[0];
  job->n_others = crops->count - 1;
  job->others = g_new0(struct isw_map_crop, (gsize)job->n_others + 1);
  job->plan->among_others = job->n_others > 0;
  for (int i = 0; i < job->n_others; i++) {
    job->others[i].sheet = crops->sheets[i + 1];
    job->others[i].plan = crops->plans[i + 1];
    job->others[i].plan->among_others = true;
  }
  crops->count = 0; /* they are the job's now */
}

static void list_plan_names(const struct isw_map_job *job, const struct isw_plan *plan,
                            GPtrArray *names);

/* "a" with the type "b-c", and "a-b" with the type "c". */
static enum isw_status refuse_one_name(const struct isw_map_job *job, struct isw_error *error) {
  GHashTable *taken = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  enum isw_status status = ISW_OK;
  for (int i = -1; i < job->n_others && status == ISW_OK; i++) {
    const struct isw_plan *plan = i < 0 ? job->plan : job->others[i].plan;
    GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
    list_plan_names(job, plan, names);
    for (guint k = 0; k < names->len && status == ISW_OK; k++)
      if (!g_hash_table_add(taken, g_strdup(g_ptr_array_index(names, k))))
        status = isw_base_fail(error, ISW_USAGE,
                               "two of the crops would both write %s; rename the crop of one sheet",
                               (const char *)g_ptr_array_index(names, k));
    g_ptr_array_unref(names);
  }
  g_hash_table_destroy(taken);
  return status;
}

static enum isw_status make_plans(struct isw_map_job *job, struct isw_error *error) {
  if (job->command != ISW_COMMAND_GUIDE)
    return isw_jobs_make_plan(job->options, &job->sheet, &job->plan, error);
  struct isw_crop_plans crops;
  enum isw_status status = isw_jobs_make_plans(job->options, &crops, error);
  if (status == ISW_OK) take_plans(job, &crops);
  isw_jobs_free_plans(&crops);
  return status == ISW_OK ? refuse_one_name(job, error) : status;
}

struct isw_sheet **isw_jobs_list_sheets(const struct isw_map_job *job) {
  struct isw_sheet **sheets = g_new(struct isw_sheet *, (gsize)job->n_others + 1);
  sheets[0] = job->sheet;
  for (int i = 0; i < job->n_others; i++) sheets[i + 1] = job->others[i].sheet;
  return sheets;
}

enum isw_status isw_jobs_open_map_inputs(struct isw_map_job *job, struct isw_error *error) {
  const struct isw_options *options = job->options;
  if (options->out == NULL && job->command != ISW_COMMAND_PARTS)
    return isw_jobs_refuse_without_out(error);
  enum isw_status status = make_plans(job, error);
  if (status == ISW_OK) {
    struct isw_sheet **sheets = isw_jobs_list_sheets(job);
    status = isw_jobs_name_as_read(options, 1 + job->n_others, sheets, error);
    g_free(sheets);
  }
  if (status == ISW_OK) status = isw_jobs_make_page(options, job->sheet, &job->page, error);
  if (status == ISW_OK)
    status = isw_jobs_open_watched_climate(options, &job->log, &job->climate, &job->watch, error);
  if (status == ISW_OK) job->source_line = isw_jobs_source_line(options, job->climate);
  if (status == ISW_OK)
    status = isw_jobs_open_additions(options, isw_climate_grid(job->climate), &job->log,
                                     &job->additions, &job->page, error);
  if (status == ISW_OK && options->mask != NULL)
    status = isw_jobs_name_key("mask",
                               isw_regions_open_mask(options->mask, isw_climate_grid(job->climate),
                                                     &job->log, &job->mask, error),
                               error);
  return status;
}

/* "standard-spring.sld" of "standard-spring.tif". New. */
static char *style_name(const char *raster) {
  char *stem = g_strndup(raster, strlen(raster) - strlen(".tif"));
  char *name = g_strconcat(stem, ".sld", NULL);
  g_free(stem);
  return name;
}

/* Of the rasters from `first` on. */
static void list_styles(GPtrArray *names, guint first) {
  guint n = names->len;
  for (guint i = first; i < n; i++)
    if (g_str_has_suffix(names->pdata[i], ".tif"))
      g_ptr_array_add(names, style_name(names->pdata[i]));
}

/* Whose raster it is; *kind: the name behind the crop, where it stands before. Of crops a and a-b
 * the longer name counts. */
static const struct isw_plan *plan_of(const struct isw_map_job *job, const char *raster,
                                      const char **kind) {
  const struct isw_plan *found = job->plan;
  *kind = raster;
  for (int i = -1; i < job->n_others && job->plan->among_others; i++) {
    const struct isw_plan *plan = i < 0 ? job->plan : job->others[i].plan;
    const size_t n = strlen(plan->sheet->crop);
    if (strncmp(raster, plan->sheet->crop, n) != 0 || raster[n] != '-' || raster + n + 1 <= *kind)
      continue;
    found = plan;
    *kind = raster + n + 1;
  }
  return found;
}

static enum isw_status write_style(const struct isw_map_job *job, const char *raster,
                                   struct isw_error *error) {
  enum { BEST_SOW = 2, SPAN_FROM = 1 };
  const char *kind;
  const struct isw_plan *plan = plan_of(job, raster, &kind);
  char *name = style_name(raster);
  char *title = g_strndup(raster, strlen(raster) - strlen(".tif"));
  const char *path = isw_output_temporary_path(job->folder, name);
  enum isw_status status =
      g_str_has_prefix(kind, "pick-")   ? isw_chart_write_pick_style(path, title, plan, error)
      : g_str_has_prefix(kind, "span-") ? isw_chart_write_date_style(path, title, SPAN_FROM, error)
                                        : isw_chart_write_date_style(path, title, BEST_SOW, error);
  g_free(title);
  g_free(name);
  return status;
}

static enum isw_status write_styles(const struct isw_map_job *job, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (guint i = 0; i < job->names->len && status == ISW_OK && job->options->styles; i++)
    if (g_str_has_suffix(job->names->pdata[i], ".tif") &&
        !g_str_has_prefix(job->names->pdata[i], "opens-"))
      status = write_style(job, job->names->pdata[i], error);
  return status;
}

static void list_plan_names(const struct isw_map_job *job, const struct isw_plan *plan,
                            GPtrArray *names) {
  const guint first = names->len;
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      g_ptr_array_add(names, isw_output_result_name(plan, v, s, ".tif"));
  for (int s = 0; s < plan->n_seasons; s++)
    g_ptr_array_add(names, isw_output_pick_name(plan, s, ".tif"));
  for (int s = 0; s < plan->n_seasons; s++)
    g_ptr_array_add(names, isw_output_span_name(plan, s, ".tif"));
  if (job->options->styles) list_styles(names, first);
  if (job->options->what_opens) /* without styles: their colours are inside */
    isw_jobs_list_opens(plan, job->options->maps != ISW_MAPS_NONE, names);
  isw_jobs_list_pages(plan, job->options->maps, names);
}

static void list_names(const struct isw_map_job *job, GPtrArray *names) {
  list_plan_names(job, job->plan, names);
  for (int i = 0; i < job->n_others; i++) list_plan_names(job, job->others[i].plan, names);
  if (job->options->lines) g_ptr_array_add(names, g_strdup(isw_jobs_lines_name));
}

static enum isw_status open_others(struct isw_map_job *job, const struct isw_grid *grid,
                                   const char *period, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (int i = 0; i < job->n_others && status == ISW_OK; i++) {
    struct isw_map_crop *crop = &job->others[i];
    uint8_t colours[256][4];
    isw_chart_pick_colours(crop->plan, colours);
    status = isw_survey_new_tally(grid, crop->plan, &crop->tally, error);
    if (status == ISW_OK)
      status = isw_output_create_window_rasters(
          crop->plan, grid, period, (const uint8_t(*)[4])colours, job->options->zero_as_nodata,
          job->folder, &crop->rasters, error);
  }
  return status;
}

enum isw_status isw_jobs_open_map_results(struct isw_map_job *job, struct isw_error *error) {
  list_names(job, job->names);
  GPtrArray *inputs = isw_jobs_list_input_paths(job->request, job->options, job->climate);
  struct isw_earlier_request there = {.dir = job->options->out,
                                      .replace = job->replace,
                                      .n_names = (int)job->names->len,
                                      .names = (const char *const *)job->names->pdata,
                                      .n_inputs = (int)inputs->len,
                                      .inputs = (const char *const *)inputs->pdata,
                                      .threads = job->options->threads};
  enum isw_status status = isw_output_open_folder(&there, &job->log, &job->folder, error);
  g_ptr_array_unref(inputs);
  if (status != ISW_OK) return status;
  const struct isw_grid *grid =
      job->climate != NULL ? isw_climate_grid(job->climate) : &job->facts.grid;
  const char *period = job->climate != NULL ? isw_climate_period(job->climate) : job->facts.period;
  uint8_t colours[256][4];
  isw_chart_pick_colours(job->plan, colours);
  status = isw_survey_new_tally(grid, job->plan, &job->tally, error);
  if (status == ISW_OK)
    status = isw_output_create_window_rasters(job->plan, grid, period, (const uint8_t(*)[4])colours,
                                              job->options->zero_as_nodata, job->folder,
                                              &job->rasters, error);
  if (status == ISW_OK) status = open_others(job, grid, period, error);
  if (status == ISW_OK && job->options->what_opens)
    status = isw_jobs_new_opens(job->plan, grid, period, job->folder, &job->opens, error);
  return status;
}

enum isw_status isw_jobs_take_map_block(void *self, const struct isw_block *block,
                                        struct isw_error *error) {
  struct isw_map_job *job = self;
  isw_survey_add_block(job->tally, block, 0);
  enum isw_status status = isw_output_write_window_block(job->rasters, block, 0, error);
  for (int i = 0; i < job->n_others && status == ISW_OK; i++) {
    isw_survey_add_block(job->others[i].tally, block, 1 + i);
    status = isw_output_write_window_block(job->others[i].rasters, block, 1 + i, error);
  }
  return status;
}

/* The tally is one more job beside the rasters; it comes first, it takes longest. */
int isw_jobs_count_map_jobs(const struct isw_map_job *job) {
  return 1 + isw_output_count_window_jobs(job->rasters) +
         (job->opens != NULL ? job->plan->n_seasons : 0);
}

enum isw_status isw_jobs_do_map_job(void *self, const struct isw_block *block,
                                    struct isw_error *error) {
  struct isw_map_job *job = self;
  const int season = block->job - 1 - isw_output_count_window_jobs(job->rasters);
  if (season >= 0) return isw_jobs_do_opens_job(job->opens, block, season, error);
  if (block->job > 0)
    return isw_output_do_window_job(job->rasters, block, 0, block->job - 1, error);
  isw_survey_add_block(job->tally, block, 0);
  return ISW_OK;
}

static enum isw_status rewrite_as_cog(struct isw_map_job *job, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (guint i = 0; i < job->names->len && status == ISW_OK; i++) {
    const char *name = g_ptr_array_index(job->names, i);
    if (g_str_has_suffix(name, ".tif"))
      status = isw_output_make_cog(isw_output_temporary_path(job->folder, name), error);
  }
  return status;
}

/* The tally has the cells that count; the climate's counts, all that have data. */
static enum isw_status say_what_counts(struct isw_map_job *job, struct isw_error *error) {
  if (job->options->mask == NULL) return ISW_OK;
  long long kept = isw_survey_valid_cells(job->tally);
  if (kept == 0)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "mask %s: no cell with climate data counts; does it hold 1 where it should, "
        "and lie in the same place?",
        job->options->mask);
  char *name = g_path_get_basename(job->options->mask), *text = g_utf8_make_valid(name, -1);
  char share[ISW_SHARE_SIZE];
  isw_words_format_share((double)kept, (double)job->counts.valid, share);
  const char *words = job->options->mask_words;
  job->mask_line = words != NULL && words[0] != '\0'
                       ? isw_words_say(ISW_SAY_MASK_WORDS, words, share)
                       : isw_words_say(ISW_SAY_MASK, text, share);
  job->page.mask_line = job->mask_line;
  isw_base_notice(&job->log, "%s", job->mask_line);
  g_free(text);
  g_free(name);
  return ISW_OK;
}

static enum isw_status write_lines(struct isw_map_job *job, struct isw_error *error) {
  const char *wkt =
      job->climate != NULL ? isw_climate_grid(job->climate)->wkt : job->facts.grid.wkt;
  struct isw_lines_crop *crops = g_new(struct isw_lines_crop, (gsize)job->n_others + 1);
  crops[0] = (struct isw_lines_crop){job->plan, job->tally, &job->page};
  for (int i = 0; i < job->n_others; i++) {
    const struct isw_map_crop *other = &job->others[i];
    crops[i + 1] = (struct isw_lines_crop){other->plan, other->tally, &other->page};
  }
  enum isw_status status = isw_jobs_write_lines(1 + job->n_others, crops, wkt,
                                                job->options->threads, job->folder, error);
  g_free(crops);
  return status;
}

enum isw_status isw_jobs_finish_map_rasters(struct isw_map_job *job, struct isw_error *error) {
  if (job->climate != NULL) job->counts = isw_climate_get_counts(job->climate);
  enum isw_status status = isw_climate_check_counts(&job->counts, &job->log, error);
  if (status == ISW_OK && job->counts.valid == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "no cell of the grid has all 24 values; look at the inputs with isosow "
                           "inspect");
  if (status == ISW_OK) status = say_what_counts(job, error);
  if (status == ISW_OK)
    status = isw_output_close_window_rasters(job->rasters, job->options->threads, error);
  for (int i = 0; i < job->n_others && status == ISW_OK; i++)
    status = isw_output_close_window_rasters(job->others[i].rasters, job->options->threads, error);
  if (status != ISW_OK) return status;
  status = write_styles(job, error);
  if (status != ISW_OK) return status;
  job->page.source_line = job->source_line;
  isw_chart_set_hemispheres(&job->page, isw_survey_south_cells(job->tally),
                            isw_survey_valid_cells(job->tally));
  status = isw_jobs_draw_pages(job->plan, job->options->maps, &job->page, job->tally,
                               job->options->threads, job->folder, &job->log, error);
  for (int i = 0; i < job->n_others && status == ISW_OK; i++) {
    struct isw_map_crop *crop = &job->others[i];
    crop->page = job->page;
    crop->page.crop_title = crop->sheet->title;
    status = isw_jobs_draw_pages(crop->plan, job->options->maps, &crop->page, crop->tally,
                                 job->options->threads, job->folder, &job->log, error);
  }
  if (status == ISW_OK && job->opens != NULL)
    status =
        isw_jobs_finish_opens(job->opens, job->options->maps != ISW_MAPS_NONE, &job->page, error);
  if (status == ISW_OK && job->options->lines) status = write_lines(job, error);
  /* Last: pages are drawn from the plain rasters, with or without overviews the same. */
  return status == ISW_OK && job->options->cog ? rewrite_as_cog(job, error) : status;
}

static void count_plan_windows(const struct isw_plan *plan, const struct isw_tally *tally,
                               GArray *windows) {
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      struct isw_run_window_count count = {
          plan->among_others ? plan->sheet->crop : NULL,
          plan->sheet->varieties[plan->varieties[v]].name,
          plan->sheet->seasons[plan->seasons[s]].name,
          isw_survey_result_tally(tally, isw_growth_result_index(plan, v, s))->cells_with_window};
      g_array_append_val(windows, count);
    }
  }
}

static GArray *count_windows(const struct isw_map_job *job) {
  GArray *windows = g_array_new(FALSE, FALSE, sizeof(struct isw_run_window_count));
  count_plan_windows(job->plan, job->tally, windows);
  for (int i = 0; i < job->n_others; i++)
    count_plan_windows(job->others[i].plan, job->others[i].tally, windows);
  return windows;
}

/* All that is known before the run; *options keeps its texts, *sheets and *drawn_with too. */
static struct isw_run_decisions list_decisions(const struct isw_map_job *job, GArray **options,
                                               struct isw_sheet ***sheets, char **drawn_with) {
  *sheets = isw_jobs_list_sheets(job);
  *options = isw_jobs_new_record_list();
  isw_jobs_record_options(*options, job->options, job->command);
  *drawn_with = job->options->maps != ISW_MAPS_NONE ? isw_chart_drawn_with() : NULL;
  return (struct isw_run_decisions){.command_name = isw_jobs_command_name(job->command),
                                    .facts = &job->facts,
                                    .n_sheets = 1 + job->n_others,
                                    .sheets = (const struct isw_sheet *const *)*sheets,
                                    .districts = job->options->districts,
                                    .layers = job->options->layers,
                                    .places = job->options->places,
                                    .hill_shade = job->options->hill_shade,
                                    .logo = job->options->logo,
                                    .mask = job->options->mask,
                                    .heights = job->options->heights,
                                    .record = job->options->record,
                                    .drawn_with = *drawn_with,
                                    .n_options = (int)(*options)->len,
                                    .options = (const void *)(*options)->data};
}

enum isw_status isw_jobs_note_map_facts(struct isw_map_job *job, struct isw_error *error) {
  if (job->climate == NULL) return ISW_OK;
  isw_output_clear_facts(&job->facts);
  return isw_output_note_facts(job->climate, job->options->threads, &job->facts, error);
}

enum isw_status isw_jobs_check_map_inputs(const struct isw_map_job *job, struct isw_error *error) {
  return job->watch != NULL ? isw_output_check_inputs(job->watch, error) : ISW_OK;
}

enum isw_status isw_jobs_commit_map(struct isw_map_job *job, struct isw_error *error) {
  enum isw_status status = isw_jobs_note_map_facts(job, error);
  if (status != ISW_OK) return status;
  GArray *options;
  struct isw_sheet **sheets;
  char *drawn_with;
  GArray *windows = count_windows(job);
  struct isw_run_record record = {
      .decisions = list_decisions(job, &options, &sheets, &drawn_with),
      .argc = job->request->argc,
      .argv = job->request->argv,
      .counts = job->counts,
      .kept_cells = job->options->mask != NULL ? isw_survey_valid_cells(job->tally) : 0,
      .n_window_counts = (int)windows->len,
      .window_counts = (const void *)windows->data,
      .n_results = (int)job->names->len,
      .results = (const char *const *)job->names->pdata,
      .threads = job->options->threads,
      .wall_seconds = g_timer_elapsed(job->timer, NULL)};
  status = isw_output_write_run_record(&record, job->folder, error);
  if (status == ISW_OK) status = isw_jobs_check_map_inputs(job, error);
  if (status == ISW_OK) status = isw_output_commit_folder(job->folder, error);
  g_array_unref(windows);
  g_array_unref(options);
  g_free(sheets);
  g_free(drawn_with);
  return status;
}

static enum isw_status say_nothing_to_do(const struct isw_map_job *job, guint n_results,
                                         struct isw_error *error) {
  GString *text = g_string_new(NULL);
  g_string_printf(text, "%s: nothing to do: %u results of the same run are there and as recorded\n",
                  job->options->out, n_results);
  enum isw_status status = isw_jobs_answer_string(job->request, text, error);
  g_string_free(text, TRUE);
  return status;
}

/* All results' names, those that a caller put into job->names among them. */
static GPtrArray *list_all_names(const struct isw_map_job *job) {
  GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
  for (guint i = 0; i < job->names->len; i++)
    g_ptr_array_add(names, g_strdup(g_ptr_array_index(job->names, i)));
  list_names(job, names);
  return names;
}

enum isw_status isw_jobs_resume_map(struct isw_map_job *job, bool *done, struct isw_error *error) {
  GPtrArray *names = list_all_names(job);
  GArray *options;
  struct isw_sheet **sheets;
  char *drawn_with;
  struct isw_run_decisions run = list_decisions(job, &options, &sheets, &drawn_with);
  struct isw_run_match match = {ISW_RUN_NONE, ""};
  enum isw_status status = isw_jobs_note_map_facts(job, error);
  if (status == ISW_OK)
    status = isw_output_match_run_record(&run, (int)names->len, (const char *const *)names->pdata,
                                         job->options->out, job->options->threads, &match, error);
  g_array_unref(options);
  g_free(sheets);
  g_free(drawn_with);
  *done = status == ISW_OK && match.kind == ISW_RUN_SAME;
  if (*done) status = say_nothing_to_do(job, names->len + 1, error);
  g_ptr_array_unref(names);
  if (status != ISW_OK || *done) return status;
  if (match.kind == ISW_RUN_OTHER && job->replace == ISW_REPLACE_NOTHING)
    return isw_base_fail(error, ISW_USAGE_EXISTS,
                         "%s: holds results of another run (\"%s\" in its run.json differs)",
                         job->options->out, match.what);
  if (match.kind == ISW_RUN_DAMAGED)
    isw_base_notice(&job->log, "%s: %s; the run is repeated", job->options->out, match.what);
  if (match.kind == ISW_RUN_DAMAGED || isw_output_commit_was_cut(job->options->out))
    job->replace = ISW_REPLACE_DAMAGED;
  return ISW_OK;
}

static void append_plan_summary(GString *text, const struct isw_plan *plan,
                                const struct isw_tally *tally) {
  double valid_m2 = isw_survey_valid_m2(tally);
  if (plan->among_others) g_string_append_printf(text, " %s\n", plan->sheet->crop);
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      const struct isw_result_tally *one =
          isw_survey_result_tally(tally, isw_growth_result_index(plan, v, s));
      int tenths = isw_survey_share_tenths(valid_m2 - one->no_window_m2, valid_m2);
      g_string_append_printf(text, "  %-24s %-10s window on %5.1f %% of the area\n",
                             plan->sheet->varieties[plan->varieties[v]].name,
                             plan->sheet->seasons[plan->seasons[s]].name, tenths / 10.0);
    }
  }
}

enum isw_status isw_jobs_answer_map_summary(const struct isw_map_job *job,
                                            struct isw_error *error) {
  GString *text = g_string_new(NULL);
  g_string_printf(text, "%s: %u results, %lld of %lld cells with climate data\n", job->options->out,
                  job->names->len + 1, job->counts.valid, job->counts.cells);
  if (job->mask_line != NULL)
    g_string_append_printf(text, "  %s (%lld cells)\n", job->mask_line,
                           isw_survey_valid_cells(job->tally));
  append_plan_summary(text, job->plan, job->tally);
  for (int i = 0; i < job->n_others; i++)
    append_plan_summary(text, job->others[i].plan, job->others[i].tally);
  enum isw_status status = isw_jobs_answer_string(job->request, text, error);
  g_string_free(text, TRUE);
  return status;
}

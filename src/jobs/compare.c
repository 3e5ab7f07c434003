/* What variety B, or B's condition, gains over A, for every cell of a grid. */
#include <gdal.h>
#include <glib.h>
#include <stdio.h>

#include "chart/drawn_with.h"
#include "chart/map_sheet.h"
#include "jobs/compare_sides.h"
#include "jobs/input_files.h"
#include "jobs/jobs.h"
#include "jobs/map_pages.h"
#include "jobs/part_options.h"
#include "output/compare_rasters.h"
#include "output/compare_table.h"
#include "output/run_record.h"
#include "regions/district_cells.h"
#include "survey/cell_areas.h"
#include "words/cautions.h"
#include "words/condition_words.h"
#include "words/say.h"

/* Tiles of all inputs' bands stay decoded while their block is read. */
static const GIntBig raster_cache_bytes = 64 << 20;

struct compare_job {
  const struct isw_request *request;
  const struct isw_options *options; /* the request's */
  GTimer *timer;
  struct isw_log log;
  struct isw_compare_sides sides;
  const char *seasons[ISW_SEASONS_MAX];
  struct isw_map_page page;
  struct isw_climate *climate;
  struct isw_input_watch *watch;
  struct isw_compare_labels labels;
  char *source_line;
  struct isw_map_additions additions;
  int n_districts;
  GPtrArray *names; /* of all results but run.json */
  struct isw_folder *folder;
  struct isw_compare_rasters *rasters;
  struct isw_cell_areas *areas;
  int16_t *compared; /* of the block in hand */
  long long valid_cells, south_cells;
  struct isw_compare_tally *tallies; /* [season][0: all, 1..: district] */
};

static struct isw_compare_tally *tally_of(const struct compare_job *job, int season, int region) {
  return &job->tallies[season * (job->n_districts + 1) + region];
}

/* ---- the pass over the grid ---- */

static void tally_season(struct compare_job *job, int season, const struct isw_block *block,
                         const double *area_m2, int n_found,
                         const struct isw_district_cells *found) {
  size_t cells = (size_t)block->width * (size_t)block->height;
  for (size_t cell = 0; cell < cells; cell++)
    if (block->flags[cell] & ISW_CELL_VALID)
      isw_survey_add_comparison(tally_of(job, season, 0), job->compared + cell * ISW_COMPARE_BANDS,
                                area_m2[cell]);
  for (int i = 0; i < n_found; i++)
    for (size_t k = 0; k < found[i].n; k++)
      isw_survey_add_comparison(tally_of(job, season, found[i].district + 1),
                                job->compared + (size_t)found[i].cells[k] * ISW_COMPARE_BANDS,
                                area_m2[found[i].cells[k]]);
}

static void compare_season(struct compare_job *job, int season, const struct isw_block *block) {
  size_t cells = (size_t)block->width * (size_t)block->height;
  const int16_t *a = block->bands[0] + (size_t)job->sides.a_season[season] * cells * ISW_CELL_BANDS;
  const int16_t *b = block->bands[1] + (size_t)job->sides.b_season[season] * cells * ISW_CELL_BANDS;
  for (size_t cell = 0; cell < cells; cell++) {
    int16_t *out = job->compared + cell * ISW_COMPARE_BANDS;
    if (block->flags[cell] & ISW_CELL_VALID)
      isw_survey_compare_cell(a + cell * ISW_CELL_BANDS, b + cell * ISW_CELL_BANDS, out);
    else
      for (int band = 0; band < ISW_COMPARE_BANDS; band++) out[band] = ISW_BANDS_NODATA;
  }
}

static enum isw_status take_block(void *self, const struct isw_block *block,
                                  struct isw_error *error) {
  struct compare_job *job = self;
  int n_found = 0;
  const struct isw_district_cells *found = NULL;
  enum isw_status status = ISW_OK;
  if (job->additions.districts != NULL)
    status = isw_regions_find_district_cells(job->additions.districts, block->col, block->row,
                                             block->width, block->height, block->flags, &n_found,
                                             &found, error);
  const double *area_m2 =
      isw_survey_areas_of_block(job->areas, block->col, block->row, block->width, block->height);
  size_t cells = (size_t)block->width * (size_t)block->height;
  for (size_t cell = 0; cell < cells; cell++) {
    if (!(block->flags[cell] & ISW_CELL_VALID)) continue;
    job->valid_cells++;
    if (block->flags[cell] & ISW_CELL_SOUTH) job->south_cells++;
  }
  for (int s = 0; s < job->sides.n_seasons && status == ISW_OK; s++) {
    compare_season(job, s, block);
    tally_season(job, s, block, area_m2, n_found, found);
    status = isw_output_write_compare_block(job->rasters, s, block->col, block->row, block->width,
                                            block->height, job->compared, error);
  }
  return status;
}

static enum isw_status compute_rasters(struct compare_job *job, struct isw_error *error) {
  const struct isw_grid *grid = isw_climate_grid(job->climate);
  int n_seasons = job->sides.n_seasons;
  job->tallies = g_new0(struct isw_compare_tally, (gsize)n_seasons * (gsize)(job->n_districts + 1));
  job->compared = g_new(int16_t, (gsize)ISW_BLOCK_SIZE * ISW_BLOCK_SIZE * ISW_COMPARE_BANDS);
  enum isw_status status = isw_survey_new_cell_areas(grid, &job->areas, error);
  if (status == ISW_OK)
    status = isw_output_create_compare_rasters(&job->labels, n_seasons, job->seasons, grid,
                                               job->folder, &job->rasters, error);
  if (status != ISW_OK) return status;
  const struct isw_plan *plans[] = {job->sides.a.plan, job->sides.b.plan};
  struct isw_survey_options survey = {
      .threads = job->options->threads, .memory_MB = job->options->memory_MB, .log = &job->log};
  struct isw_sink sink = {job, take_block};
  status = isw_survey_run(job->climate, G_N_ELEMENTS(plans), plans, &survey, &sink, error);
  if (status != ISW_OK) return status;
  struct isw_climate_counts counts = isw_climate_get_counts(job->climate);
  status = isw_climate_check_counts(&counts, &job->log, error);
  if (status == ISW_OK && counts.valid == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "no cell of the grid has all 24 values; look at the inputs with isosow "
                           "inspect");
  if (status == ISW_OK && job->additions.districts != NULL)
    isw_regions_report_districts(job->additions.districts, &job->log);
  return status == ISW_OK ? isw_output_close_compare_rasters(job->rasters, error) : status;
}

/* ---- results ---- */

static void list_names(struct compare_job *job) {
  for (int s = 0; s < job->sides.n_seasons; s++) {
    g_ptr_array_add(job->names, isw_output_compare_name(&job->labels, job->seasons[s], ".tif"));
    if (job->options->maps != ISW_MAPS_NONE)
      g_ptr_array_add(job->names, isw_output_compare_name(&job->labels, job->seasons[s], ".png"));
  }
  g_ptr_array_add(job->names, isw_output_compare_name(&job->labels, NULL, ".csv"));
}

/* Rows in the order of seasons, the whole grid before its districts. */
static struct isw_compare_row *make_rows(const struct compare_job *job, int *n) {
  *n = job->sides.n_seasons * (job->n_districts + 1);
  struct isw_compare_row *rows = g_new(struct isw_compare_row, (gsize)*n);
  for (int s = 0; s < job->sides.n_seasons; s++)
    for (int region = 0; region <= job->n_districts; region++)
      rows[s * (job->n_districts + 1) + region] = (struct isw_compare_row){
          job->seasons[s],
          region == 0 ? "" : isw_regions_district_name(job->additions.districts, region - 1),
          tally_of(job, s, region)};
  return rows;
}

static enum isw_status write_table(const struct compare_job *job, struct isw_error *error) {
  int n;
  struct isw_compare_row *rows = make_rows(job, &n);
  char *name = isw_output_compare_name(&job->labels, NULL, ".csv");
  enum isw_status status =
      isw_output_write_compare_csv(isw_output_temporary_path(job->folder, name), n, rows, error);
  g_free(name);
  g_free(rows);
  return status;
}

static enum isw_status draw_maps(struct compare_job *job, struct isw_error *error) {
  if (job->options->maps == ISW_MAPS_NONE) return ISW_OK;
  isw_base_notice(&job->log, "drawing %d maps", job->sides.n_seasons);
  job->source_line = isw_jobs_source_line(job->options, job->climate);
  job->page.source_line = job->source_line;
  job->page.plan = job->sides.a.plan;
  isw_chart_set_hemispheres(&job->page, job->south_cells, job->valid_cells);
  enum isw_status status = ISW_OK;
  for (int s = 0; s < job->sides.n_seasons && status == ISW_OK; s++) {
    const struct isw_plan *plan = job->sides.a.plan;
    char *raster = isw_output_compare_name(&job->labels, job->seasons[s], ".tif");
    char *page = isw_output_compare_name(&job->labels, job->seasons[s], ".png");
    struct isw_compare_titles titles = {job->sides.a.title, job->sides.b.title};
    status = isw_chart_draw_compare_map(
        &job->page, isw_output_temporary_path(job->folder, raster), &titles,
        &plan->sheet->seasons[plan->seasons[job->sides.a_season[s]]], tally_of(job, s, 0),
        isw_output_temporary_path(job->folder, page), error);
    g_free(raster);
    g_free(page);
    isw_base_progress(&job->log, s + 1, job->sides.n_seasons);
  }
  return status;
}

static enum isw_status write_record(const struct compare_job *job, struct isw_error *error) {
  const struct isw_sheet *b_sheet = job->sides.b.sheet;
  char *b_checksum = g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)b_sheet->text,
                                                 b_sheet->text_size);
  GArray *options = isw_jobs_new_record_list();
  isw_jobs_record_option(options, "a", job->labels.a);
  isw_jobs_record_option(options, "b", job->labels.b);
  isw_jobs_record_option(options, "b-sheet", b_sheet->origin);
  isw_jobs_record_option(options, "b-sheet-sha256", b_checksum);
  isw_jobs_record_options(options, job->options, ISW_COMMAND_COMPARE);
  char *drawn_with = job->options->maps != ISW_MAPS_NONE ? isw_chart_drawn_with() : NULL;
  const struct isw_sheet *a_sheet = job->sides.a.sheet;
  struct isw_run_facts facts;
  enum isw_status status =
      isw_output_note_facts(job->climate, job->options->threads, &facts, error);
  if (status == ISW_OK) {
    struct isw_run_record record = {.decisions = {.command_name = "compare",
                                                  .facts = &facts,
                                                  .n_sheets = 1,
                                                  .sheets = &a_sheet,
                                                  .districts = job->options->districts,
                                                  .layers = job->options->layers,
                                                  .places = job->options->places,
                                                  .hill_shade = job->options->hill_shade,
                                                  .drawn_with = drawn_with,
                                                  .n_options = (int)options->len,
                                                  .options = (const void *)options->data},
                                    .argc = job->request->argc,
                                    .argv = job->request->argv,
                                    .counts = isw_climate_get_counts(job->climate),
                                    .n_results = (int)job->names->len,
                                    .results = (const char *const *)job->names->pdata,
                                    .threads = job->options->threads,
                                    .wall_seconds = g_timer_elapsed(job->timer, NULL)};
    status = isw_output_write_run_record(&record, job->folder, error);
    isw_output_clear_facts(&facts);
  }
  g_free(drawn_with);
  g_array_unref(options);
  g_free(b_checksum);
  return status;
}

static enum isw_status answer_summary(const struct compare_job *job, struct isw_error *error) {
  GString *text = g_string_new(NULL);
  int n;
  struct isw_compare_row *rows = make_rows(job, &n);
  const char *period = isw_climate_period(job->climate);
  GString *conditions = g_string_new(NULL);
  isw_words_append_conditions(conditions, job->sides.a.plan, job->page.fahrenheit);
  char *sides = isw_words_say(ISW_SAY_COMPARE_SIDES, job->sides.a.title, job->sides.b.title);
  g_string_append_printf(text, "%s\n", sides);
  g_free(sides);
  if (conditions->len > 0) {
    char *asked = isw_words_say(ISW_SAY_COMPARE_ASKED, g_strchug(conditions->str));
    g_string_append_printf(text, "%s\n", asked);
    g_free(asked);
  }
  g_string_append_c(text, '\n');
  g_string_free(conditions, TRUE);
  isw_output_append_compare_table(text, n, rows);
  char *normals = isw_words_normals(period);
  g_string_append_printf(text, "\n%s %s\n", normals, isw_words_text(ISW_SAY_NO_FORECAST));
  g_free(normals);
  g_free(rows);
  enum isw_status status = isw_jobs_answer_string(job->request, text, error);
  g_string_free(text, TRUE);
  return status;
}

/* ---- start to end ---- */

static enum isw_status open_inputs(struct compare_job *job, const char *a, const char *b,
                                   struct isw_error *error) {
  const struct isw_options *options = job->options;
  if (options->out == NULL) return isw_jobs_refuse_without_out(error);
  if (options->districts != NULL && options->district_name == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--districts needs --district-name, the column that holds their names");
  enum isw_status status =
      isw_jobs_make_compare_sides(options, a, b, &job->log, &job->sides, error);
  if (status != ISW_OK) return status;
  const struct isw_sheet *sheet = job->sides.a.sheet;
  for (int s = 0; s < job->sides.n_seasons; s++)
    job->seasons[s] = sheet->seasons[job->sides.a.plan->seasons[job->sides.a_season[s]]].name;
  status = isw_jobs_make_page(options, sheet, &job->page, error);
  if (status == ISW_OK)
    status = isw_jobs_open_watched_climate(options, &job->log, &job->climate, &job->watch, error);
  if (status != ISW_OK) return status;
  job->labels = (struct isw_compare_labels){job->sides.a.label, job->sides.b.label,
                                            job->sides.a.plan, isw_climate_period(job->climate)};
  status = isw_jobs_open_additions(options, isw_climate_grid(job->climate), &job->log,
                                   &job->additions, &job->page, error);
  if (job->additions.districts == NULL) return status;
  if (status == ISW_OK) job->n_districts = isw_regions_district_count(job->additions.districts);
  return status;
}

static enum isw_status run_job(struct compare_job *job, const char *a, const char *b,
                               struct isw_error *error) {
  GDALSetCacheMax64(raster_cache_bytes);
  enum isw_status status = open_inputs(job, a, b, error);
  if (status != ISW_OK) return status;
  list_names(job);
  GPtrArray *inputs = isw_jobs_list_input_paths(job->request, job->options, job->climate);
  struct isw_earlier_request there = {
      .dir = job->options->out,
      .replace = job->options->overwrite ? ISW_REPLACE_RESULTS : ISW_REPLACE_NOTHING,
      .n_names = (int)job->names->len,
      .names = (const char *const *)job->names->pdata,
      .n_inputs = (int)inputs->len,
      .inputs = (const char *const *)inputs->pdata,
      .threads = job->options->threads};
  status = isw_output_open_folder(&there, &job->log, &job->folder, error);
  g_ptr_array_unref(inputs);
  if (status == ISW_OK) status = compute_rasters(job, error);
  if (status == ISW_OK) status = write_table(job, error);
  if (status == ISW_OK) status = draw_maps(job, error);
  if (status == ISW_OK) status = write_record(job, error);
  if (status == ISW_OK) status = isw_output_check_inputs(job->watch, error);
  if (status == ISW_OK) status = isw_output_commit_folder(job->folder, error);
  return status;
}

static void free_job(struct compare_job *job) {
  isw_output_free_compare_rasters(job->rasters);
  isw_output_free_folder(job->folder);
  if (job->tallies != NULL)
    for (int i = 0; i < job->sides.n_seasons * (job->n_districts + 1); i++)
      isw_survey_clear_comparison(&job->tallies[i]);
  g_free(job->tallies);
  g_free(job->compared);
  isw_survey_free_cell_areas(job->areas);
  isw_jobs_clear_additions(&job->additions);
  isw_climate_free(job->climate);
  isw_output_free_watch(job->watch);
  isw_jobs_free_compare_sides(&job->sides);
  g_free(job->source_line);
  g_ptr_array_unref(job->names);
  g_timer_destroy(job->timer);
}

enum isw_status isw_jobs_compare(const struct isw_request *request, struct isw_error *error) {
  struct compare_job job = {.request = request,
                            .options = request->options,
                            .log = request->log,
                            .timer = g_timer_new(),
                            .names = g_ptr_array_new_with_free_func(g_free)};
  enum isw_status status = run_job(&job, request->words[0], request->words[1], error);
  if (status == ISW_OK) status = answer_summary(&job, error);
  free_job(&job);
  return status;
}

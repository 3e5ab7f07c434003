#include "output/window_rasters.h"

#include <glib.h>

#include "output/raster_metadata.h"
#include "survey/thread_pool.h"

struct isw_window_rasters {
  const struct isw_plan *plan;
  bool zero_as_nodata; /* of dates */
  int n_results;
  struct isw_raster **results; /* [result] */
  struct isw_raster *picks[ISW_SEASONS_MAX], *spans[ISW_SEASONS_MAX];
};

static const char *variety_name(const struct isw_plan *plan, int v) {
  return plan->sheet->varieties[plan->varieties[v]].name;
}

static const char *season_name(const struct isw_plan *plan, int s) {
  return plan->sheet->seasons[plan->seasons[s]].name;
}

/* "broccoli-" where there are others in the folder. */
static char *crop_prefix(const struct isw_plan *plan) {
  return plan->among_others ? g_strconcat(plan->sheet->crop, "-", NULL) : g_strdup("");
}

/* Takes prefix. */
static char *join_name(char *prefix, const char *what, const char *season, const char *ending) {
  char *name = g_strdup_printf("%s%s-%s%s", prefix, what, season, ending);
  g_free(prefix);
  return name;
}

char *isw_output_result_name(const struct isw_plan *plan, int v, int s, const char *ending) {
  return join_name(crop_prefix(plan), variety_name(plan, v), season_name(plan, s), ending);
}

char *isw_output_pick_name(const struct isw_plan *plan, int s, const char *ending) {
  return join_name(crop_prefix(plan), "pick", season_name(plan, s), ending);
}

char *isw_output_span_name(const struct isw_plan *plan, int s, const char *ending) {
  return join_name(crop_prefix(plan), "span", season_name(plan, s), ending);
}

static void add_limit(struct isw_metadata_list *list, const struct isw_sheet *sheet, int limit) {
  char name[ISW_LIMIT_NAME_SIZE];
  isw_output_add_metadata(list, ISW_BAND_LIMIT, g_strdup_printf("LIMIT_%d", limit),
                          g_strdup(isw_growth_limit_name(sheet, limit, name)));
}

static void add_limits(struct isw_metadata_list *list, const struct isw_sheet *sheet) {
  for (int limit = ISW_LIMIT_NOTHING; limit <= 2 * sheet->n_stages; limit++)
    add_limit(list, sheet, limit);
  for (int limit = ISW_LIMIT_FROST; limit <= ISW_LIMIT_CUT_OUTSIDE; limit++)
    add_limit(list, sheet, limit);
}

/* Begin the raster of that name with this metadata; both are freed. */
static enum isw_status create_named(struct isw_folder *folder, char *name,
                                    struct isw_raster_spec *spec,
                                    struct isw_metadata_list *metadata, struct isw_raster **out,
                                    struct isw_error *error) {
  spec->n_metadata = (int)metadata->items->len;
  spec->metadata = (const void *)metadata->items->data;
  enum isw_status status =
      isw_output_create_raster(isw_output_temporary_path(folder, name), spec, out, error);
  g_free(name);
  isw_output_free_metadata(metadata);
  return status;
}

static enum isw_status create_result(struct isw_window_rasters *rasters,
                                     const struct isw_grid *grid, const char *period, int v, int s,
                                     struct isw_folder *folder, struct isw_error *error) {
  const struct isw_plan *plan = rasters->plan;
  struct isw_metadata_list metadata = isw_output_start_metadata(plan, season_name(plan, s), period);
  isw_output_add_metadata(&metadata, -1, g_strdup("VARIETY"), g_strdup(variety_name(plan, v)));
  add_limits(&metadata, plan->sheet);
  struct isw_raster_spec spec = {
      .grid = grid,
      .type = ISW_RASTER_INT16,
      .n_bands = ISW_CELL_BANDS,
      .descriptions = isw_survey_band_names,
      .units = isw_survey_band_units,
      .nodata = ISW_BANDS_NODATA,
      .zero_is_nodata = rasters->zero_as_nodata ? isw_survey_band_is_date : NULL};
  return create_named(folder, isw_output_result_name(plan, v, s, ".tif"), &spec, &metadata,
                      &rasters->results[isw_growth_result_index(plan, v, s)], error);
}

static enum isw_status create_pick(struct isw_window_rasters *rasters, const struct isw_grid *grid,
                                   const char *period, const uint8_t colours[256][4], int s,
                                   struct isw_folder *folder, struct isw_error *error) {
  static const char *const descriptions[] = {"pick"}, *const units[] = {"code"};
  const struct isw_plan *plan = rasters->plan;
  struct isw_metadata_list metadata = isw_output_start_metadata(plan, season_name(plan, s), period);
  isw_output_add_metadata(&metadata, 0, g_strdup("PICK_0"), g_strdup("none"));
  for (int v = 0; v < plan->n_varieties; v++) {
    int code = plan->varieties[v] + 1;
    isw_output_add_metadata(&metadata, 0, g_strdup_printf("PICK_%d", code),
                            g_strdup(variety_name(plan, v)));
    isw_output_add_metadata(&metadata, 0, g_strdup_printf("PICK_%d", code + ISW_PICK_RISKY_CODE),
                            g_strconcat(variety_name(plan, v), ", risky", NULL));
  }
  struct isw_raster_spec spec = {.grid = grid,
                                 .type = ISW_RASTER_BYTE,
                                 .n_bands = 1,
                                 .descriptions = descriptions,
                                 .units = units,
                                 .nodata = ISW_PICK_NODATA,
                                 .n_colours = 256,
                                 .colours = colours};
  return create_named(folder, isw_output_pick_name(plan, s, ".tif"), &spec, &metadata,
                      &rasters->picks[s], error);
}

static enum isw_status create_span(struct isw_window_rasters *rasters, const struct isw_grid *grid,
                                   const char *period, int s, struct isw_folder *folder,
                                   struct isw_error *error) {
  static const int typed[] = {ISW_SPAN_FIRST_TYPE, ISW_SPAN_LAST_TYPE};
  const struct isw_plan *plan = rasters->plan;
  struct isw_metadata_list metadata = isw_output_start_metadata(plan, season_name(plan, s), period);
  for (size_t i = 0; i < G_N_ELEMENTS(typed); i++)
    for (int v = 0; v < plan->n_varieties; v++)
      isw_output_add_metadata(&metadata, typed[i],
                              g_strdup_printf("TYPE_%d", plan->varieties[v] + 1),
                              g_strdup(variety_name(plan, v)));
  struct isw_raster_spec spec = {
      .grid = grid,
      .type = ISW_RASTER_INT16,
      .n_bands = ISW_SPAN_BANDS,
      .descriptions = isw_survey_span_names,
      .units = isw_survey_span_units,
      .nodata = ISW_BANDS_NODATA,
      .zero_is_nodata = rasters->zero_as_nodata ? isw_survey_span_band_is_date : NULL};
  return create_named(folder, isw_output_span_name(plan, s, ".tif"), &spec, &metadata,
                      &rasters->spans[s], error);
}

enum isw_status isw_output_create_window_rasters(const struct isw_plan *plan,
                                                 const struct isw_grid *grid, const char *period,
                                                 const uint8_t pick_colours[256][4],
                                                 bool zero_as_nodata, struct isw_folder *folder,
                                                 struct isw_window_rasters **out,
                                                 struct isw_error *error) {
  struct isw_window_rasters *rasters = g_new0(struct isw_window_rasters, 1);
  rasters->plan = plan;
  rasters->zero_as_nodata = zero_as_nodata;
  rasters->n_results = plan->n_varieties * plan->n_seasons;
  rasters->results = g_new0(struct isw_raster *, (size_t)rasters->n_results);
  enum isw_status status = ISW_OK;
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++)
      status = create_result(rasters, grid, period, v, s, folder, error);
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++)
    status = create_pick(rasters, grid, period, pick_colours, s, folder, error);
  for (int s = 0; s < plan->n_seasons && status == ISW_OK; s++)
    status = create_span(rasters, grid, period, s, folder, error);
  if (status == ISW_OK)
    *out = rasters;
  else
    isw_output_free_window_rasters(rasters);
  return status;
}

static bool is_empty(const struct isw_block *block) {
  size_t cells = (size_t)block->width * (size_t)block->height, cell = 0;
  while (cell < cells && (block->flags[cell] & ISW_CELL_VALID) == 0) cell++;
  return cell == cells;
}

int isw_output_count_window_jobs(const struct isw_window_rasters *rasters) {
  return rasters->n_results + 2 * rasters->plan->n_seasons;
}

/* Jobs are the results, then the picks, then the spans. */
static struct isw_raster **raster_of_job(struct isw_window_rasters *rasters, int job) {
  const int s = job - rasters->n_results, n_seasons = rasters->plan->n_seasons;
  if (s < 0) return &rasters->results[job];
  return s < n_seasons ? &rasters->picks[s] : &rasters->spans[s - n_seasons];
}

static const void *data_of_job(const struct isw_window_rasters *rasters,
                               const struct isw_block *block, int plan_index, int job) {
  const size_t cells = (size_t)block->width * (size_t)block->height;
  const int s = job - rasters->n_results, n_seasons = rasters->plan->n_seasons;
  if (s < 0) return block->bands[plan_index] + (size_t)job * cells * ISW_CELL_BANDS;
  if (s < n_seasons) return block->picks[plan_index] + (size_t)s * cells;
  return block->spans[plan_index] + (size_t)(s - n_seasons) * cells * ISW_SPAN_BANDS;
}

enum isw_status isw_output_do_window_job(struct isw_window_rasters *rasters,
                                         const struct isw_block *block, int plan_index, int job,
                                         struct isw_error *error) {
  struct isw_raster *raster = *raster_of_job(rasters, job);
  if (is_empty(block)) {
    isw_output_skip_block(raster);
    return ISW_OK;
  }
  return isw_output_write_block(raster, block->col, block->row, block->width, block->height,
                                data_of_job(rasters, block, plan_index, job), error);
}

enum isw_status isw_output_write_window_block(struct isw_window_rasters *rasters,
                                              const struct isw_block *block, int plan_index,
                                              struct isw_error *error) {
  enum isw_status status = ISW_OK;
  int jobs = isw_output_count_window_jobs(rasters);
  for (int job = 0; job < jobs && status == ISW_OK; job++)
    status = isw_output_do_window_job(rasters, block, plan_index, job, error);
  return status;
}

/* How each raster closed. */
struct closing {
  struct isw_window_rasters *rasters;
  enum isw_status *status;
  struct isw_error *errors;
};

/* Never fails as a task, so that all are closed. */
static enum isw_status close_one(void *self, int job, struct isw_error *error) {
  (void)error;
  struct closing *closing = self;
  struct isw_window_rasters *rasters = closing->rasters;
  struct isw_raster **raster = raster_of_job(rasters, job);
  closing->status[job] = isw_output_close_raster(*raster, &closing->errors[job]);
  *raster = NULL;
  return ISW_OK;
}

enum isw_status isw_output_close_window_rasters(struct isw_window_rasters *rasters, int threads,
                                                struct isw_error *error) {
  int n = isw_output_count_window_jobs(rasters), failed = 0;
  struct closing closing = {rasters, g_new0(enum isw_status, (size_t)n),
                            g_new0(struct isw_error, (size_t)n)};
  isw_survey_do_tasks(n, threads, close_one, &closing, NULL, NULL);
  while (failed < n && closing.status[failed] == ISW_OK) failed++;
  enum isw_status status = failed < n ? closing.status[failed] : ISW_OK;
  if (failed < n && error != NULL) *error = closing.errors[failed];
  g_free(closing.status);
  g_free(closing.errors);
  return status;
}

void isw_output_free_window_rasters(struct isw_window_rasters *rasters) {
  if (rasters == NULL) return;
  for (int r = 0; r < rasters->n_results; r++) isw_output_drop_raster(rasters->results[r]);
  for (int s = 0; s < ISW_SEASONS_MAX; s++) {
    isw_output_drop_raster(rasters->picks[s]);
    isw_output_drop_raster(rasters->spans[s]);
  }
  g_free(rasters->results);
  g_free(rasters);
}

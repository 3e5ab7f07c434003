#include "jobs/map_pages.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/interrupt.h"
#include "chart/map_crs.h"
#include "output/window_rasters.h"
#include "survey/thread_pool.h"
#include "words/date_words.h"

/* 16:9, 1920 x 1080 pixels */
static const double slide_width_mm = 1920 / 144.0 * 25.4, slide_height_mm = 1080 / 144.0 * 25.4;
static const double slide_dpi = 144;

enum isw_status isw_jobs_make_page(const struct isw_options *options, const struct isw_sheet *sheet,
                                   struct isw_map_page *page, struct isw_error *error) {
  if (options->district_name != NULL && options->districts == NULL)
    return isw_base_fail(error, ISW_USAGE, "--district-name needs --districts");
  *page = (struct isw_map_page){.width_mm = options->size.width_mm,
                                .height_mm = options->size.height_mm,
                                .dpi = options->dpi,
                                .crop_title = sheet->title,
                                .region_title = options->title,
                                .software = "isosow " ISOSOW_VERSION,
                                .map_crs = options->map_crs,
                                .slide = options->slide,
                                .fahrenheit = options->show == ISW_SHOW_F};
  isw_words_set_date_style((enum isw_date_style)options->date_style);
  if (options->slide) {
    struct isw_options usual;
    isw_jobs_start_options(&usual);
    page->width_mm = slide_width_mm;
    page->height_mm = slide_height_mm;
    if (!(fabs(options->dpi - usual.dpi) > 0)) page->dpi = slide_dpi;
    isw_jobs_clear_options(&usual);
  }
  enum isw_status status = isw_chart_check_map_crs(options->map_crs, error);
  if (status != ISW_OK) isw_base_prefix_error(error, "--map-crs ");
  return status;
}

enum isw_status isw_jobs_name_key(const char *key, enum isw_status status,
                                  struct isw_error *error) {
  if (status != ISW_OK) isw_base_prefix_error(error, "%s ", key);
  return status;
}

enum isw_status isw_jobs_open_additions(const struct isw_options *options,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_map_additions *out, struct isw_map_page *page,
                                        struct isw_error *error) {
  bool drawn = options->maps != ISW_MAPS_NONE;
  enum isw_status status = ISW_OK;
  *out = (struct isw_map_additions){.districts = NULL};
  if (options->districts != NULL)
    status = isw_regions_open_districts(options->districts, options->district_name, grid, log,
                                        &out->districts, error);
  if (status == ISW_OK && options->layers != NULL && drawn)
    status = isw_jobs_name_key(
        "layers", isw_regions_open_map_layers(options->layers, grid, log, &out->layers, error),
        error);
  if (status == ISW_OK && options->hill_shade != NULL && drawn)
    status = isw_jobs_name_key(
        "hill-shade", isw_climate_read_relief(options->hill_shade, grid, &out->relief, error),
        error);
  if (status == ISW_OK && options->places != NULL)
    status = isw_jobs_name_key(
        "places", isw_regions_read_places(options->places, NULL, grid, log, &out->places, error),
        error);
  page->districts = out->districts;
  page->layers = out->layers;
  page->relief = out->relief;
  page->places = out->places;
  return status;
}

void isw_jobs_clear_additions(struct isw_map_additions *additions) {
  isw_regions_free_districts(additions->districts);
  isw_regions_free_map_layers(additions->layers);
  isw_climate_free_relief(additions->relief);
  isw_regions_free_places(additions->places);
}

enum page_kind { PAGE_SOWING, PAGE_SCORE, PAGE_YEARS, PAGE_PICK, PAGE_FIRST, PAGE_LAST };

struct page_task {
  enum page_kind kind;
  int v, s;
};

/* The pages of a plan in order; v is not used for pages of a season. */
static GArray *list_tasks(const struct isw_plan *plan, int maps) {
  GArray *tasks = g_array_new(FALSE, FALSE, sizeof(struct page_task));
  if (maps == ISW_MAPS_NONE) return tasks;
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      struct page_task sowing = {PAGE_SOWING, v, s}, score = {PAGE_SCORE, v, s};
      g_array_append_val(tasks, sowing);
      struct page_task years = {PAGE_YEARS, v, s};
      if (maps == ISW_MAPS_ALL) g_array_append_val(tasks, score);
      if (maps == ISW_MAPS_ALL && plan->conditions.least_years > 0)
        g_array_append_val(tasks, years);
    }
  }
  for (int s = 0; s < plan->n_seasons; s++) {
    for (int kind = PAGE_PICK; kind <= PAGE_LAST; kind++) {
      struct page_task page = {(enum page_kind)kind, 0, s};
      g_array_append_val(tasks, page);
    }
  }
  return tasks;
}

static char *page_name(const struct isw_plan *plan, const struct page_task *task) {
  switch (task->kind) {
    case PAGE_SOWING: return isw_output_result_name(plan, task->v, task->s, "-sowing.png");
    case PAGE_SCORE: return isw_output_result_name(plan, task->v, task->s, "-score.png");
    case PAGE_YEARS: return isw_output_result_name(plan, task->v, task->s, "-years.png");
    case PAGE_FIRST: return isw_output_span_name(plan, task->s, "-first.png");
    case PAGE_LAST: return isw_output_span_name(plan, task->s, "-last.png");
    case PAGE_PICK: break;
  }
  return isw_output_pick_name(plan, task->s, ".png");
}

static char *raster_name(const struct isw_plan *plan, const struct page_task *task) {
  switch (task->kind) {
    case PAGE_PICK: return isw_output_pick_name(plan, task->s, ".tif");
    case PAGE_FIRST:
    case PAGE_LAST: return isw_output_span_name(plan, task->s, ".tif");
    default: return isw_output_result_name(plan, task->v, task->s, ".tif");
  }
}

void isw_jobs_list_pages(const struct isw_plan *plan, int maps, GPtrArray *names) {
  GArray *tasks = list_tasks(plan, maps);
  for (guint i = 0; i < tasks->len; i++)
    g_ptr_array_add(names, page_name(plan, &g_array_index(tasks, struct page_task, i)));
  g_array_unref(tasks);
}

/* What the drawing threads share. */
struct drawing {
  const struct isw_plan *plan;
  const struct isw_map_page *page;
  const struct isw_tally *tally;
  const struct page_task *tasks;
  const char **rasters, **pages;
};

static enum isw_status draw_page(void *self, int i, struct isw_error *error) {
  const struct drawing *drawing = self;
  const struct isw_plan *plan = drawing->plan;
  const struct page_task *task = &drawing->tasks[i];
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[task->s]];
  if (isw_base_interrupted_by())
    return isw_base_fail(error, ISW_INTERRUPTED, "interrupted; no results were changed");
  if (task->kind == PAGE_PICK)
    return isw_chart_draw_pick_map(drawing->page, drawing->rasters[i], plan, task->s,
                                   isw_survey_pick_tally(drawing->tally, task->s),
                                   drawing->pages[i], error);
  if (task->kind == PAGE_FIRST || task->kind == PAGE_LAST)
    return isw_chart_draw_span_map(drawing->page, drawing->rasters[i], season,
                                   isw_survey_span_tally(drawing->tally, task->s),
                                   task->kind == PAGE_LAST, drawing->pages[i], error);
  const struct isw_variety *variety = &plan->sheet->varieties[plan->varieties[task->v]];
  const struct isw_result_tally *tally =
      isw_survey_result_tally(drawing->tally, isw_growth_result_index(plan, task->v, task->s));
  if (task->kind == PAGE_SOWING)
    return isw_chart_draw_sowing_map(drawing->page, drawing->rasters[i], variety, season, tally,
                                     drawing->pages[i], error);
  if (task->kind == PAGE_YEARS)
    return isw_chart_draw_years_map(drawing->page, drawing->rasters[i], variety, season, tally,
                                    drawing->pages[i], error);
  return isw_chart_draw_score_map(drawing->page, drawing->rasters[i], variety, season, tally,
                                  drawing->pages[i], error);
}

enum isw_status isw_jobs_draw_pages(const struct isw_plan *plan, int maps,
                                    const struct isw_map_page *page, const struct isw_tally *tally,
                                    int threads, struct isw_folder *folder, struct isw_log *log,
                                    struct isw_error *error) {
  struct isw_map_page said = *page;
  said.plan = plan;
  GArray *tasks = list_tasks(plan, maps);
  guint n = tasks->len;
  struct drawing drawing = {.plan = plan,
                            .page = &said,
                            .tally = tally,
                            .tasks = (const void *)tasks->data,
                            .rasters = g_new(const char *, n),
                            .pages = g_new(const char *, n)};
  for (guint i = 0; i < n; i++) {
    const struct page_task *task = &drawing.tasks[i];
    char *raster = raster_name(plan, task);
    char *name = page_name(plan, task);
    drawing.rasters[i] = isw_output_temporary_path(folder, raster);
    drawing.pages[i] = isw_output_temporary_path(folder, name);
    g_free(raster);
    g_free(name);
  }
  if (n > 0) isw_base_notice(log, "drawing %u maps", n);
  enum isw_status status = isw_survey_do_tasks((int)n, threads, draw_page, &drawing, log, error);
  g_free(drawing.rasters);
  g_free(drawing.pages);
  g_array_unref(tasks);
  return status;
}

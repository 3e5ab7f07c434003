#include "jobs/lines_job.h"

#include <math.h>

#include "base/interrupt.h"
#include "output/geopackage.h"
#include "output/window_rasters.h"
#include "survey/thread_pool.h"
#include "words/date_words.h"

const char isw_jobs_lines_name[] = "lines.gpkg";

static const struct isw_column columns[] = {
    {"date", ISW_COLUMN_TEXT}, {"day_of_year", ISW_COLUMN_WHOLE}, {"label", ISW_COLUMN_TEXT}};

/* The lines of one sowing map. */
struct task {
  const struct isw_lines_crop *crop;
  int v, s;
  char *layer;
  const char *raster; /* the folder's */
  GPtrArray *lines;
};

static void clear_task(gpointer data) {
  struct task *task = data;
  g_free(task->layer);
  if (task->lines != NULL) g_ptr_array_unref(task->lines);
}

static void list_crop(const struct isw_lines_crop *crop, struct isw_folder *folder, GArray *tasks) {
  const struct isw_plan *plan = crop->plan;
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++) {
      char *raster = isw_output_result_name(plan, v, s, ".tif");
      struct task task = {.crop = crop,
                          .v = v,
                          .s = s,
                          .layer = isw_output_result_name(plan, v, s, ""),
                          .raster = isw_output_temporary_path(folder, raster)};
      g_array_append_val(tasks, task);
      g_free(raster);
    }
}

static enum isw_status find_lines(void *self, int i, struct isw_error *error) {
  struct task *task = &g_array_index((GArray *)self, struct task, i);
  const struct isw_plan *plan = task->crop->plan;
  struct isw_map_page page = *task->crop->page;
  page.plan = plan;
  if (isw_base_interrupted_by())
    return isw_base_fail(error, ISW_INTERRUPTED, "interrupted; no results were changed");
  return isw_chart_find_sowing_lines(
      &page, task->raster, &plan->sheet->varieties[plan->varieties[task->v]],
      &plan->sheet->seasons[plan->seasons[task->s]],
      isw_survey_result_tally(task->crop->tally, isw_growth_result_index(plan, task->v, task->s)),
      &task->lines, error);
}

static enum isw_status add_line(struct isw_geopackage *package, const struct isw_date_line *line,
                                struct isw_error *error) {
  char date[ISW_DATE_SIZE], label[ISW_DATE_SIZE];
  OGRGeometryH shape = OGR_G_CreateGeometry(wkbLineString);
  for (int i = 0; i < line->n; i++)
    if (isfinite(line->x[i]) && isfinite(line->y[i]))
      OGR_G_AddPoint_2D(shape, line->x[i], line->y[i]);
  GPtrArray *row = isw_output_new_row();
  isw_output_add_cell(row, "%s", isw_base_format_month_day(line->day, date));
  isw_output_add_cell(row, "%d", line->day + 1);
  isw_output_add_cell(row, "%s", isw_words_short_date(line->day, label));
  enum isw_status status =
      OGR_G_GetPointCount(shape) >= 2 ? isw_output_add_feature(package, shape, row, error) : ISW_OK;
  g_ptr_array_unref(row);
  OGR_G_DestroyGeometry(shape);
  return status;
}

static enum isw_status write_layers(const GArray *tasks, const char *wkt, const char *path,
                                    struct isw_error *error) {
  struct isw_geopackage *package;
  enum isw_status status = isw_output_create_geopackage(path, &package, error);
  if (status != ISW_OK) return status;
  for (guint i = 0; i < tasks->len && status == ISW_OK; i++) {
    const struct task *task = &g_array_index(tasks, struct task, i);
    status = isw_output_begin_layer(package, task->layer, wkt, wkbLineString,
                                    (int)G_N_ELEMENTS(columns), columns, error);
    for (guint k = 0; k < task->lines->len && status == ISW_OK; k++)
      status = add_line(package, g_ptr_array_index(task->lines, k), error);
  }
  if (status == ISW_OK) return isw_output_close_geopackage(package, error);
  isw_output_drop_geopackage(package);
  return status;
}

enum isw_status isw_jobs_write_lines(int n, const struct isw_lines_crop *crops, const char *wkt,
                                     int threads, struct isw_folder *folder,
                                     struct isw_error *error) {
  GArray *tasks = g_array_new(FALSE, FALSE, sizeof(struct task));
  g_array_set_clear_func(tasks, clear_task);
  for (int i = 0; i < n; i++) list_crop(&crops[i], folder, tasks);
  enum isw_status status =
      isw_survey_do_tasks((int)tasks->len, threads, find_lines, tasks, NULL, error);
  if (status == ISW_OK)
    status =
        write_layers(tasks, wkt, isw_output_temporary_path(folder, isw_jobs_lines_name), error);
  g_array_unref(tasks);
  return status;
}

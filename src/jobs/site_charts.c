#include "jobs/site_charts.h"

#include <glib.h>
#include <string.h>

#include "base/interrupt.h"
#include "chart/place_year.h"
#include "jobs/input_files.h"
#include "output/file_names.h"
#include "output/folder.h"
#include "survey/thread_pool.h"

static const char ending[] = ".png";

struct chart {
  const struct isw_plan *plan;
  const struct isw_site *site;
  char *name; /* of its file */
  const char *path;
};

struct drawing {
  const struct isw_charts_request *charts;
  GArray *list; /* struct chart */
};

/* A name that came to the same as another's is told, or nobody finds its chart. */
static void tell_numbered(const struct isw_charts_request *charts, const char *prefix,
                          char *const *files, struct isw_log *log) {
  for (int i = 0; i < charts->n_sites; i++) {
    char **alone = isw_output_name_files(prefix, 1, &charts->sites[i].name, ending);
    if (strcmp(alone[0], files[i]) != 0)
      isw_base_notice(log, "%s: its chart is %s, for %s is another's", charts->sites[i].name,
                      files[i], alone[0]);
    g_strfreev(alone);
  }
}

/* Those of one crop. */
static void list_charts(const struct isw_charts_request *charts, const struct isw_plan *plan,
                        struct isw_log *log, GArray *list) {
  GPtrArray *names = g_ptr_array_new();
  for (int i = 0; i < charts->n_sites; i++) g_ptr_array_add(names, (gpointer)charts->sites[i].name);
  char *prefix = charts->n_crops > 1 ? g_strconcat(plan->sheet->crop, "-", NULL) : g_strdup("");
  char **files =
      isw_output_name_files(prefix, charts->n_sites, (const char *const *)names->pdata, ending);
  for (int i = 0; i < charts->n_sites; i++) {
    const struct chart chart = {plan, &charts->sites[i], g_strdup(files[i]), NULL};
    if (charts->sites[i].no_data)
      g_free(chart.name);
    else
      g_array_append_val(list, chart);
  }
  tell_numbered(charts, prefix, files, log);
  g_strfreev(files);
  g_free(prefix);
  g_ptr_array_unref(names);
}

static enum isw_status open_folder(const struct isw_charts_request *charts, GArray *list,
                                   struct isw_log *log, struct isw_folder **folder,
                                   struct isw_error *error) {
  const struct isw_options *options = charts->request->options;
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; i < list->len; i++)
    g_ptr_array_add(names, g_array_index(list, struct chart, i).name);
  GPtrArray *inputs = isw_jobs_list_input_paths(charts->request, options, NULL);
  const struct isw_earlier_request there = {
      .dir = options->charts,
      .replace = options->overwrite ? ISW_REPLACE_RESULTS : ISW_REPLACE_NOTHING,
      .no_record = true,
      .n_names = (int)names->len,
      .names = (const char *const *)names->pdata,
      .n_inputs = (int)inputs->len,
      .inputs = (const char *const *)inputs->pdata,
      .threads = options->threads};
  enum isw_status status = isw_output_open_folder(&there, log, folder, error);
  g_ptr_array_unref(inputs);
  g_ptr_array_unref(names);
  return status;
}

static enum isw_status draw_chart(void *self, int number, struct isw_error *error) {
  const struct drawing *drawing = self;
  const struct chart *chart = &g_array_index(drawing->list, struct chart, number);
  if (isw_base_interrupted_by() != 0) return isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
  struct isw_place *place = isw_survey_new_place(chart->plan, chart->site);
  enum isw_status status =
      isw_chart_draw_place_year(place, chart->plan, chart->path, "isosow " ISOSOW_VERSION,
                                drawing->charts->fahrenheit, error);
  isw_survey_free_place(place);
  return status;
}

enum isw_status isw_jobs_write_charts(const struct isw_charts_request *charts,
                                      struct isw_error *error) {
  struct isw_log log = charts->request->log;
  const char *dir = charts->request->options->charts;
  struct drawing drawing = {charts, g_array_new(FALSE, FALSE, sizeof(struct chart))};
  struct isw_folder *folder = NULL;
  for (int c = 0; c < charts->n_crops; c++)
    list_charts(charts, charts->plans[c], &log, drawing.list);
  const int n = (int)drawing.list->len;
  enum isw_status status = open_folder(charts, drawing.list, &log, &folder, error);
  for (int i = 0; i < n && status == ISW_OK; i++) {
    struct chart *chart = &g_array_index(drawing.list, struct chart, i);
    chart->path = isw_output_temporary_path(folder, chart->name);
  }
  if (status == ISW_OK)
    status = isw_survey_do_tasks(n, charts->request->options->threads, draw_chart, &drawing, &log,
                                 error);
  if (status == ISW_OK) status = isw_output_commit_folder(folder, error);
  isw_output_free_folder(folder);
  if (status == ISW_OK) isw_base_notice(&log, "%s: %d charts", dir, n);
  for (int i = 0; i < n; i++) g_free(g_array_index(drawing.list, struct chart, i).name);
  g_array_unref(drawing.list);
  return status;
}

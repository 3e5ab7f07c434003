/* Single years to normals and the spread between years. */
#include "jobs/jobs.h"
#include "jobs/normals_grid.h"
#include "jobs/record_inputs.h"
#include "output/station_table.h"

static bool has_ids(const struct isw_record *record) {
  for (int i = 0; i < record->count; i++)
    if (record->stations[i].id != NULL) return true;
  return false;
}

static enum isw_status answer_stations(const struct isw_request *request,
                                       const struct isw_record *record,
                                       const struct isw_record_request *rules,
                                       const struct isw_record_normals *normals,
                                       struct isw_error *error) {
  GString *text = g_string_new(NULL);
  char *period = isw_jobs_record_period(rules);
  const bool ids = has_ids(record);
  isw_output_append_station_header(text, ids);
  for (int i = 0; i < record->count; i++)
    if (normals[i].valid)
      isw_output_append_station_row(text, ids, &record->stations[i], period, &normals[i].normals);
  enum isw_status status = isw_jobs_answer_data(request, text, error);
  g_free(period);
  g_string_free(text, TRUE);
  return status;
}

static enum isw_status make_stations(const struct isw_request *request, struct isw_error *error) {
  struct isw_log log = request->log;
  struct isw_record *record = NULL;
  struct isw_record_request rules;
  struct isw_record_normals *normals = NULL;
  enum isw_status status = isw_jobs_read_record(request->options, &log, &record, &rules, error);
  if (status == ISW_OK)
    status = isw_jobs_make_record_normals(request->options, record, &rules, &log, &normals, error);
  if (status == ISW_OK) status = answer_stations(request, record, &rules, normals, error);
  g_free(normals);
  isw_climate_free_record(record);
  return status;
}

enum isw_status isw_jobs_normals(const struct isw_request *request, struct isw_error *error) {
  const struct isw_options *options = request->options;
  const bool grid = options->tmin != NULL || options->tmax != NULL;
  if (grid && options->record != NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--record stands instead of --tmin and --tmax; give one or the other");
  if (options->record != NULL && options->out != NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--out is for grids; the table of stations goes to standard output");
  if (grid) return isw_jobs_make_grid_normals(request, error);
  if (options->record != NULL) return make_stations(request, error);
  return isw_base_fail(error, ISW_USAGE,
                       "which years? Give --record FILE.csv, or --tmin SRC and --tmax SRC");
}

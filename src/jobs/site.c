/* A grower's answer for one place, or for a table of stations. */
#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/clock.h"
#include "chart/place_year.h"
#include "jobs/jobs.h"
#include "jobs/site_charts.h"
#include "jobs/site_days.h"
#include "jobs/site_inputs.h"
#include "output/place_agreement.h"
#include "output/place_card.h"
#include "output/place_csv.h"
#include "output/place_ics.h"
#include "output/place_json.h"
#include "output/variety_table.h"
#include "words/date_words.h"

/* Places held at a time: in full 60 kB each and more. */
enum { FULL_PLACES = 256, QUICK_PLACES = 8192 };

struct site_job {
  const struct isw_request *request;
  const struct isw_options *options; /* the request's */
  struct isw_log log;
  struct isw_crop_plans crops;
  struct isw_site_inputs inputs;
  enum isw_site_format format;
  bool fahrenheit;
  gint64 now;
  GString *text; /* not yet written */
};

static int year_of(gint64 now) {
  GDateTime *date = g_date_time_new_from_unix_utc(now);
  int year = date != NULL ? g_date_time_get_year(date) : 0;
  if (date != NULL) g_date_time_unref(date);
  return year;
}

static struct isw_card_options card_options(const struct site_job *job) {
  return (struct isw_card_options){.fahrenheit = job->fahrenheit,
                                   .bold = job->request->terminal,
                                   .this_year = year_of(job->now),
                                   .note = job->inputs.note};
}

static enum isw_status write_text(struct site_job *job, struct isw_error *error) {
  return job->format == ISW_FORMAT_TEXT || job->format == ISW_FORMAT_TABLE
             ? isw_jobs_answer_string(job->request, job->text, error)
             : isw_jobs_answer_data(job->request, job->text, error);
}

static bool several_crops(const struct site_job *job) {
  return job->crops.count > 1;
}

static enum isw_status write_crop_rows(struct site_job *job, const struct isw_plan *plan,
                                       struct isw_error *error) {
  size_t n_results = (size_t)plan->n_varieties * (size_t)plan->n_seasons;
  int most = MIN(QUICK_PLACES, job->inputs.count);
  struct isw_result *results = g_new(struct isw_result, n_results * (size_t)most);
  enum isw_status status = ISW_OK;
  for (int first = 0; first < job->inputs.count && status == ISW_OK; first += most) {
    const struct isw_site *sites = job->inputs.sites + first;
    int count = MIN(most, job->inputs.count - first);
    isw_survey_run_sites(plan, count, sites, job->options->threads, results);
    for (int i = 0; i < count; i++)
      isw_output_append_place_rows(job->text, plan, &sites[i], results + n_results * (size_t)i,
                                   several_crops(job));
    status = write_text(job, error);
  }
  g_free(results);
  return status;
}

static enum isw_status write_rows(struct site_job *job, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  isw_output_append_place_header(job->text, several_crops(job), false);
  for (int c = 0; c < job->crops.count && status == ISW_OK; c++)
    status = write_crop_rows(job, job->crops.plans[c], error);
  return status;
}

/* Widths hang on all places, of which so little is kept. */
static enum isw_status write_crop_table(struct site_job *job, const struct isw_plan *plan,
                                        struct isw_error *error) {
  const gsize n_results = (gsize)plan->n_varieties * (gsize)plan->n_seasons;
  const int n = job->inputs.count, most = MIN(QUICK_PLACES, n);
  struct isw_variety_cell *cells = g_try_new0(struct isw_variety_cell, n_results * (gsize)n);
  if (cells == NULL)
    return isw_base_fail(error, ISW_RESOURCES, "no memory for a table of %d places", n);
  struct isw_result *results = g_new(struct isw_result, n_results * (gsize)most);
  for (int first = 0; first < n; first += most) {
    const int count = MIN(most, n - first);
    isw_survey_run_sites(plan, count, job->inputs.sites + first, job->options->threads, results);
    for (int i = 0; i < count; i++)
      isw_output_read_variety_cells(plan, results + n_results * (gsize)i,
                                    cells + n_results * (gsize)(first + i));
  }
  const struct isw_card_options options = card_options(job);
  isw_output_append_variety_table(job->text, plan, n, job->inputs.sites, cells, &options);
  g_free(results);
  g_free(cells);
  return write_text(job, error);
}

static enum isw_status write_table(struct site_job *job, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (int c = 0; c < job->crops.count && status == ISW_OK; c++) {
    if (c > 0) g_string_append(job->text, "\n\n");
    status = write_crop_table(job, job->crops.plans[c], error);
  }
  return status;
}

/* ---- the forms of an answer ---- */

/* Everything about a chunk of places, crop by crop, is held at a time. */
struct chunk {
  int count;
  struct isw_place **places; /* [crop][place] */
};

static enum isw_status each_chunk(struct site_job *job, int n_plans, struct isw_plan *const *plans,
                                  void (*take)(struct site_job *job, struct isw_plan *const *plans,
                                               const struct chunk *chunk, bool first),
                                  struct isw_error *error) {
  int most = MIN(FULL_PLACES, job->inputs.count);
  struct isw_place **places = g_new0(struct isw_place *, (gsize)(most * n_plans));
  enum isw_status status = ISW_OK;
  for (int first = 0; first < job->inputs.count && status == ISW_OK; first += most) {
    struct chunk chunk = {MIN(most, job->inputs.count - first), places};
    for (int c = 0; c < n_plans; c++)
      isw_survey_new_places(plans[c], chunk.count, job->inputs.sites + first, job->options->threads,
                            false, places + c * chunk.count);
    take(job, plans, &chunk, first == 0);
    for (int i = 0; i < chunk.count * n_plans; i++) isw_survey_free_place(places[i]);
    status = write_text(job, error);
  }
  g_free(places);
  return status;
}

/* A place's cards, of all crops, stand together. */
static void append_cards(struct site_job *job, struct isw_plan *const *plans,
                         const struct chunk *chunk, bool first) {
  struct isw_card_options card = card_options(job);
  for (int i = 0; i < chunk->count; i++)
    for (int c = 0; c < job->crops.count; c++) {
      if (!first || i > 0 || c > 0) g_string_append(job->text, "\n\n");
      isw_output_append_place_card(job->text, plans[c], chunk->places[c * chunk->count + i], &card);
    }
}

static void append_json(struct site_job *job, struct isw_plan *const *plans,
                        const struct chunk *chunk, bool first) {
  for (int i = 0; i < chunk->count; i++)
    isw_output_append_json_place(job->text, plans[0], chunk->places[i], job->fahrenheit,
                                 first && i == 0);
}

static enum isw_status write_json(struct site_job *job, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  if (several_crops(job)) isw_output_append_json_crops_start(job->text);
  for (int c = 0; c < job->crops.count && status == ISW_OK; c++) {
    if (c > 0) isw_output_append_json_next_crop(job->text);
    isw_output_append_json_start(job->text, job->crops.plans[c]);
    status = each_chunk(job, 1, &job->crops.plans[c], append_json, error);
    isw_output_append_json_end(job->text);
  }
  if (several_crops(job)) isw_output_append_json_crops_end(job->text);
  return status == ISW_OK ? write_text(job, error) : status;
}

static void append_calendars(struct site_job *job, struct isw_plan *const *plans,
                             const struct chunk *chunk, bool first) {
  (void)first;
  for (int i = 0; i < chunk->count; i++)
    for (int c = 0; c < job->crops.count; c++)
      isw_output_append_ics_place(job->text, plans[c], chunk->places[c * chunk->count + i],
                                  job->now, several_crops(job));
}

/* Rows with the columns of the records: of whole places. */
static void append_records(struct site_job *job, struct isw_plan *const *plans,
                           const struct chunk *chunk, bool first) {
  (void)first;
  for (int i = 0; i < chunk->count; i++) {
    const struct isw_place *place = chunk->places[i];
    const struct isw_site site = {.name = place->name,
                                  .lat_text = place->lat_text,
                                  .lon_text = place->lon_text,
                                  .no_data = place->no_data};
    isw_output_append_record_rows(job->text, plans[0], &site, place, several_crops(job));
  }
}

static enum isw_status write_records(struct site_job *job, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  isw_output_append_place_header(job->text, several_crops(job), true);
  for (int c = 0; c < job->crops.count && status == ISW_OK; c++)
    status = each_chunk(job, 1, &job->crops.plans[c], append_records, error);
  return status;
}

static enum isw_status write_calendar(struct site_job *job, struct isw_error *error) {
  isw_output_append_ics_start(job->text);
  enum isw_status status =
      each_chunk(job, job->crops.count, job->crops.plans, append_calendars, error);
  isw_output_append_ics_end(job->text);
  return status == ISW_OK ? write_text(job, error) : status;
}

static enum isw_status write_answer(struct site_job *job, struct isw_error *error) {
  switch (job->format) {
    case ISW_FORMAT_CSV:
      return job->inputs.record == NULL ? write_rows(job, error) : write_records(job, error);
    case ISW_FORMAT_JSON: return write_json(job, error);
    case ISW_FORMAT_ICS: return write_calendar(job, error);
    case ISW_FORMAT_TABLE: return write_table(job, error);
    case ISW_FORMAT_TEXT: break;
  }
  return each_chunk(job, job->crops.count, job->crops.plans, append_cards, error);
}

/* Calendars are held against places that have data; those without go. */
static void drop_places_without_data(struct isw_site_inputs *inputs) {
  int kept = 0;
  for (int i = 0; i < inputs->count; i++)
    if (!inputs->sites[i].no_data) inputs->sites[kept++] = inputs->sites[i];
  inputs->count = kept;
}

static enum isw_status write_agreement(struct site_job *job, struct isw_error *error) {
  const struct isw_plan *plan = job->crops.plans[0];
  struct isw_published_list list;
  drop_places_without_data(&job->inputs);
  enum isw_status status = isw_survey_read_published(
      job->options->compare_dates, plan, job->inputs.count, job->inputs.sites, &list, error);
  if (status != ISW_OK) return status;
  bool csv = job->format == ISW_FORMAT_CSV;
  struct isw_date_agreement *agreements = g_new0(struct isw_date_agreement, (gsize)list.count);
  struct isw_site *sites = g_new(struct isw_site, (gsize)list.count);
  for (int i = 0; i < list.count; i++) sites[i] = job->inputs.sites[list.items[i].site];
  isw_output_append_agreement_header(job->text, csv);
  int most = MIN(FULL_PLACES, list.count);
  struct isw_place **places = g_new0(struct isw_place *, (gsize)most);
  for (int first = 0; first < list.count && status == ISW_OK; first += most) {
    int count = MIN(most, list.count - first);
    isw_survey_new_places(plan, count, sites + first, job->options->threads, false, places);
    for (int i = 0; i < count; i++) {
      isw_survey_compare_dates(plan, places[i], &list.items[first + i], &agreements[first + i]);
      isw_output_append_agreement_row(job->text, csv, plan, &list.items[first + i],
                                      &agreements[first + i]);
      isw_survey_free_place(places[i]);
    }
    status = write_text(job, error);
  }
  if (status == ISW_OK) {
    GString *summary = g_string_new(NULL);
    isw_output_append_agreement_summary(summary, list.count, agreements);
    if (!csv) {
      g_string_append_printf(job->text, "\n%s", summary->str);
      status = write_text(job, error);
    } else if (job->log.stream != NULL && !job->log.quiet) {
      fputs(summary->str, job->log.stream);
    }
    g_string_free(summary, TRUE);
  }
  g_free(places);
  g_free(sites);
  g_free(agreements);
  isw_survey_free_published(&list);
  return status;
}

/* Drawn before anything is answered, so that a disk that refuses it is told at once. */
static enum isw_status draw_chart(struct site_job *job, struct isw_error *error) {
  if (job->inputs.count != 1)
    return isw_base_fail(error, ISW_USAGE,
                         "--chart draws one place, and there are %d stations\nChoose one with "
                         "--station NAME, or draw all with --charts DIR",
                         job->inputs.count);
  const struct isw_plan *plan = job->crops.plans[0];
  struct isw_place *place = isw_survey_new_place(plan, &job->inputs.sites[0]);
  enum isw_status status = isw_chart_draw_place_year(
      place, plan, job->options->chart, "isosow " ISOSOW_VERSION, job->fahrenheit, error);
  isw_survey_free_place(place);
  return status;
}

static enum isw_status draw_charts(struct site_job *job, struct isw_error *error) {
  const struct isw_charts_request charts = {.request = job->request,
                                            .n_crops = job->crops.count,
                                            .plans = job->crops.plans,
                                            .n_sites = job->inputs.count,
                                            .sites = job->inputs.sites,
                                            .fahrenheit = job->fahrenheit};
  return isw_jobs_write_charts(&charts, error);
}

static enum isw_status check_chart(const struct isw_options *options, struct isw_error *error) {
  if (options->charts != NULL && (options->chart != NULL || options->compare_dates != NULL))
    return isw_base_fail(error, ISW_USAGE, "--charts and %s do not go together",
                         options->chart != NULL ? "--chart" : "--compare-dates");
  if (options->chart == NULL) return ISW_OK;
  enum isw_status status = isw_chart_check_year_path(options->chart, error);
  if (status != ISW_OK) return status;
  if (options->compare_dates != NULL)
    return isw_base_fail(error, ISW_USAGE, "--chart and --compare-dates do not go together");
  if (!options->overwrite && g_file_test(options->chart, G_FILE_TEST_EXISTS))
    return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: is there already", options->chart);
  return ISW_OK;
}

static struct isw_days_request days_request(const struct site_job *job) {
  return (struct isw_days_request){.request = job->request,
                                   .n_crops = job->crops.count,
                                   .plans = job->crops.plans,
                                   .n_sites = job->inputs.count,
                                   .sites = job->inputs.sites,
                                   .format = job->format,
                                   .card = card_options(job)};
}

static enum isw_status check_options(struct site_job *job, struct isw_error *error) {
  const struct isw_options *options = job->options;
  if (options->format != ISW_NOT_GIVEN) job->format = (enum isw_site_format)options->format;
  job->fahrenheit = options->show == ISW_SHOW_F;
  isw_words_set_date_style((enum isw_date_style)options->date_style);
  if (options->compare_dates != NULL && options->stations == NULL)
    return isw_base_fail(error, ISW_USAGE, "--compare-dates needs --stations FILE");
  if (options->record == NULL && (options->from_year > 0 || options->to_year > 0))
    return isw_base_fail(error, ISW_USAGE, "--from and --to need --record FILE");
  if (options->compare_dates != NULL && job->format != ISW_FORMAT_TEXT &&
      job->format != ISW_FORMAT_CSV)
    return isw_base_fail(error, ISW_USAGE, "--compare-dates is written as text or csv");
  enum isw_status status = isw_jobs_check_days_options(options, job->format, error);
  return status == ISW_OK ? check_chart(options, error) : status;
}

static enum isw_status make_plans(struct site_job *job, struct isw_error *error) {
  enum isw_status status = isw_jobs_make_plans(job->options, &job->crops, error);
  const char *of_one = job->options->chart != NULL           ? "--chart draws"
                       : job->options->compare_dates != NULL ? "--compare-dates is about"
                                                             : NULL;
  if (status == ISW_OK && of_one != NULL && several_crops(job))
    return isw_base_fail(error, ISW_USAGE, "%s one crop, and --crop is given %d times; give one",
                         of_one, job->crops.count);
  return status;
}

static enum isw_status run_job(struct site_job *job, struct isw_error *error) {
  enum isw_status status = check_options(job, error);
  if (status == ISW_OK) status = make_plans(job, error);
  if (status == ISW_OK) status = isw_jobs_read_sites(job->options, &job->log, &job->inputs, error);
  if (status != ISW_OK) return status;
  if (job->options->compare_dates != NULL) return write_agreement(job, error);
  const struct isw_days_request days = days_request(job);
  if (job->options->chart != NULL) status = draw_chart(job, error);
  if (job->options->charts != NULL) status = draw_charts(job, error);
  if (status == ISW_OK && job->options->days != NULL) status = isw_jobs_write_days(&days, error);
  if (status != ISW_OK) return status;
  if (job->options->sow_day != ISW_NOT_GIVEN) return isw_jobs_answer_sowing(&days, error);
  if (job->options->every_days > 0) return isw_jobs_answer_planting_plan(&days, error);
  return write_answer(job, error);
}

enum isw_status isw_jobs_site(const struct isw_request *request, struct isw_error *error) {
  struct site_job job = {.request = request,
                         .options = request->options,
                         .log = request->log,
                         .now = isw_base_now(),
                         .text = g_string_new(NULL)};
  enum isw_status status = run_job(&job, error);
  isw_jobs_free_sites(&job.inputs);
  isw_jobs_free_plans(&job.crops);
  g_string_free(job.text, TRUE);
  return status;
}

#include "jobs/site_days.h"

#include <errno.h>
#include <stdio.h>

#include "base/interrupt.h"
#include "output/days_card.h"
#include "output/days_csv.h"
#include "output/days_json.h"
#include "output/place_json.h"
#include "output/whole_file.h"

/* Held at a time: with every sowing day some 200 kB each. */
enum { PLACES_AT_A_TIME = 64 };

enum isw_status isw_jobs_check_days_options(const struct isw_options *options,
                                            enum isw_site_format format, struct isw_error *error) {
  const bool sow = options->sow_day != ISW_NOT_GIVEN, every = options->every_days > 0;
  if (every && options->cut.from_day < 0)
    return isw_base_fail(error, ISW_USAGE, "--every needs --cut FROM..TO");
  if (sow && every) return isw_base_fail(error, ISW_USAGE, "--sow and --every do not go together");
  if ((sow || every || options->days != NULL) && options->compare_dates != NULL)
    return isw_base_fail(error, ISW_USAGE, "%s and --compare-dates do not go together",
                         sow     ? "--sow"
                         : every ? "--every"
                                 : "--days");
  if ((sow || every) && (format == ISW_FORMAT_ICS || format == ISW_FORMAT_TABLE))
    return isw_base_fail(error, ISW_USAGE, "%s is written as text, json or csv",
                         sow ? "--sow" : "--every");
  if (options->days != NULL && !options->overwrite &&
      g_file_test(options->days, G_FILE_TEST_EXISTS))
    return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: is there already", options->days);
  return ISW_OK;
}

/* Takes the sowing days of one site for the crops that were asked for. first: of all sites. */
typedef enum isw_status take_days(const struct isw_days_request *days,
                                  struct isw_place_days *const *crops, bool first, void *into,
                                  struct isw_error *error);

/* Plans from_crop..from_crop + n_crops - 1, of every site at once. */
static enum isw_status each_site(const struct isw_days_request *days, int from_crop, int n_crops,
                                 take_days *take, void *into, struct isw_error *error) {
  struct isw_place **places = g_new(struct isw_place *, (gsize)(n_crops * PLACES_AT_A_TIME));
  struct isw_place_days **crops = g_new(struct isw_place_days *, (gsize)n_crops);
  enum isw_status status = ISW_OK;
  for (int first = 0; first < days->n_sites && status == ISW_OK; first += PLACES_AT_A_TIME) {
    int count = MIN(PLACES_AT_A_TIME, days->n_sites - first);
    for (int c = 0; c < n_crops; c++)
      isw_survey_new_places(days->plans[from_crop + c], count, days->sites + first,
                            days->request->options->threads, false, places + c * count);
    for (int i = 0; i < count; i++) {
      for (int c = 0; c < n_crops; c++)
        crops[c] = isw_survey_new_place_days(days->plans[from_crop + c], places[c * count + i]);
      if (status == ISW_OK) status = take(days, crops, first + i == 0, into, error);
      if (status == ISW_OK && isw_base_interrupted_by() != 0)
        status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
      for (int c = 0; c < n_crops; c++) {
        isw_survey_free_place_days(crops[c]);
        isw_survey_free_place(places[c * count + i]);
      }
    }
  }
  g_free(crops);
  g_free(places);
  return status;
}

static bool several_crops(const struct isw_days_request *days) {
  return days->n_crops > 1;
}

/* ---- every sowing day ---- */

struct table_file {
  struct isw_whole_file *file;
  GString *text;
};

static enum isw_status write_rows(const struct isw_days_request *days,
                                  struct isw_place_days *const *crops, bool first, void *into,
                                  struct isw_error *error) {
  (void)first;
  struct table_file *table = into;
  FILE *stream = isw_output_file_stream(table->file);
  isw_output_append_days_rows(table->text, crops[0], several_crops(days));
  const bool written = fwrite(table->text->str, 1, table->text->len, stream) == table->text->len;
  g_string_truncate(table->text, 0);
  if (written) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT, "cannot write %s: %s", days->request->options->days,
                       g_strerror(errno));
}

enum isw_status isw_jobs_write_days(const struct isw_days_request *days, struct isw_error *error) {
  struct table_file table = {NULL, g_string_new(NULL)};
  enum isw_status status = isw_output_start_file(days->request->options->days, &table.file, error);
  if (status == ISW_OK) {
    isw_output_append_days_header(table.text, several_crops(days));
    for (int c = 0; c < days->n_crops && status == ISW_OK; c++)
      status = each_site(days, c, 1, write_rows, &table, error);
    if (status == ISW_OK)
      status = isw_output_finish_file(table.file, error);
    else
      isw_output_drop_file(table.file);
  }
  g_string_free(table.text, TRUE);
  return status;
}

static enum isw_status answer(const struct isw_days_request *days, GString *text,
                              struct isw_error *error) {
  return days->format == ISW_FORMAT_TEXT ? isw_jobs_answer_string(days->request, text, error)
                                         : isw_jobs_answer_data(days->request, text, error);
}

/* One crop after another as data: each the whole answer of that crop, or rows with its id. */
static enum isw_status answer_crops(const struct isw_days_request *days, take_days *take,
                                    struct isw_error *error) {
  GString *text = g_string_new(NULL);
  enum isw_status status = ISW_OK;
  const bool json = days->format == ISW_FORMAT_JSON;
  if (json && several_crops(days)) isw_output_append_json_crops_start(text);
  for (int c = 0; c < days->n_crops && status == ISW_OK; c++) {
    if (json && c > 0) isw_output_append_json_next_crop(text);
    status = each_site(days, c, 1, take, text, error);
    if (json) isw_output_append_json_end(text);
  }
  if (json && several_crops(days)) isw_output_append_json_crops_end(text);
  if (status == ISW_OK) status = answer(days, text, error);
  g_string_free(text, TRUE);
  return status;
}

/* ---- one sowing day ---- */

static enum isw_status sowing_data(const struct isw_days_request *days,
                                   struct isw_place_days *const *crops, bool first, void *into,
                                   struct isw_error *error) {
  GString *text = into;
  int day = days->request->options->sow_day;
  if (days->format == ISW_FORMAT_JSON) {
    if (first) isw_output_append_sowing_start(text, crops[0]->plan, day);
    isw_output_append_sowing_place(text, crops[0], day, first);
  } else {
    isw_output_append_sowing_rows(text, crops[0], day, several_crops(days));
  }
  return answer(days, text, error);
}

static enum isw_status sowing_card(const struct isw_days_request *days,
                                   struct isw_place_days *const *crops, bool first, void *into,
                                   struct isw_error *error) {
  GString *text = into;
  if (!first) g_string_append(text, "\n\n");
  isw_output_append_sowing_card(text, days->n_crops, crops, days->request->options->sow_day,
                                &days->card);
  return answer(days, text, error);
}

/* Rows have one header; text has all crops of a place together. */
enum isw_status isw_jobs_answer_sowing(const struct isw_days_request *days,
                                       struct isw_error *error) {
  if (days->format == ISW_FORMAT_JSON) return answer_crops(days, sowing_data, error);
  GString *text = g_string_new(NULL);
  enum isw_status status = ISW_OK;
  if (days->format == ISW_FORMAT_CSV) {
    isw_output_append_sowing_header(text, several_crops(days));
    status = answer(days, text, error);
    if (status == ISW_OK) status = answer_crops(days, sowing_data, error);
  } else {
    status = each_site(days, 0, days->n_crops, sowing_card, text, error);
  }
  g_string_free(text, TRUE);
  return status;
}

/* ---- planting plan ---- */

static enum isw_status answer_plan(const struct isw_days_request *days,
                                   struct isw_place_days *const *crops, bool first, void *into,
                                   struct isw_error *error) {
  (void)first;
  GString *text = into;
  const struct isw_place_days *place = crops[0];
  const struct isw_options *options = days->request->options;
  struct isw_planned_cut cuts[ISW_YEAR_DAYS];
  int from_day = options->cut.from_day, to_day = options->cut.to_day, every = options->every_days;
  int n = isw_survey_plan_cuts(place, from_day, to_day, every, cuts);
  if (days->format == ISW_FORMAT_JSON) {
    isw_output_append_cuts_start(text, place->plan, from_day, to_day, every);
    isw_output_append_cuts_place(text, place, n, cuts, true);
  } else if (days->format == ISW_FORMAT_CSV) {
    isw_output_append_cuts_rows(text, place->plan, n, cuts, several_crops(days));
  } else {
    if (place->plan != days->plans[0]) g_string_append(text, "\n\n");
    isw_output_append_cuts_card(text, place, every, n, cuts, &days->card);
  }
  return answer(days, text, error);
}

enum isw_status isw_jobs_answer_planting_plan(const struct isw_days_request *days,
                                              struct isw_error *error) {
  if (days->n_sites != 1)
    return isw_base_fail(error, ISW_USAGE,
                         "--every plans one place, and there are %d stations\nChoose one with "
                         "--station NAME",
                         days->n_sites);
  GString *text = g_string_new(NULL);
  if (days->format == ISW_FORMAT_CSV) isw_output_append_cuts_header(text, several_crops(days));
  enum isw_status status = answer(days, text, error);
  g_string_free(text, TRUE);
  return status == ISW_OK ? answer_crops(days, answer_plan, error) : status;
}

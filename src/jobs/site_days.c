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
  if ((sow || every) && format == ISW_FORMAT_ICS)
    return isw_base_fail(error, ISW_USAGE, "%s is written as text, json or csv",
                         sow ? "--sow" : "--every");
  if (options->days != NULL && !options->overwrite &&
      g_file_test(options->days, G_FILE_TEST_EXISTS))
    return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: is there already", options->days);
  return ISW_OK;
}

/* Takes the sowing days of one site. first: of all sites. */
typedef enum isw_status take_days(const struct isw_days_request *days,
                                  const struct isw_place_days *place, bool first, void *into,
                                  struct isw_error *error);

static enum isw_status each_site(const struct isw_days_request *days, take_days *take, void *into,
                                 struct isw_error *error) {
  struct isw_place *places[PLACES_AT_A_TIME];
  enum isw_status status = ISW_OK;
  for (int first = 0; first < days->n_sites && status == ISW_OK; first += PLACES_AT_A_TIME) {
    int count = MIN(PLACES_AT_A_TIME, days->n_sites - first);
    isw_survey_new_places(days->plan, count, days->sites + first, days->request->options->threads,
                          false, places);
    for (int i = 0; i < count; i++) {
      struct isw_place_days *place = isw_survey_new_place_days(days->plan, places[i]);
      if (status == ISW_OK) status = take(days, place, first + i == 0, into, error);
      if (status == ISW_OK && isw_base_interrupted_by() != 0)
        status = isw_base_fail(error, ISW_INTERRUPTED, "interrupted");
      isw_survey_free_place_days(place);
      isw_survey_free_place(places[i]);
    }
  }
  return status;
}

/* ---- every sowing day ---- */

struct table_file {
  struct isw_whole_file *file;
  GString *text;
};

static enum isw_status write_rows(const struct isw_days_request *days,
                                  const struct isw_place_days *place, bool first, void *into,
                                  struct isw_error *error) {
  struct table_file *table = into;
  FILE *stream = isw_output_file_stream(table->file);
  g_string_truncate(table->text, 0);
  if (first) isw_output_append_days_header(table->text);
  isw_output_append_days_rows(table->text, place);
  if (fwrite(table->text->str, 1, table->text->len, stream) == table->text->len) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT, "cannot write %s: %s", days->request->options->days,
                       g_strerror(errno));
}

enum isw_status isw_jobs_write_days(const struct isw_days_request *days, struct isw_error *error) {
  struct table_file table = {NULL, g_string_new(NULL)};
  enum isw_status status = isw_output_start_file(days->request->options->days, &table.file, error);
  if (status == ISW_OK) {
    status = each_site(days, write_rows, &table, error);
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

/* ---- one sowing day ---- */

static enum isw_status answer_place(const struct isw_days_request *days,
                                    const struct isw_place_days *place, bool first, void *into,
                                    struct isw_error *error) {
  GString *text = into;
  int day = days->request->options->sow_day;
  if (days->format == ISW_FORMAT_JSON) {
    if (first) isw_output_append_sowing_start(text, days->plan, day);
    isw_output_append_sowing_place(text, place, day, first);
  } else if (days->format == ISW_FORMAT_CSV) {
    if (first) isw_output_append_sowing_header(text);
    isw_output_append_sowing_rows(text, place, day);
  } else {
    if (!first) g_string_append(text, "\n\n");
    isw_output_append_sowing_card(text, place, day, &days->card);
  }
  return answer(days, text, error);
}

enum isw_status isw_jobs_answer_sowing(const struct isw_days_request *days,
                                       struct isw_error *error) {
  GString *text = g_string_new(NULL);
  enum isw_status status = each_site(days, answer_place, text, error);
  if (days->format == ISW_FORMAT_JSON) isw_output_append_json_end(text);
  if (status == ISW_OK) status = answer(days, text, error);
  g_string_free(text, TRUE);
  return status;
}

/* ---- planting plan ---- */

static enum isw_status answer_plan(const struct isw_days_request *days,
                                   const struct isw_place_days *place, bool first, void *into,
                                   struct isw_error *error) {
  GString *text = into;
  const struct isw_options *options = days->request->options;
  struct isw_planned_cut cuts[ISW_YEAR_DAYS];
  int from_day = options->cut.from_day, to_day = options->cut.to_day, every = options->every_days;
  int n = isw_survey_plan_cuts(place, from_day, to_day, every, cuts);
  if (days->format == ISW_FORMAT_JSON) {
    isw_output_append_cuts_start(text, days->plan, from_day, to_day, every);
    isw_output_append_cuts_place(text, place, n, cuts, first);
    isw_output_append_json_end(text);
  } else if (days->format == ISW_FORMAT_CSV) {
    isw_output_append_cuts_header(text);
    isw_output_append_cuts_rows(text, days->plan, n, cuts);
  } else {
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
  enum isw_status status = each_site(days, answer_plan, text, error);
  g_string_free(text, TRUE);
  return status;
}

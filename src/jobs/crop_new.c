#include "jobs/crop_new.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "crop/sheet_new.h"
#include "jobs/crop_check.h"
#include "output/whole_file.h"

enum isw_status isw_jobs_refuse_new_options(const struct isw_options *options, const char *word,
                                            struct isw_error *error) {
  static const char *const names[] = {"from", "days", "heads-to", "stands", "name", "title", "out"};
  for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
    char *text = isw_jobs_option_text(options, isw_jobs_find_option(names[i], ISW_COMMAND_CROP));
    const bool given = text != NULL;
    g_free(text);
    if (given)
      return isw_base_fail(error, ISW_USAGE, "--%s is an option of crop new, not of crop %s",
                           names[i], word);
  }
  return ISW_OK;
}

/* "SHEET:VARIETY" into its words; a colon that a folder's name follows is a path's. */
static void split_from(const char *from, char **sheet, char **variety) {
  const char *colon = strrchr(from, ':');
  if (colon != NULL && strchr(colon, '/') != NULL) colon = NULL;
  *sheet = colon != NULL ? g_strndup(from, (gsize)(colon - from)) : g_strdup(from);
  *variety = colon != NULL ? g_strdup(colon + 1) : NULL;
}

static double to_celsius(const struct isw_options *options, const struct isw_sheet *sheet,
                         double value) {
  const enum isw_unit given = isw_jobs_chosen_unit(options);
  return isw_base_to_celsius(value, given == ISW_UNIT_UNKNOWN ? sheet->unit : given);
}

static enum isw_status check_range(const char *name, double value_C, double least_C, double most_C,
                                   struct isw_error *error) {
  if (isnan(value_C) || (value_C >= least_C && value_C <= most_C)) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE,
                       "--%s: %.1f degC is outside %g..%g degC; is the unit right (--unit C|F)?",
                       name, value_C, least_C, most_C);
}

static enum isw_status read_type(const struct isw_options *options, const struct isw_sheet *sheet,
                                 const char *like, struct isw_catalogue_type *out,
                                 struct isw_error *error) {
  *out =
      (struct isw_catalogue_type){.like = like,
                                  .name = options->name,
                                  .title = options->title,
                                  .days = options->crop_days,
                                  .hottest_week_C = to_celsius(options, sheet, options->heads_to),
                                  .stands_C = to_celsius(options, sheet, options->stands)};
  if (isnan(out->days) && isnan(out->hottest_week_C) && isnan(out->stands_C))
    return isw_base_fail(error, ISW_USAGE,
                         "what does the catalogue say? Give --days, --heads-to or --stands");
  enum isw_status status = check_range("heads-to", out->hottest_week_C, 10, 45, error);
  return status == ISW_OK ? check_range("stands", out->stands_C, -30, 0, error) : status;
}

static enum isw_status write_file(const char *path, const char *text, struct isw_error *error) {
  struct isw_whole_file *file;
  enum isw_status status = isw_output_start_file(path, &file, error);
  if (status != ISW_OK) return status;
  fwrite(text, 1, strlen(text), isw_output_file_stream(file)); /* a failure shows when finished */
  return isw_output_finish_file(file, error);
}

/* It must load as it was meant, and what is doubtful in it is told. */
static enum isw_status check_text(const struct isw_request *request, const char *text,
                                  struct isw_error *error) {
  const char *called = request->options->out != NULL ? request->options->out : "the new sheet";
  struct isw_sheet *sheet;
  struct isw_error wrong = {.status = ISW_OK};
  if (isw_crop_parse_sheet(text, strlen(text), called, &sheet, &wrong) != ISW_OK)
    return isw_base_fail(error, ISW_USAGE, "what was asked for makes no sheet: %s", wrong.text);
  enum isw_status status = isw_jobs_tell_doubts(request, called, sheet, error);
  isw_crop_free_sheet(sheet);
  return status;
}

static enum isw_status answer(const struct isw_request *request, const char *text,
                              struct isw_error *error) {
  const char *path = request->options->out;
  struct isw_log log = request->log;
  enum isw_status status = check_text(request, text, error);
  if (status == ISW_OK && path == NULL) return isw_jobs_answer(request, text, strlen(text), error);
  if (status == ISW_OK) status = write_file(path, text, error);
  if (status == ISW_OK)
    isw_base_notice(&log, "%s: written; isosow crop check %s says how it is understood", path,
                    path);
  return status;
}

static enum isw_status make_sheet(const struct isw_request *request, const char *from,
                                  const char *like, struct isw_error *error) {
  struct isw_sheet *sheet;
  enum isw_status status = isw_crop_load_sheet(from, &sheet, error);
  if (status != ISW_OK) return status;
  struct isw_catalogue_type type;
  char *text = NULL;
  status = read_type(request->options, sheet, like, &type, error);
  if (status == ISW_OK) status = isw_crop_write_new_type(sheet, &type, &text, error);
  if (status == ISW_OK) status = answer(request, text, error);
  g_free(text);
  isw_crop_free_sheet(sheet);
  return status;
}

enum isw_status isw_jobs_crop_new(const struct isw_request *request, struct isw_error *error) {
  const struct isw_options *options = request->options;
  if (options->from_sheet == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "from which sheet? Give --from SHEET, a built-in name (isosow crop list) "
                         "or a .yaml file");
  if (options->out != NULL && !options->overwrite &&
      g_file_test(options->out, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK))
    return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: is there already", options->out);
  char *from, *like;
  split_from(options->from_sheet, &from, &like);
  enum isw_status status = make_sheet(request, from, like, error);
  g_free(from);
  g_free(like);
  return status;
}

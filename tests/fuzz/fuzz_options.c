/* Values of options, one per line: numbers, page size, maps, dpi, units, dates, parts, places,
 * hemisphere (each line against the whole table), and names against a built-in sheet. */
#include <glib.h>
#include <stdlib.h>
#include <string.h>

#include "base/dates.h"
#include "base/units.h"
#include "fuzz_input.h"
#include "jobs/part_job.h"
#include "jobs/site_inputs.h"

/* In place of GLib's, which reads the system's files each time: two thirds of this search. */
guint g_get_num_processors(void) {
  return 2;
}

static struct isw_sheet *built_in_sheet(void) {
  static struct isw_sheet *sheet; /* once per run; reachable to the end */
  if (sheet == NULL && isw_crop_load_sheet("napa-cabbage", &sheet, NULL) != ISW_OK) abort();
  return sheet;
}

static void expect_within(const struct isw_options *options) {
  FUZZ_EXPECT(options->good >= 0.0 && options->good <= 100.0);
  FUZZ_EXPECT(options->spread_K >= 0.01 && options->spread_K <= 30.0);
  FUZZ_EXPECT(options->dpi >= 50.0 && options->dpi <= 1200.0);
  FUZZ_EXPECT(options->size.width_mm >= 90.0 && options->size.width_mm <= 1200.0);
  FUZZ_EXPECT(options->size.height_mm >= 90.0 && options->size.height_mm <= 1200.0);
  FUZZ_EXPECT(options->threads >= 1 && options->memory_MB >= 1);
}

/* Every option of the table with this text: refused in words, or taken, within its range, and then
 * told in a text that is taken again. */
static void try_table(const char *text) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    struct isw_options options, again;
    isw_jobs_start_options(&options);
    isw_jobs_start_options(&again);
    struct isw_error error = {.status = ISW_OK};
    enum isw_status status = isw_jobs_set_option(&options, &table[i], text, &error);
    if (status == ISW_OK) {
      expect_within(&options);
      char *told = isw_jobs_option_text(&options, &table[i]);
      FUZZ_EXPECT(told != NULL && isw_jobs_set_option(&again, &table[i], told, &error) == ISW_OK);
      char *twice = isw_jobs_option_text(&again, &table[i]);
      FUZZ_EXPECT(strcmp(told, twice) == 0);
      g_free(told);
      g_free(twice);
    } else {
      fuzz_expect_told(status, &error);
    }
    isw_jobs_clear_options(&options);
    isw_jobs_clear_options(&again);
  }
}

static void try_words(const char *text) {
  isw_base_parse_unit(text);
  isw_base_recognise_unit(text);
  int day = isw_base_parse_month_day(text);
  FUZZ_EXPECT(day >= -1 && day < ISW_YEAR_DAYS);
  struct isw_error error = {.status = ISW_OK};
  int number = 0, of = 0;
  enum isw_status status = isw_jobs_parse_part(text, &number, &of, &error);
  if (status == ISW_OK)
    FUZZ_EXPECT(number >= 1 && number <= of);
  else
    fuzz_expect_told(status, &error);
}

static void try_names(const char *variety, const char *shelter) {
  struct isw_error error = {.status = ISW_OK};
  struct isw_options options;
  isw_jobs_start_options(&options);
  if (variety[0] != '\0') {
    options.varieties = g_new0(char *, 2);
    options.varieties[0] = g_strdup(variety);
  }
  if (shelter[0] != '\0') options.grown_under = g_strdup(shelter);
  struct isw_plan *plan = NULL;
  enum isw_status status = isw_jobs_plan_sheet(&options, built_in_sheet(), &plan, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  g_free(plan);
  isw_jobs_clear_options(&options);
}

/* Without rasters a place that is understood ends in "no rasters". */
static void try_place(const char *at) {
  struct isw_error error = {.status = ISW_OK};
  struct isw_options options;
  isw_jobs_start_options(&options);
  options.at = g_strdup(at);
  struct isw_log log = isw_base_log_make(NULL, true);
  struct isw_site_inputs inputs = {.count = 0};
  enum isw_status status = isw_jobs_read_sites(&options, &log, &inputs, &error);
  FUZZ_EXPECT(status != ISW_OK);
  fuzz_expect_told(status, &error);
  isw_jobs_free_sites(&inputs);
  isw_jobs_clear_options(&options);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  enum { LINES = 8 };
  char *line[LINES];
  struct fuzz_lines lines = {data, data + size};
  for (int i = 0; i < LINES; i++) line[i] = fuzz_next_line(&lines);
  for (int i = 0; i < 4; i++) try_table(line[i]);
  try_words(line[4]);
  try_names(line[5], line[6]);
  try_place(line[7]);
  for (int i = 0; i < LINES; i++) free(line[i]);
  return 0;
}

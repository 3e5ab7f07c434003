/* Values of options, one per line: numbers, page size, maps, dpi, units, dates, parts, places,
 * hemisphere, and names against a built-in sheet. */
#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/dates.h"
#include "base/units.h"
#include "cli/part_job.h"
#include "cli/site_inputs.h"
#include "fuzz_input.h"

static struct isw_sheet *built_in_sheet(void) {
  static struct isw_sheet *sheet; /* once per run; reachable to the end */
  if (sheet == NULL && isw_crop_load_sheet("napa-cabbage", &sheet, NULL) != ISW_OK) abort();
  return sheet;
}

static void try_number(const char *text) {
  struct isw_error error = {.status = ISW_OK};
  double number = 0.0;
  enum isw_status status = isw_cli_parse_number("--number", text, -10.0, 1e6, &number, &error);
  if (status == ISW_OK)
    FUZZ_EXPECT(number >= -10.0 && number <= 1e6);
  else
    fuzz_expect_told(status, &error);
}

static void try_page(const char *size, const char *maps, const char *dpi) {
  struct isw_error error = {.status = ISW_OK};
  struct isw_page_options options;
  isw_cli_start_page_options(&options);
  options.size = g_strdup(size);
  if (maps[0] != '\0') options.maps = g_strdup(maps);
  options.dpi = strtod(dpi, NULL);
  enum isw_maps which;
  struct isw_map_page page;
  enum isw_status status = isw_cli_make_page(&options, built_in_sheet(), &which, &page, &error);
  if (status == ISW_OK) {
    FUZZ_EXPECT(page.width_mm >= 90.0 && page.width_mm <= 1200.0);
    FUZZ_EXPECT(page.height_mm >= 90.0 && page.height_mm <= 1200.0);
    FUZZ_EXPECT(page.dpi >= 50.0 && page.dpi <= 1200.0);
  } else {
    fuzz_expect_told(status, &error);
  }
  isw_cli_free_page_options(&options);
}

static void try_words(const char *text) {
  isw_base_parse_unit(text);
  isw_base_recognise_unit(text);
  int day = isw_base_parse_month_day(text);
  FUZZ_EXPECT(day >= -1 && day < ISW_YEAR_DAYS);
  struct isw_error error = {.status = ISW_OK};
  int number = 0, of = 0;
  enum isw_status status = isw_cli_parse_part(text, &number, &of, &error);
  if (status == ISW_OK)
    FUZZ_EXPECT(number >= 1 && number <= of);
  else
    fuzz_expect_told(status, &error);
}

static void try_names(const char *variety, const char *shelter) {
  struct isw_error error = {.status = ISW_OK};
  struct isw_cli_options options;
  isw_cli_start_options(&options);
  if (variety[0] != '\0') {
    options.varieties = g_new0(char *, 2);
    options.varieties[0] = g_strdup(variety);
  }
  if (shelter[0] != '\0') options.grown_under = g_strdup(shelter);
  struct isw_plan *plan = NULL;
  enum isw_status status = isw_cli_plan_sheet(&options, built_in_sheet(), &plan, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  g_free(plan);
  struct isw_climate_request request;
  options.unit = g_strdup(variety);
  options.hemisphere = g_strdup(shelter);
  status = isw_cli_make_climate_request(&options, &request, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  isw_cli_free_options(&options);
}

/* Without rasters a place that is understood ends in "no rasters". */
static void try_place(char *at) {
  struct isw_error error = {.status = ISW_OK};
  struct isw_site_options options = {.at = at};
  isw_cli_start_options(&options.shared);
  struct isw_log log = isw_base_log_make(NULL, true);
  struct isw_site_inputs inputs = {.count = 0};
  enum isw_status status = isw_cli_read_sites(&options, &log, &inputs, &error);
  FUZZ_EXPECT(status != ISW_OK);
  fuzz_expect_told(status, &error);
  isw_cli_free_sites(&inputs);
  isw_cli_free_options(&options.shared);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  enum { LINES = 8 };
  char *line[LINES];
  struct fuzz_lines lines = {data, data + size};
  for (int i = 0; i < LINES; i++) line[i] = fuzz_next_line(&lines);
  try_number(line[0]);
  try_page(line[1], line[2], line[3]);
  try_words(line[4]);
  try_names(line[5], line[6]);
  try_place(line[7]);
  for (int i = 0; i < LINES; i++) free(line[i]);
  return 0;
}

/* A crop sheet from any bytes: refused in words, or a sheet that keeps what crop/sheet.h says. */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "crop/sheet.h"
#include "crop/sheet_new.h"
#include "fuzz_input.h"
#include "growth/plan.h"

static void expect_band(const struct isw_band *band) {
  FUZZ_EXPECT(isfinite(band->stops_below_C) && isfinite(band->stops_above_C));
  FUZZ_EXPECT(band->stops_below_C < band->best_from_C);
  FUZZ_EXPECT(band->best_from_C <= band->best_to_C);
  FUZZ_EXPECT(band->best_to_C < band->stops_above_C);
}

static void expect_id(const char *id) {
  FUZZ_EXPECT(id[0] != '\0');
  FUZZ_EXPECT(id[strspn(id, "abcdefghijklmnopqrstuvwxyz0123456789-")] == '\0');
}

static void expect_variety(const struct isw_sheet *sheet, const struct isw_variety *variety) {
  expect_id(variety->name);
  FUZZ_EXPECT(variety->title != NULL);
  if (variety->bolts) FUZZ_EXPECT(variety->bolts_safe < variety->bolts_all);
  for (int k = 0; k < sheet->n_stages; k++) {
    const struct isw_stage *stage = &variety->stages[k];
    FUZZ_EXPECT(strcmp(stage->name, sheet->varieties[0].stages[k].name) == 0);
    FUZZ_EXPECT(stage->shelter >= ISW_OPEN_GROUND && stage->shelter < sheet->n_shelters);
    FUZZ_EXPECT(stage->days > 0.0 && isfinite(stage->days));
    FUZZ_EXPECT(stage->at_most_days >= 1 && stage->at_most_days <= 365);
    FUZZ_EXPECT(!isnan(stage->dies_below_C));
    expect_band(&stage->band);
  }
}

static void expect_season(const struct isw_sheet *sheet, const struct isw_season *season) {
  bool seen[ISW_VARIETIES_MAX] = {false};
  expect_id(season->name);
  FUZZ_EXPECT(season->sow_from_day >= 0 && season->sow_from_day < ISW_YEAR_DAYS);
  FUZZ_EXPECT(season->sow_to_day >= 0 && season->sow_to_day < ISW_YEAR_DAYS);
  for (int v = 0; v < sheet->n_varieties; v++) {
    FUZZ_EXPECT(season->preferred[v] >= 0 && season->preferred[v] < sheet->n_varieties);
    FUZZ_EXPECT(!seen[season->preferred[v]]);
    seen[season->preferred[v]] = true;
  }
}

static void expect_sheet(const struct isw_sheet *sheet) {
  static struct isw_plan plan;
  expect_id(sheet->crop);
  FUZZ_EXPECT(sheet->swing >= 0.0 && sheet->swing <= 1.0);
  FUZZ_EXPECT(sheet->n_stages >= 1 && sheet->n_stages <= ISW_STAGES_MAX);
  FUZZ_EXPECT(sheet->n_varieties >= 1 && sheet->n_varieties <= ISW_VARIETIES_MAX);
  FUZZ_EXPECT(sheet->n_seasons >= 1 && sheet->n_seasons <= ISW_SEASONS_MAX);
  if (sheet->has_chilling) expect_band(&sheet->chilling);
  for (int v = 0; v < sheet->n_varieties; v++) expect_variety(sheet, &sheet->varieties[v]);
  for (int s = 0; s < sheet->n_seasons; s++) expect_season(sheet, &sheet->seasons[s]);
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(sheet, &conditions, 0, NULL, 0, NULL, &plan);
  FUZZ_EXPECT(plan.n_varieties == sheet->n_varieties && plan.n_seasons == sheet->n_seasons);
}

/* A type more is refused in words, or stands last in a sheet that is otherwise the same. */
static void expect_new_type(const struct isw_sheet *sheet) {
  const struct isw_catalogue_type type = {
      .name = "a-new-type-0", .days = 80, .hottest_week_C = 27, .stands_C = -3};
  struct isw_error error = {.status = ISW_OK};
  struct isw_sheet *more = NULL;
  char *text = NULL;
  const enum isw_status status = isw_crop_write_new_type(sheet, &type, &text, &error);
  if (status != ISW_OK) {
    fuzz_expect_told(status, &error);
    return;
  }
  if (isw_crop_parse_sheet(text, strlen(text), "more.yaml", &more, &error) == ISW_OK) {
    FUZZ_EXPECT(more->n_varieties == sheet->n_varieties + 1);
    FUZZ_EXPECT(strcmp(more->varieties[sheet->n_varieties].name, type.name) == 0);
    FUZZ_EXPECT(more->n_seasons == sheet->n_seasons && more->n_tasks == sheet->n_tasks);
    for (int v = 0; v < sheet->n_varieties; v++)
      FUZZ_EXPECT(strcmp(more->varieties[v].name, sheet->varieties[v].name) == 0);
  }
  isw_crop_free_sheet(more);
  g_free(text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  struct isw_sheet *sheet = NULL;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status =
      isw_crop_parse_sheet((const char *)data, size, "sheet.yaml", &sheet, &error);
  if (status == ISW_OK) {
    expect_sheet(sheet);
    expect_new_type(sheet);
  } else {
    fuzz_expect_told(status, &error);
  }
  isw_crop_free_sheet(sheet);
  return 0;
}

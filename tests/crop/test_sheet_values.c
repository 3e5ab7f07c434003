/* What a right sheet means once it is read: units, defaults, overrides, references. The rules are
 * docs/crop-sheet.md; the temperature scales are ITS-90's: degC = (degF - 32) / 1.8. */
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/dates.h"
#include "crop/sheet.h"
#include "suite_main.h"

static struct isw_sheet *read_sheet(const char *text) {
  struct isw_sheet *sheet;
  struct isw_error error = {ISW_OK, ""};
  enum isw_status status = isw_crop_parse_sheet(text, strlen(text), "here", &sheet, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  return sheet;
}

static const char least_sheet[] =
    "crop: least\n"
    "unit: C\n"
    "stages: [{stage: growing, days: 7.5, band: [0, 10, 20, 30]}]\n"
    "varieties: [{variety: only}]\n"
    "seasons: [{season: all-year, sow: [01-01, 12-31]}]\n";

START_TEST(defaults) {
  struct isw_sheet *sheet = read_sheet(least_sheet);
  ck_assert_str_eq(sheet->crop, "least");
  ck_assert_str_eq(sheet->title, "least");
  ck_assert_str_eq(sheet->origin, "here");
  ck_assert_str_eq(sheet->text, least_sheet);
  ck_assert_uint_eq(sheet->text_size, strlen(least_sheet));
  ck_assert_double_eq(sheet->swing, 1.0);
  ck_assert(!sheet->has_chilling);
  ck_assert_int_eq(sheet->n_shelters, 0);
  ck_assert_int_eq(sheet->n_stages, 1);
  ck_assert_int_eq(sheet->n_tasks, 0);
  ck_assert_int_eq(sheet->n_sources, 0);
  ck_assert_int_eq(sheet->n_varieties, 1);
  const struct isw_variety *variety = &sheet->varieties[0];
  ck_assert_str_eq(variety->title, "only");
  ck_assert(!variety->bolts);
  const struct isw_stage *stage = &variety->stages[0];
  ck_assert_str_eq(stage->name, "growing");
  ck_assert_int_eq(stage->shelter, ISW_OPEN_GROUND);
  ck_assert(!stage->transplant);
  ck_assert(!stage->chills);
  ck_assert_double_eq(stage->days, 7.5);
  ck_assert_int_eq(stage->at_most_days, 23); /* 3 x 7.5 = 22.5, rounded up */
  ck_assert(isinf(stage->dies_below_C) && stage->dies_below_C < 0);
  ck_assert_int_eq(sheet->n_seasons, 1);
  ck_assert_int_eq(sheet->seasons[0].sow_from_day, 0);
  ck_assert_int_eq(sheet->seasons[0].sow_to_day, ISW_YEAR_DAYS - 1);
  ck_assert_int_eq(sheet->seasons[0].start, ISW_START_NURSERY);
  ck_assert_int_eq(sheet->seasons[0].preferred[0], 0);
  ck_assert_int_eq(isw_crop_transplant_stage(sheet), -1);
  isw_crop_free_sheet(sheet);
}
END_TEST

static const char full_sheet[] =
    "crop: full\n"
    "title: >-\n  A  full\n  sheet\n"
    "unit: C\n"
    "swing: 0\n"
    "shelters:\n"
    "  - {shelter: house, warm_to: 16, cool_to: 28, cool_most: 4}\n"
    "  - {shelter: cover, title: 'a  cover', warm_to: 8, warm_most: 2}\n"
    "  - {shelter: south-wall}\n"
    "chilling: {band: [-1, 3, 12, 15], makes: buttoning}\n"
    "cut: {one: curd, many: curds, ready: \"is  tight\"}\n"
    "stages:\n"
    "  - {stage: young, shelter: house, days: 10, band: [4, 18, 25, 32], dies_below: -1,\n"
    "     says: {cold: it stands still, warm: it stretches}}\n"
    "  - {stage: leafy, transplant: true, days: 20, at_most: 50, band: [4, 17, 22, 30]}\n"
    "  - {stage: heads, days: 200, band: [2, 12, 12, 28], chills: true}\n"
    "varieties:\n"
    "  - {variety: first, bolts: [0, 9.5]}\n"
    "  - variety: second\n"
    "    title: The second\n"
    "    stages:\n"
    "      - {stage: heads, days: 40, shelter: cover, chills: false}\n"
    "      - {stage: leafy, days: 25, band: [5, 18, 23, 31]}\n"
    "      - {stage: young, shelter: open-ground, at_most: 12, dies_below: -3,\n"
    "         says: {warm: it rots}}\n"
    "  - {variety: third, stages: [{stage: young, days: 11}, {stage: leafy, at_most: 60}]}\n"
    "seasons:\n"
    "  - {season: winter, sow: [11-20, 02-28], prefer: [third, first], start: direct}\n"
    "  - {season: summer, sow: [05-16, 05-16], start: nursery, cut_at_once: true}\n"
    "tasks:\n"
    "  - {at: sowing, day: -14, do: Dig}\n"
    "  - {at: transplant, do: Plant}\n"
    "  - {at: heads, day: 3, do: Feed}\n"
    "  - {at: harvest, day: 1, do: \"Store: cold\"}\n"
    "sources: [One, 'Two, 1999']\n";

START_TEST(overrides_replace_what_they_name_and_nothing_else) {
  struct isw_sheet *sheet = read_sheet(full_sheet);
  ck_assert_str_eq(sheet->title, "A full sheet");
  ck_assert_str_eq(sheet->shelters[1].title, "a cover");
  ck_assert_str_eq(sheet->shelters[2].title, "south wall");
  ck_assert_double_eq(sheet->swing, 0.0);
  ck_assert_int_eq(sheet->n_varieties, 3);
  const struct isw_stage *first = sheet->varieties[0].stages;
  const struct isw_stage *second = sheet->varieties[1].stages;
  const struct isw_stage *third = sheet->varieties[2].stages;
  ck_assert_int_eq(first[0].at_most_days, 30);
  ck_assert_int_eq(first[1].at_most_days, 50);
  ck_assert_int_eq(first[2].at_most_days, 365); /* 600, capped at a year */
  ck_assert_double_eq(first[2].days, 200);
  ck_assert_int_eq(first[2].shelter, ISW_OPEN_GROUND);
  ck_assert(first[2].chills);

  ck_assert_double_eq(second[0].days, 10);
  ck_assert_int_eq(second[0].at_most_days, 12);
  ck_assert_int_eq(second[0].shelter, ISW_OPEN_GROUND);
  ck_assert_double_eq(second[0].dies_below_C, -3);
  ck_assert_double_eq(second[0].band.best_from_C, 18);
  ck_assert_double_eq(second[1].days, 25);
  ck_assert_int_eq(second[1].at_most_days, 50); /* stated for the crop: survives */
  ck_assert_double_eq(second[1].band.stops_below_C, 5);
  ck_assert_double_eq(second[1].band.stops_above_C, 31);
  ck_assert(second[1].transplant);
  ck_assert_double_eq(second[2].days, 40);
  ck_assert_int_eq(second[2].at_most_days, 120); /* 3 x the variety's own days */
  ck_assert_int_eq(second[2].shelter, 1);
  ck_assert(!second[2].chills);
  ck_assert_str_eq(second[2].name, "heads");

  ck_assert_int_eq(third[0].at_most_days, 33);
  ck_assert_int_eq(third[0].shelter, 0);
  ck_assert_int_eq(third[1].at_most_days, 60);
  ck_assert_double_eq(third[1].days, 20);

  ck_assert(sheet->varieties[0].bolts);
  ck_assert_double_eq(sheet->varieties[0].bolts_safe, 0);
  ck_assert_double_eq(sheet->varieties[0].bolts_all, 9.5);
  ck_assert(!sheet->varieties[1].bolts);
  ck_assert_str_eq(sheet->varieties[1].title, "The second");
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(words_of_the_crop) {
  struct isw_sheet *sheet = read_sheet(full_sheet);
  const struct isw_stage *first = sheet->varieties[0].stages;
  const struct isw_stage *second = sheet->varieties[1].stages;
  ck_assert_str_eq(first[0].says.cold, "it stands still");
  ck_assert_str_eq(first[0].says.warm, "it stretches");
  ck_assert_str_eq(second[0].says.cold, "it stands still"); /* not named by the variety: stays */
  ck_assert_str_eq(second[0].says.warm, "it rots");
  ck_assert_ptr_null(first[1].says.cold);
  ck_assert_ptr_null(first[1].says.warm);
  ck_assert_str_eq(sheet->chilling_makes, "buttoning");
  ck_assert_str_eq(sheet->cut.one, "curd");
  ck_assert_str_eq(sheet->cut.many, "curds");
  ck_assert_str_eq(sheet->cut.ready, "is tight");
  ck_assert(!sheet->seasons[0].cut_at_once);
  ck_assert(sheet->seasons[1].cut_at_once);
  isw_crop_free_sheet(sheet);
  sheet = read_sheet(least_sheet);
  ck_assert_ptr_null(sheet->varieties[0].stages[0].says.cold);
  ck_assert_ptr_null(sheet->chilling_makes);
  ck_assert_ptr_null(sheet->cut.one);
  ck_assert(!sheet->seasons[0].cut_at_once);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(shelters_seasons_tasks_and_sources) {
  struct isw_sheet *sheet = read_sheet(full_sheet);
  ck_assert_int_eq(sheet->n_shelters, 3);
  const struct isw_shelter *house = &sheet->shelters[0], *cover = &sheet->shelters[1];
  const struct isw_shelter *wall = &sheet->shelters[2];
  ck_assert_double_eq(house->warm_to_C, 16);
  ck_assert(isinf(house->warm_most_K) && house->warm_most_K > 0);
  ck_assert_double_eq(house->cool_to_C, 28);
  ck_assert_double_eq(house->cool_most_K, 4);
  ck_assert_double_eq(cover->warm_most_K, 2);
  ck_assert(isinf(cover->cool_to_C) && cover->cool_to_C > 0);
  ck_assert(isinf(wall->warm_to_C) && wall->warm_to_C < 0);

  const struct isw_season *winter = &sheet->seasons[0], *summer = &sheet->seasons[1];
  /* Day numbers of a 365-day year: 20 November is day 324, 28 February 59, 16 May 136 (1-based). */
  ck_assert_int_eq(winter->sow_from_day, 323);
  ck_assert_int_eq(winter->sow_to_day, 58);
  ck_assert_int_eq(winter->start, ISW_START_DIRECT);
  ck_assert_int_eq(winter->preferred[0], 2);
  ck_assert_int_eq(winter->preferred[1], 0);
  ck_assert_int_eq(winter->preferred[2], 1);
  ck_assert_int_eq(summer->sow_from_day, 135);
  ck_assert_int_eq(summer->sow_to_day, 135);
  for (int v = 0; v < 3; v++) ck_assert_int_eq(summer->preferred[v], v);

  ck_assert_int_eq(sheet->n_tasks, 4);
  ck_assert_int_eq(sheet->tasks[0].anchor, ISW_AT_SOWING);
  ck_assert_int_eq(sheet->tasks[0].day, -14);
  ck_assert_int_eq(sheet->tasks[1].anchor, ISW_AT_TRANSPLANT);
  ck_assert_int_eq(sheet->tasks[1].day, 0);
  ck_assert_int_eq(sheet->tasks[2].anchor, ISW_AT_STAGE);
  ck_assert_int_eq(sheet->tasks[2].stage, 2);
  ck_assert_int_eq(sheet->tasks[3].anchor, ISW_AT_HARVEST);
  ck_assert_str_eq(sheet->tasks[3].text, "Store: cold");
  ck_assert_int_eq(sheet->n_sources, 2);
  ck_assert_str_eq(sheet->sources[1], "Two, 1999");

  ck_assert_int_eq(isw_crop_find_variety(sheet, "third"), 2);
  ck_assert_int_eq(isw_crop_find_variety(sheet, "fourth"), -1);
  ck_assert_int_eq(isw_crop_find_season(sheet, "summer"), 1);
  ck_assert_int_eq(isw_crop_find_season(sheet, "autumn"), -1);
  ck_assert_int_eq(isw_crop_find_shelter(sheet, "south-wall"), 2);
  ck_assert_int_eq(isw_crop_find_shelter(sheet, "open-ground"), -1);
  ck_assert_int_eq(isw_crop_transplant_stage(sheet), 1);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(stages_as_they_stand_with_a_start) {
  struct isw_sheet *sheet = read_sheet(full_sheet);
  struct isw_stage placed[ISW_STAGES_MAX];
  static const struct {
    int variety;
    enum isw_start start;
    int grown_under;
    int shelters[3];
    bool transplant;
  } rows[] = {
      {0, ISW_START_NURSERY, ISW_OPEN_GROUND, {0, -1, -1}, true},
      {0, ISW_START_NURSERY, 2, {0, 2, 2}, true},
      {0, ISW_START_DIRECT, ISW_OPEN_GROUND, {-1, -1, -1}, false},
      {0, ISW_START_DIRECT, 1, {1, 1, 1}, false},
      {1, ISW_START_NURSERY, ISW_OPEN_GROUND, {-1, -1, 1}, true},
      {1, ISW_START_NURSERY, 2, {2, 2, 1}, true}, /* its own cover stays */
      {1, ISW_START_DIRECT, ISW_OPEN_GROUND, {-1, -1, -1}, false},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    isw_crop_place_stages(
        sheet, rows[i].variety,
        (struct isw_placing){.start = rows[i].start, .grown_under = rows[i].grown_under}, placed);
    for (int k = 0; k < 3; k++) {
      ck_assert_int_eq(placed[k].shelter, rows[i].shelters[k]);
      ck_assert_int_eq(placed[k].transplant, k == 1 && rows[i].transplant);
      ck_assert_double_eq(placed[k].days, sheet->varieties[rows[i].variety].stages[k].days);
    }
  }
  isw_crop_free_sheet(sheet);
}
END_TEST

/* A shelter for some seasons or varieties only: elsewhere its stages stand in open ground, as they
 * do on dates of no season. --grown-under asks for a shelter whatever its lists. */
START_TEST(a_shelter_for_a_few) {
  static const char text[] =
      "crop: a\nunit: C\nshelters:\n"
      "  - {shelter: house, warm_to: 16, seasons: [spring, winter]}\n"
      "  - {shelter: cover, warm_to: 8, seasons: [spring], varieties: [late]}\n"
      "stages:\n"
      "  - {stage: young, shelter: house, days: 9, band: [0, 1, 2, 3]}\n"
      "  - {stage: heads, shelter: cover, transplant: true, days: 9, band: [0, 1, 2, 3]}\n"
      "varieties: [{variety: early}, {variety: late}]\n"
      "seasons: [{season: spring, sow: [01-01, 05-31]}, {season: summer, sow: [06-01, 08-31]},\n"
      "  {season: winter, sow: [09-01, 11-30], start: direct}]\n";
  enum { HOUSE, COVER, OPEN = ISW_OPEN_GROUND, SPRING = 0, SUMMER, WINTER };
  static const struct {
    int variety, season, grown_under, young, heads;
    enum isw_start start;
  } rows[] = {
      {0, SPRING, OPEN, HOUSE, OPEN, ISW_START_NURSERY},
      {1, SPRING, OPEN, HOUSE, COVER, ISW_START_NURSERY},
      {0, SUMMER, OPEN, OPEN, OPEN, ISW_START_NURSERY},
      {1, SUMMER, OPEN, OPEN, OPEN, ISW_START_NURSERY},
      {1, WINTER, OPEN, HOUSE, OPEN, ISW_START_NURSERY},
      {1, WINTER, OPEN, OPEN, OPEN, ISW_START_DIRECT},
      {1, ISW_NO_SEASON, OPEN, OPEN, OPEN, ISW_START_NURSERY},
      {1, SUMMER, COVER, COVER, COVER, ISW_START_NURSERY},
      {0, SPRING, COVER, HOUSE, COVER, ISW_START_NURSERY},
  };
  struct isw_sheet *sheet = read_sheet(text);
  struct isw_stage placed[ISW_STAGES_MAX];
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    isw_crop_place_stages(sheet, rows[i].variety,
                          (struct isw_placing){rows[i].season, rows[i].start, rows[i].grown_under},
                          placed);
    ck_assert_msg(placed[0].shelter == rows[i].young && placed[1].shelter == rows[i].heads,
                  "row %zu: %d, %d", i, placed[0].shelter, placed[1].shelter);
    ck_assert_int_eq(placed[1].transplant, rows[i].start == ISW_START_NURSERY);
  }
  isw_crop_free_sheet(sheet);
  sheet = read_sheet(full_sheet);
  for (int i = 0; i < sheet->n_shelters; i++) ck_assert(!sheet->shelter_uses[i].only_in_seasons);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* What covers a crop in the field: all but what only young plants before transplanting stand under.
 */
START_TEST(shelters_of_the_field) {
  static const struct {
    const char *stages;
    bool field[3]; /* house, cover, shade */
  } rows[] = {
      {"  - {stage: young, shelter: house, days: 9, band: [0, 1, 2, 3]}\n"
       "  - {stage: heads, transplant: true, days: 9, band: [0, 1, 2, 3]}\n",
       {false, true, true}},
      {"  - {stage: young, shelter: cover, days: 9, band: [0, 1, 2, 3]}\n"
       "  - {stage: heads, shelter: cover, transplant: true, days: 9, band: [0, 1, 2, 3]}\n",
       {true, true, true}},
      {"  - {stage: young, shelter: house, days: 9, band: [0, 1, 2, 3]}\n"
       "  - {stage: heads, days: 9, band: [0, 1, 2, 3]}\n",
       {true, true, true}},
      {"  - {stage: young, shelter: house, days: 9, band: [0, 1, 2, 3]}\n"
       "  - {stage: seedling, shelter: cover, days: 9, band: [0, 1, 2, 3]}\n"
       "  - {stage: heads, transplant: true, days: 9, band: [0, 1, 2, 3]}\n",
       {false, false, true}},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    char text[1024];
    snprintf(text, sizeof text,
             "crop: a\nunit: C\nshelters:\n  - {shelter: house, warm_to: 16}\n"
             "  - {shelter: cover, warm_to: 8}\n  - {shelter: shade, cool_to: 25}\nstages:\n%s"
             "varieties: [{variety: v}]\nseasons: [{season: all, sow: [01-01, 12-31]}]\n",
             rows[i].stages);
    struct isw_sheet *sheet = read_sheet(text);
    for (int k = 0; k < 3; k++)
      ck_assert_msg(isw_crop_is_field_shelter(sheet, k) == rows[i].field[k], "row %zu: %d", i, k);
    isw_crop_free_sheet(sheet);
  }
}
END_TEST

START_TEST(bolts_mean_nothing_without_a_chilling_band) {
  struct isw_sheet *sheet = read_sheet(
      "crop: a\nunit: C\nstages: [{stage: s, days: 9, band: [0, 1, 2, 3], chills: true}]\n"
      "varieties: [{variety: v, bolts: [3, 5]}]\nseasons: [{season: x, sow: [01-01, 12-31]}]\n");
  ck_assert(!sheet->varieties[0].bolts);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* ---- the same sheet in degF ---- */

struct writer {
  char *text;
  size_t used, size;
  bool fahrenheit;
};

static void put(struct writer *to, const char *format, ...) ISW_PRINTF(2, 3);
static void put(struct writer *to, const char *format, ...) {
  va_list args;
  va_start(args, format);
  int n = vsnprintf(to->text + to->used, to->size - to->used, format, args);
  va_end(args);
  ck_assert(n >= 0 && (size_t)n < to->size - to->used);
  to->used += (size_t)n;
}

static double temperature(const struct writer *to, double temp_C) {
  return to->fahrenheit ? temp_C * 1.8 + 32.0 : temp_C;
}

static void put_band(struct writer *to, const struct isw_band *band) {
  put(to, "[%.17g, %.17g, %.17g, %.17g]", temperature(to, band->stops_below_C),
      temperature(to, band->best_from_C), temperature(to, band->best_to_C),
      temperature(to, band->stops_above_C));
}

static void put_stage(struct writer *to, const struct isw_sheet *sheet,
                      const struct isw_stage *stage, bool base) {
  put(to, "{stage: %s, days: %.17g, at_most: %d, chills: %s, shelter: %s, band: ", stage->name,
      stage->days, stage->at_most_days, stage->chills ? "true" : "false",
      stage->shelter < 0 ? "open-ground" : sheet->shelters[stage->shelter].name);
  put_band(to, &stage->band);
  if (isfinite(stage->dies_below_C))
    put(to, ", dies_below: %.17g", temperature(to, stage->dies_below_C));
  if (base && stage->transplant) put(to, ", transplant: true");
  put(to, "}\n");
}

static struct isw_sheet *write_and_read(const struct isw_sheet *sheet, bool fahrenheit) {
  struct writer to = {calloc(1, 65536), 0, 65536, fahrenheit};
  ck_assert_ptr_nonnull(to.text);
  put(&to, "crop: %s\nunit: %s\nswing: %.17g\nshelters:\n", sheet->crop, fahrenheit ? "F" : "C",
      sheet->swing);
  double per_K = fahrenheit ? 1.8 : 1.0;
  for (int i = 0; i < sheet->n_shelters; i++) {
    const struct isw_shelter *shelter = &sheet->shelters[i];
    put(&to, "  - {shelter: %s", shelter->name);
    if (isfinite(shelter->warm_to_C))
      put(&to, ", warm_to: %.17g", temperature(&to, shelter->warm_to_C));
    if (isfinite(shelter->warm_most_K))
      put(&to, ", warm_most: %.17g", shelter->warm_most_K * per_K);
    if (isfinite(shelter->cool_to_C))
      put(&to, ", cool_to: %.17g", temperature(&to, shelter->cool_to_C));
    if (isfinite(shelter->cool_most_K))
      put(&to, ", cool_most: %.17g", shelter->cool_most_K * per_K);
    put(&to, "}\n");
  }
  put(&to, "chilling:\n  band: ");
  put_band(&to, &sheet->chilling);
  put(&to, "\nstages:\n");
  for (int k = 0; k < sheet->n_stages; k++) {
    put(&to, "  - ");
    put_stage(&to, sheet, &sheet->varieties[0].stages[k], true);
  }
  put(&to, "varieties:\n");
  for (int v = 0; v < sheet->n_varieties; v++) {
    const struct isw_variety *variety = &sheet->varieties[v];
    put(&to, "  - variety: %s\n    bolts: [%.17g, %.17g]\n    stages:\n", variety->name,
        variety->bolts_safe, variety->bolts_all);
    for (int k = 0; k < sheet->n_stages; k++) {
      put(&to, "      - ");
      put_stage(&to, sheet, &variety->stages[k], false);
    }
  }
  put(&to, "seasons:\n  - {season: s, sow: [01-01, 12-31]}\n");
  struct isw_sheet *again = read_sheet(to.text);
  free(to.text);
  return again;
}

static const double same_K = 1e-9;

static void expect_same_temperature(double a, double b) {
  if (isinf(a) || isinf(b))
    ck_assert_double_eq(a, b);
  else
    ck_assert_double_eq_tol(a, b, same_K);
}

static void expect_same_band(const struct isw_band *a, const struct isw_band *b) {
  expect_same_temperature(a->stops_below_C, b->stops_below_C);
  expect_same_temperature(a->best_from_C, b->best_from_C);
  expect_same_temperature(a->best_to_C, b->best_to_C);
  expect_same_temperature(a->stops_above_C, b->stops_above_C);
}

START_TEST(written_out_in_either_unit_it_is_the_same_sheet) {
  struct isw_sheet *sheet;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  struct isw_sheet *again = write_and_read(sheet, _i == 1);
  ck_assert_int_eq(again->n_stages, sheet->n_stages);
  ck_assert_int_eq(again->n_varieties, sheet->n_varieties);
  expect_same_band(&again->chilling, &sheet->chilling);
  for (int i = 0; i < sheet->n_shelters; i++) {
    expect_same_temperature(again->shelters[i].warm_to_C, sheet->shelters[i].warm_to_C);
    expect_same_temperature(again->shelters[i].warm_most_K, sheet->shelters[i].warm_most_K);
    expect_same_temperature(again->shelters[i].cool_to_C, sheet->shelters[i].cool_to_C);
    expect_same_temperature(again->shelters[i].cool_most_K, sheet->shelters[i].cool_most_K);
  }
  for (int v = 0; v < sheet->n_varieties; v++) {
    const struct isw_variety *a = &again->varieties[v], *b = &sheet->varieties[v];
    ck_assert_double_eq(a->bolts_safe, b->bolts_safe);
    ck_assert_double_eq(a->bolts_all, b->bolts_all);
    for (int k = 0; k < sheet->n_stages; k++) {
      expect_same_band(&a->stages[k].band, &b->stages[k].band);
      expect_same_temperature(a->stages[k].dies_below_C, b->stages[k].dies_below_C);
      ck_assert_double_eq(a->stages[k].days, b->stages[k].days);
      ck_assert_int_eq(a->stages[k].at_most_days, b->stages[k].at_most_days);
      ck_assert_int_eq(a->stages[k].shelter, b->stages[k].shelter);
      ck_assert_int_eq(a->stages[k].transplant, b->stages[k].transplant);
      ck_assert_int_eq(a->stages[k].chills, b->stages[k].chills);
    }
  }
  isw_crop_free_sheet(again);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(fahrenheit_by_known_pairs) {
  /* Fixed points of the scale: 32 degF is 0 degC, 212 - 32 = 180 degF steps are 100 K; so 50 is 10,
   * 68 is 20, 86 is 30, -40 is -40, and a difference of 9 degF is 5 K. */
  struct isw_sheet *sheet = read_sheet(
      "crop: f\nunit: F\nshelters: [{shelter: s, warm_to: 50, warm_most: 9}]\n"
      "stages: [{stage: s, days: 9, band: [32, 50, 68, 86], dies_below: -40}]\n"
      "varieties: [{variety: v}]\nseasons: [{season: x, sow: [01-01, 12-31]}]\n");
  const struct isw_stage *stage = &sheet->varieties[0].stages[0];
  ck_assert_double_eq_tol(stage->band.stops_below_C, 0, same_K);
  ck_assert_double_eq_tol(stage->band.best_from_C, 10, same_K);
  ck_assert_double_eq_tol(stage->band.best_to_C, 20, same_K);
  ck_assert_double_eq_tol(stage->band.stops_above_C, 30, same_K);
  ck_assert_double_eq_tol(stage->dies_below_C, -40, same_K);
  ck_assert_double_eq_tol(sheet->shelters[0].warm_to_C, 10, same_K);
  ck_assert_double_eq_tol(sheet->shelters[0].warm_most_K, 5, same_K);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(bounds_are_said_in_the_sheets_unit) {
  static const char text[] =
      "crop: f\nunit: F\nstages: [{stage: s, days: 9, band: [32, 50, 68, 150]}]\n"
      "varieties: [{variety: v}]\nseasons: [{season: x, sow: [01-01, 12-31]}]\n";
  struct isw_sheet *sheet;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_parse_sheet(text, strlen(text), "f", &sheet, &error),
                   ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "between -76 and 140 degF") != NULL, "%s", error.text);
}
END_TEST

START_TEST(numbers_do_not_depend_on_the_locale) {
  static const char *const comma_locales[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8"};
  const char *found = NULL;
  for (int i = 0; found == NULL && i < 3; i++) found = setlocale(LC_ALL, comma_locales[i]);
  if (found == NULL) printf("no locale with a decimal comma here: the check runs in C only\n");
  struct isw_sheet *sheet = read_sheet(least_sheet);
  ck_assert_double_eq(sheet->varieties[0].stages[0].days, 7.5);
  isw_crop_free_sheet(sheet);
}
END_TEST

START_TEST(line_ends_and_byte_order_mark) {
  /* YAML 1.1, 5.2 and 5.4: a leading U+FEFF and CR LF line ends mean nothing. */
  char text[1024] = "\xEF\xBB\xBF";
  size_t used = strlen(text);
  for (const char *c = least_sheet; *c != '\0'; c++) {
    if (*c == '\n') text[used++] = '\r';
    text[used++] = *c;
  }
  text[used] = '\0';
  struct isw_sheet *sheet = read_sheet(text);
  ck_assert_str_eq(sheet->crop, "least");
  ck_assert_int_eq(sheet->n_seasons, 1);
  isw_crop_free_sheet(sheet);
}
END_TEST

/* ---- loading ---- */

START_TEST(loading_by_name_and_path) {
  struct isw_sheet *sheet;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  ck_assert_str_eq(sheet->origin, "built-in napa-cabbage");
  isw_crop_free_sheet(sheet);

  char path[512];
  snprintf(path, sizeof path, "%s/sheet-%s.yaml", TEST_BINARY_DIR, "loading");
  FILE *file = fopen(path, "wb");
  ck_assert_ptr_nonnull(file);
  fputs(least_sheet, file);
  fclose(file);
  ck_assert_int_eq(isw_crop_load_sheet(path, &sheet, &error), ISW_OK);
  ck_assert_str_eq(sheet->origin, path);
  ck_assert_str_eq(sheet->text, least_sheet);
  isw_crop_free_sheet(sheet);

  ck_assert_ptr_nonnull(freopen(path, "rb", stdin));
  ck_assert_int_eq(isw_crop_load_sheet("-", &sheet, &error), ISW_OK);
  ck_assert_str_eq(sheet->origin, "standard input");
  isw_crop_free_sheet(sheet);
  remove(path);
}
END_TEST

static const struct {
  const char *name;
  enum isw_status status;
  const char *message;
} unloadable[] = {
    {"napa-cabage", ISW_USAGE, "did you mean 'napa-cabbage'?"},
    {"wheat", ISW_USAGE, "(built in: broccoli, crisphead-lettuce, napa-cabbage)"},
    {"", ISW_USAGE, "no crop sheet named"},
    {"no-such-file.yaml", ISW_INPUT_FILE, "no-such-file.yaml: cannot be opened: No such file"},
    {"./napa-cabbage", ISW_INPUT_FILE, "cannot be opened"},
    {TEST_SOURCE_DIR "/", ISW_INPUT_FILE, "cannot be read: Is a directory"},
    {"/dev/zero", ISW_INPUT_FILE, "/dev/zero: is a device, not a file"},
    {"/dev/null", ISW_INPUT_FILE, "/dev/null: is a device, not a file"},
};

START_TEST(what_cannot_be_loaded) {
  struct isw_sheet *sheet;
  struct isw_error error = {ISW_OK, ""};
  ck_assert_int_eq(isw_crop_load_sheet(unloadable[_i].name, &sheet, &error), unloadable[_i].status);
  ck_assert_int_eq(error.status, unloadable[_i].status);
  ck_assert_ptr_null(sheet);
  ck_assert_msg(strstr(error.text, unloadable[_i].message) != NULL, "%s", error.text);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("sheet values");
  TCase *values = tcase_create("values");
  tcase_add_test(values, defaults);
  tcase_add_test(values, overrides_replace_what_they_name_and_nothing_else);
  tcase_add_test(values, words_of_the_crop);
  tcase_add_test(values, shelters_seasons_tasks_and_sources);
  tcase_add_test(values, stages_as_they_stand_with_a_start);
  tcase_add_test(values, a_shelter_for_a_few);
  tcase_add_test(values, shelters_of_the_field);
  tcase_add_test(values, bolts_mean_nothing_without_a_chilling_band);
  tcase_add_loop_test(values, written_out_in_either_unit_it_is_the_same_sheet, 0, 2);
  tcase_add_test(values, fahrenheit_by_known_pairs);
  tcase_add_test(values, bounds_are_said_in_the_sheets_unit);
  tcase_add_test(values, numbers_do_not_depend_on_the_locale);
  tcase_add_test(values, line_ends_and_byte_order_mark);
  tcase_add_test(values, loading_by_name_and_path);
  tcase_add_loop_test(values, what_cannot_be_loaded, 0,
                      (int)(sizeof unloadable / sizeof unloadable[0]));
  suite_add_tcase(suite, values);
  return suite;
}

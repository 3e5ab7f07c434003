/* A place whose answers a test makes up: two varieties (a, b), three seasons with a gap in July,
 * and nothing good on any day until the test says so. */
#ifndef ISW_TEST_MADE_PLACE_H
#define ISW_TEST_MADE_PLACE_H

#include <check.h>
#include <glib.h>
#include <string.h>

#include "survey/place.h"

static const char made_sheet[] =
    "crop: made-up\nunit: C\n"
    "stages: [{stage: growing, days: 60, band: [0, 10, 20, 30]}]\n"
    "seasons:\n"
    "  - {season: spring, sow: [01-01, 05-15], prefer: [b]}\n"
    "  - {season: summer, sow: [05-16, 06-30]}\n"
    "  - {season: autumn, sow: [08-01, 12-31]}\n"
    "varieties: [{variety: a}, {variety: b}]\n";

struct made {
  struct isw_sheet *sheet;
  struct isw_plan plan;
  struct isw_place *place;
};

static inline int on(int month, int day) {
  return isw_base_day_of_date(month, day);
}

/* A place where nothing is good on any day. */
static inline struct made make_place(bool south) {
  struct made made;
  struct isw_error error;
  ck_assert_int_eq(
      isw_crop_parse_sheet(made_sheet, strlen(made_sheet), "made-up", &made.sheet, &error), ISW_OK);
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(made.sheet, &conditions, 0, NULL, 0, NULL, &made.plan);
  struct isw_site site = {.name = "Here", .lat_text = "1", .lon_text = "2", .south = south};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) site.normals.tmin_C[m] = site.normals.tmax_C[m] = -30;
  made.place = isw_survey_new_place(&made.plan, &site);
  return made;
}

static inline void forget_place(struct made *made) {
  isw_survey_free_place(made->place);
  isw_crop_free_sheet(made->sheet);
}

static inline struct isw_result *result_at(struct made *made, int v, int s) {
  return &made->place->results[isw_growth_result_index(&made->plan, v, s)].result;
}

static inline void give_window(struct made *made, int v, int s, int from_day, int days) {
  result_at(made, v, s)->window =
      (struct isw_window){from_day, isw_base_wrap_day(from_day + days - 1), days};
}

enum { SPRING, SUMMER, AUTUMN };
enum { A, B };

#endif

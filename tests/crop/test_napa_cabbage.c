/* The built-in sheet against published figures (the works are listed in full at the sheet's end)
 * and against facts of the trade: "common practice, no source". What a stage does at one steady
 * temperature is read off its band; the model itself is tested in tests/growth. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/dates.h"
#include "base/units.h"
#include "crop/sheet.h"
#include "suite_main.h"

enum { EMERGENCE, SEEDLING, ROSETTE, HEADING, FILLING, N_STAGES };
enum { LATE, STANDARD, SLOW, EARLY, N_VARIETIES };

static struct isw_sheet *sheet;

static void load(void) {
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
}

static void unload(void) {
  isw_crop_free_sheet(sheet);
}

static const struct isw_stage *stage_of(int variety, int stage) {
  return &sheet->varieties[variety].stages[stage];
}

static double of_fahrenheit(double temp_F) {
  return isw_base_to_celsius(temp_F, ISW_UNIT_F);
}

/* Share of full speed, and of full fit, at one steady temperature. */
static double rate_at(const struct isw_band *band, double temp_C) {
  double rise = (temp_C - band->stops_below_C) / (band->best_from_C - band->stops_below_C);
  return fmin(fmax(rise, 0), 1);
}
static double fit_at(const struct isw_band *band, double temp_C) {
  double fall = (band->stops_above_C - temp_C) / (band->stops_above_C - band->best_to_C);
  return fmin(rate_at(band, temp_C), fmin(fmax(fall, 0), 1));
}

START_TEST(names_and_order) {
  static const char *const varieties[] = {"late-storage", "standard", "spring-slow-bolting",
                                          "early-heat-tolerant"};
  static const char *const stages[] = {"emergence", "seedling", "rosette", "heading", "filling"};
  static const char *const seasons[] = {"spring", "summer", "autumn"};
  ck_assert_str_eq(sheet->crop, "napa-cabbage");
  ck_assert_int_eq(sheet->n_varieties, N_VARIETIES);
  ck_assert_int_eq(sheet->n_stages, N_STAGES);
  ck_assert_int_eq(sheet->n_seasons, 3);
  for (int v = 0; v < N_VARIETIES; v++) {
    ck_assert_str_eq(sheet->varieties[v].name, varieties[v]);
    for (int k = 0; k < N_STAGES; k++) ck_assert_str_eq(stage_of(v, k)->name, stages[k]);
  }
  for (int s = 0; s < 3; s++) ck_assert_str_eq(sheet->seasons[s].name, seasons[s]);
  ck_assert_int_eq(isw_crop_transplant_stage(sheet), ROSETTE);
}
END_TEST

/* Every number as the contract of the sheet has it: a slip of the pen in the YAML shows here. */
static const struct {
  int variety, stage;
  double days;
  double band[4];
  double dies_below_C;
} numbers[] = {
    {LATE, EMERGENCE, 4, {4, 18, 28, 36}, -1},     {LATE, SEEDLING, 17, {4, 18, 25, 32}, -2},
    {LATE, ROSETTE, 25, {4, 15, 22, 30}, -4},      {LATE, HEADING, 15, {4, 12, 21, 28}, -5},
    {LATE, FILLING, 21, {2, 12, 21, 28}, -7},      {STANDARD, EMERGENCE, 4, {4, 18, 28, 36}, -1},
    {STANDARD, SEEDLING, 17, {4, 18, 25, 32}, -2}, {STANDARD, ROSETTE, 22, {4, 15, 22, 30}, -4},
    {STANDARD, HEADING, 13, {4, 12, 21, 28}, -5},  {STANDARD, FILLING, 18, {2, 12, 21, 28}, -6},
    {SLOW, EMERGENCE, 4, {4, 18, 28, 36}, -1},     {SLOW, SEEDLING, 17, {4, 18, 25, 32}, -2},
    {SLOW, ROSETTE, 20, {4, 15, 22, 30}, -4},      {SLOW, HEADING, 12, {4, 12, 22, 29}, -5},
    {SLOW, FILLING, 16, {2, 12, 22, 29}, -6},      {EARLY, EMERGENCE, 4, {4, 18, 28, 36}, -1},
    {EARLY, SEEDLING, 15, {4, 18, 25, 32}, -2},    {EARLY, ROSETTE, 20, {4, 15, 22, 32}, -4},
    {EARLY, HEADING, 11, {4, 12, 24, 32}, -5},     {EARLY, FILLING, 16, {2, 12, 24, 32}, -6},
};

START_TEST(stage_numbers) {
  const struct isw_stage *stage = stage_of(numbers[_i].variety, numbers[_i].stage);
  ck_assert_double_eq(stage->days, numbers[_i].days);
  ck_assert_double_eq(stage->band.stops_below_C, numbers[_i].band[0]);
  ck_assert_double_eq(stage->band.best_from_C, numbers[_i].band[1]);
  ck_assert_double_eq(stage->band.best_to_C, numbers[_i].band[2]);
  ck_assert_double_eq(stage->band.stops_above_C, numbers[_i].band[3]);
  ck_assert_double_eq(stage->dies_below_C, numbers[_i].dies_below_C);
  ck_assert_int_eq(stage->chills, numbers[_i].stage <= ROSETTE);
  ck_assert_int_eq(stage->shelter, numbers[_i].stage <= SEEDLING
                                       ? isw_crop_find_shelter(sheet, "nursery")
                                       : ISW_OPEN_GROUND);
  ck_assert_int_eq(stage->at_most_days, (int)(3 * numbers[_i].days));
}
END_TEST

START_TEST(other_numbers) {
  static const double bolts[N_VARIETIES][2] = {{11, 19}, {7, 13}, {18, 30}, {5, 10}};
  for (int v = 0; v < N_VARIETIES; v++) {
    ck_assert(sheet->varieties[v].bolts);
    ck_assert_double_eq(sheet->varieties[v].bolts_safe, bolts[v][0]);
    ck_assert_double_eq(sheet->varieties[v].bolts_all, bolts[v][1]);
  }
  ck_assert_double_eq(sheet->swing, 0.5);
  ck_assert(sheet->has_chilling);
  ck_assert_double_eq(sheet->chilling.stops_below_C, -1);
  ck_assert_double_eq(sheet->chilling.best_from_C, 3);
  ck_assert_double_eq(sheet->chilling.best_to_C, 12);
  ck_assert_double_eq(sheet->chilling.stops_above_C, 15);
  const struct isw_shelter *nursery = &sheet->shelters[isw_crop_find_shelter(sheet, "nursery")],
                           *cover = &sheet->shelters[isw_crop_find_shelter(sheet, "row-cover")];
  ck_assert_str_eq(nursery->name, "nursery");
  ck_assert_double_eq(nursery->warm_to_C, 16);
  ck_assert_double_eq(nursery->cool_to_C, 28);
  ck_assert_double_eq(nursery->cool_most_K, 4);
  ck_assert_str_eq(cover->name, "row-cover");
  ck_assert_double_eq(cover->warm_to_C, 8);
  ck_assert_double_eq(cover->warm_most_K, 2);
  static const int preferred[3][N_VARIETIES] = {
      {SLOW, EARLY, LATE, STANDARD}, {EARLY, LATE, STANDARD, SLOW}, {LATE, STANDARD, SLOW, EARLY}};
  for (int s = 0; s < 3; s++)
    for (int i = 0; i < N_VARIETIES; i++)
      ck_assert_int_eq(sheet->seasons[s].preferred[i], preferred[s][i]);
}
END_TEST

START_TEST(seasons_cover_the_year_once) {
  int covered[ISW_YEAR_DAYS] = {0};
  for (int s = 0; s < sheet->n_seasons; s++) {
    int days = isw_base_days_forward(sheet->seasons[s].sow_from_day, sheet->seasons[s].sow_to_day);
    for (int i = 0; i <= days; i++)
      covered[isw_base_wrap_day(sheet->seasons[s].sow_from_day + i)]++;
  }
  for (int day = 0; day < ISW_YEAR_DAYS; day++) ck_assert_int_eq(covered[day], 1);
}
END_TEST

/* ---- published ---- */

START_TEST(germination_as_published) {
  const struct isw_stage *emergence = stage_of(STANDARD, EMERGENCE);
  /* Takii Seed, cultivation manual: possible 4-35, best 20-25 degC, emergence in 3-5 days. */
  ck_assert_double_eq(emergence->band.stops_below_C, 4);
  ck_assert(emergence->band.stops_above_C >= 35 && emergence->band.stops_above_C <= 36);
  ck_assert_double_eq(fit_at(&emergence->band, 20), 1);
  ck_assert_double_eq(fit_at(&emergence->band, 25), 1);
  ck_assert(emergence->days >= 3 && emergence->days <= 5);
  /* Harrington & Minges 1954 in Knott's Handbook: cabbage emerges in 15, 9, 6, 5, 4 days at 10, 15,
   * 20, 25, 30 degC. Against 20 degC that is a speed of 0.40 at 10 and 0.67 at 15. The sheet is a
   * little quicker there, 0.43 and 0.79; its nursery, never below 16, does not meet either. */
  ck_assert_double_eq_tol(rate_at(&emergence->band, 10), 6.0 / 15.0, 0.05);
  ck_assert_double_eq_tol(rate_at(&emergence->band, 15), 6.0 / 9.0, 0.13);
}
END_TEST

START_TEST(growth_as_published) {
  for (int v = 0; v < N_VARIETIES; v++) {
    /* Sim et al. 2021: growth floor 4-5 degC, best 18-20. */
    const struct isw_band *rosette = &stage_of(v, ROSETTE)->band;
    ck_assert(rosette->stops_below_C >= 4 && rosette->stops_below_C <= 5);
    ck_assert_double_eq(fit_at(rosette, 18), 1);
    ck_assert_double_eq(fit_at(rosette, 20), 1);
    /* Chinese texts (secondary): rosette 17-22; Knott's Handbook: monthly means best from 15.6. */
    ck_assert_double_eq(fit_at(rosette, 15.6), 1);
    ck_assert(rosette->best_from_C >= 15 && rosette->best_from_C <= 17);
    ck_assert_double_eq(rosette->best_to_C, 22);
    const struct isw_band *heading = &stage_of(v, HEADING)->band;
    /* Heading best at 15-18, stops at 4 (Sim et al. and secondary texts). */
    ck_assert_double_eq(fit_at(heading, 15), 1);
    ck_assert_double_eq(fit_at(heading, 18), 1);
    ck_assert_double_eq(heading->stops_below_C, 4);
    /* Knott's Handbook: monthly means best at 15.6-18.3 degC. */
    for (int k = HEADING; k <= FILLING; k++) {
      ck_assert_double_eq(fit_at(&stage_of(v, k)->band, 15.6), 1);
      ck_assert_double_eq(fit_at(&stage_of(v, k)->band, 18.3), 1);
    }
  }
  /* Soft and bitter above 24-25 (secondary texts), highest mean 23.9 (Knott's Handbook): past its
   * best there. Heat-tolerant types head to 28-32 (secondary texts). */
  ck_assert_double_lt(fit_at(&stage_of(STANDARD, HEADING)->band, 24.5), 0.6);
  ck_assert_double_lt(fit_at(&stage_of(LATE, HEADING)->band, 24.5), 0.6);
  ck_assert_double_gt(fit_at(&stage_of(EARLY, HEADING)->band, 28), 0.4);
  ck_assert_double_eq(fit_at(&stage_of(EARLY, HEADING)->band, 32), 0);
}
END_TEST

START_TEST(nursery_as_published) {
  /* Takii: spring nursery 12-25; Korean county notices: nights of 13 or more. */
  const struct isw_shelter *nursery = &sheet->shelters[stage_of(STANDARD, SEEDLING)->shelter];
  ck_assert(nursery->warm_to_C >= 13 && nursery->warm_to_C <= 25);
  /* Guttormsen & Moe 1985: means of 18 or more against bolting; the seedling is at its best there
   * and nothing of the chilling band is left. */
  ck_assert_double_eq(fit_at(&stage_of(STANDARD, SEEDLING)->band, 18), 1);
  ck_assert_double_eq(fit_at(&sheet->chilling, 18), 0);
}
END_TEST

START_TEST(bolting_as_published) {
  /* Takii: 3-13 degC works, means up to 14-15; Korean and Chinese texts: 2-5 best. */
  ck_assert_double_eq(fit_at(&sheet->chilling, 5), 1);
  ck_assert_double_gt(fit_at(&sheet->chilling, 3), 0.99);
  ck_assert_double_gt(fit_at(&sheet->chilling, 13), 0.5);
  ck_assert_double_lt(fit_at(&sheet->chilling, 14), 0.5);
  ck_assert_double_eq(fit_at(&sheet->chilling, 15), 0);
  /* Twilley Seed: one week below 4.4 or two below 10 can bolt young plants: the standard type
   * begins and ends there. */
  ck_assert_double_eq(sheet->varieties[STANDARD].bolts_safe, 7);
  ck_assert(sheet->varieties[STANDARD].bolts_all > 7 && sheet->varieties[STANDARD].bolts_all <= 14);
  /* Takii: buds after 10 days or more, between safe and all. */
  ck_assert(sheet->varieties[STANDARD].bolts_safe < 10 &&
            sheet->varieties[STANDARD].bolts_all > 10);
  /* Nakagawa et al.: buds 13 days after the mean falls to 15 in early types, 43 in late ones, so
   * early types need the least cold; Li & Shao 1957: northern winter types need 20-30 days. */
  for (int v = 0; v < N_VARIETIES; v++) {
    ck_assert(sheet->varieties[EARLY].bolts_all <= 13);
    if (v != EARLY) ck_assert(sheet->varieties[v].bolts_safe > sheet->varieties[EARLY].bolts_safe);
  }
  ck_assert(sheet->varieties[SLOW].bolts_all <= 30 && sheet->varieties[SLOW].bolts_all > 20);
}
END_TEST

START_TEST(frost_as_published) {
  /* Secondary texts: young plants about -2, hardened heads -5 to -8, sudden cold -3. */
  for (int v = 0; v < N_VARIETIES; v++) {
    ck_assert_double_eq(stage_of(v, SEEDLING)->dies_below_C, -2);
    for (int k = HEADING; k <= FILLING; k++)
      ck_assert(stage_of(v, k)->dies_below_C <= -5 && stage_of(v, k)->dies_below_C >= -8);
    for (int k = 1; k < N_STAGES; k++)
      ck_assert(stage_of(v, k)->dies_below_C < stage_of(v, k - 1)->dies_below_C);
  }
}
END_TEST

START_TEST(days_as_published) {
  double total[N_VARIETIES] = {0};
  for (int v = 0; v < N_VARIETIES; v++)
    for (int k = 0; k < N_STAGES; k++) total[v] += stage_of(v, k)->days;
  /* Published days pass in autumn's cool, a sheet's at best temperature: it may hold fewer, never
   * more. What the whole model makes of them is held against published harvests in
   * tests/growth/test_harvests.c. University of Missouri Extension G6201: 75-80 days. Secondary
   * texts: early below 70, mid 75-85, late above 90. */
  ck_assert(total[STANDARD] >= 70 && total[STANDARD] <= 80);
  ck_assert_double_le(total[EARLY], 70);
  ck_assert(total[LATE] >= 80 && total[LATE] <= 90);
  ck_assert(total[EARLY] < total[SLOW] && total[SLOW] < total[STANDARD] &&
            total[STANDARD] < total[LATE]);
  /* Chinese texts (secondary): seedling 12-16 days in early types, 17-22 in late ones; rosette
   * 18-21 and 20-28. */
  ck_assert(stage_of(EARLY, SEEDLING)->days >= 12 && stage_of(EARLY, SEEDLING)->days <= 16);
  ck_assert(stage_of(LATE, SEEDLING)->days >= 17 && stage_of(LATE, SEEDLING)->days <= 22);
  ck_assert(stage_of(EARLY, ROSETTE)->days >= 18 && stage_of(EARLY, ROSETTE)->days <= 21);
  ck_assert(stage_of(LATE, ROSETTE)->days >= 20 && stage_of(LATE, ROSETTE)->days <= 28);
  /* And from heading to harvest 25-30 days in early types, 40-60 in late ones, as they pass. */
  double early = stage_of(EARLY, HEADING)->days + stage_of(EARLY, FILLING)->days;
  double late = stage_of(LATE, HEADING)->days + stage_of(LATE, FILLING)->days;
  ck_assert(early >= 25 && early <= 30);
  ck_assert(late >= 35 && late <= 60);
}
END_TEST

/* ---- facts of the trade: common practice, no source ---- */

START_TEST(trade_days) {
  for (int v = 0; v < N_VARIETIES; v++) {
    double emergence = stage_of(v, EMERGENCE)->days, seedling = stage_of(v, SEEDLING)->days;
    double heading = stage_of(v, HEADING)->days, filling = stage_of(v, FILLING)->days;
    double all = emergence + seedling + stage_of(v, ROSETTE)->days + heading + filling;
    /* Emergence 3-7 days; transplanting 2-3 weeks later. */
    ck_assert(emergence >= 3 && emergence <= 7);
    ck_assert(seedling >= 14 && seedling <= 21);
    /* Hearts begin to close after 10-15 days; filling takes 20-25, in the cool in which it passes:
     * fewer at best temperature. */
    ck_assert(heading >= 10 && heading <= 15);
    ck_assert(filling >= 16 && filling <= 21);
    /* 60-100 days in all, by variety. */
    ck_assert(all >= 60 && all <= 100);
  }
  /* Rosette about 20 days in early types and 25 in late ones. */
  ck_assert_double_eq(stage_of(EARLY, ROSETTE)->days, 20);
  ck_assert_double_eq(stage_of(LATE, ROSETTE)->days, 25);
}
END_TEST

START_TEST(trade_temperatures) {
  for (int v = 0; v < N_VARIETIES; v++) {
    /* Seedlings do best at 71-77 degF and poorly above 86. */
    const struct isw_band *seedling = &stage_of(v, SEEDLING)->band;
    ck_assert_double_eq(fit_at(seedling, of_fahrenheit(71)), 1);
    ck_assert_double_eq(fit_at(seedling, of_fahrenheit(77)), 1);
    ck_assert_double_lt(fit_at(seedling, of_fahrenheit(86.1)), 0.3);
    /* Rosette best at 62-72 degF (16.7-22.2 degC). Published: 17-22 in Chinese texts, monthly means
     * from 15.6 in Knott's Handbook; the sheet begins at 15, for published harvests. */
    const struct isw_band *rosette = &stage_of(v, ROSETTE)->band;
    ck_assert_double_le(rosette->best_from_C, of_fahrenheit(62));
    ck_assert_double_eq_tol(rosette->best_to_C, of_fahrenheit(72), 0.4);
    ck_assert_double_gt(fit_at(rosette, of_fahrenheit(62)), 0.97);
    ck_assert_double_gt(fit_at(rosette, of_fahrenheit(72)), 0.97);
    /* Plants go out in spring once it stays above 40 degF (4.4 degC): there the rosette begins to
     * grow, and below 45 degF it advances at under a quarter of full speed; in the sheet at under
     * 0.3, because it is at its best from 15. */
    ck_assert_double_eq_tol(rosette->stops_below_C, of_fahrenheit(40), 0.5);
    ck_assert_double_gt(rate_at(rosette, of_fahrenheit(41)), 0);
    ck_assert_double_lt(rate_at(rosette, of_fahrenheit(45)), 0.3);
    /* The crop survives down to 32 degF. That it creeps on there is not in the sheet at a steady 0
     * degC: published floors (heading stops at 4) win; on days about 0 with a warm noon the filling
     * head still moves, for it stops only at 2. */
    for (int k = EMERGENCE; k < N_STAGES; k++) ck_assert_double_lt(stage_of(v, k)->dies_below_C, 0);
    ck_assert_double_lt(stage_of(v, FILLING)->band.stops_below_C,
                        stage_of(v, HEADING)->band.stops_below_C);
    ck_assert_double_gt(stage_of(v, FILLING)->band.stops_below_C, 0);
    /* Heading best at 53-72 degF (11.7-22.2 degC). */
    const struct isw_band *heading = &stage_of(v, HEADING)->band;
    ck_assert_double_eq_tol(heading->best_from_C, of_fahrenheit(53), 0.4);
    ck_assert_double_gt(fit_at(heading, of_fahrenheit(53)), 0.95);
    ck_assert_double_eq(fit_at(heading, of_fahrenheit(60)), 1);
    ck_assert_double_eq(fit_at(heading, of_fahrenheit(69)), 1);
  }
  /* ... the upper end by type: published texts give rot from 23 and best to 22, so the long-season
   * types end at 21, the slow-bolting one at 22; heat-tolerant types go further. */
  for (int v = LATE; v <= SLOW; v++)
    ck_assert(stage_of(v, HEADING)->band.best_to_C >= 21 &&
              stage_of(v, HEADING)->band.best_to_C <= of_fahrenheit(72));
  ck_assert_double_gt(stage_of(EARLY, HEADING)->band.best_to_C, of_fahrenheit(72));
  /* The crop does best at 60-75 degF (15.6-23.9 degC). Published figures end lower (Knott's
   * Handbook: best to 18.3, highest 23.9; soft above 24), and the sheet follows them: at 75 degF
   * only the heat-tolerant type is still at its best. */
  ck_assert_double_eq(fit_at(&stage_of(EARLY, HEADING)->band, of_fahrenheit(75)), 1);
  ck_assert_double_lt(fit_at(&stage_of(STANDARD, HEADING)->band, of_fahrenheit(75)), 0.7);
  ck_assert_double_gt(fit_at(&stage_of(STANDARD, HEADING)->band, of_fahrenheit(75)), 0.5);
  /* Trouble heading from about 85 degF (29.4 degC). */
  for (int v = LATE; v <= SLOW; v++)
    ck_assert_double_eq(fit_at(&stage_of(v, HEADING)->band, of_fahrenheit(85)), 0);
  ck_assert_double_lt(fit_at(&stage_of(EARLY, HEADING)->band, of_fahrenheit(85)), 0.4);
}
END_TEST

START_TEST(trade_varieties) {
  /* Early and heat-tolerant types also suit spring and, with care, summer: they are preferred there
   * and stand more heat from the rosette on. */
  int summer = isw_crop_find_season(sheet, "summer"),
      spring = isw_crop_find_season(sheet, "spring");
  ck_assert_int_eq(sheet->seasons[summer].preferred[0], EARLY);
  ck_assert_int_eq(sheet->seasons[spring].preferred[1], EARLY);
  for (int k = ROSETTE; k < N_STAGES; k++)
    for (int v = LATE; v < EARLY; v++)
      ck_assert_double_gt(stage_of(EARLY, k)->band.stops_above_C,
                          stage_of(v, k)->band.stops_above_C);
}
END_TEST

START_TEST(calendar_holds_the_trades_work) {
  /* Common practice, no source; no nitrogen in the last 3 weeks, firmness by hand pressure and
   * storage at 0-2.5 degC and 90-95 % RH: University of California, Davis; spacing 30-45 cm, rows
   * 45-75: Iowa State University Extension. */
  static const struct {
    enum isw_task_anchor anchor;
    int stage, day;
    const char *words;
  } work[] = {
      {ISW_AT_SOWING, -1, -14, "Base dressing"},
      {ISW_AT_SOWING, -1, 0, "Sow in trays"},
      {ISW_AT_TRANSPLANT, -1, 0, "30-45 cm apart in rows 45-75 cm apart (12-18 and 18-30 inches)"},
      {ISW_AT_STAGE, ROSETTE, 7, "Water"},
      {ISW_AT_STAGE, HEADING, 0, "Side-dress"},
      {ISW_AT_HARVEST, -1, -21, "No more nitrogen"},
      {ISW_AT_HARVEST, -1, -7, "test by hand"},
      {ISW_AT_HARVEST, -1, 0, "Cut the firm heads"},
      {ISW_AT_HARVEST, -1, 1, "0-2.5 degC (32-36.5 degF) and 90-95 %"},
  };
  for (size_t i = 0; i < sizeof work / sizeof work[0]; i++) {
    int found = 0;
    for (int t = 0; t < sheet->n_tasks; t++) {
      const struct isw_task *task = &sheet->tasks[t];
      if (task->anchor == work[i].anchor && task->stage == work[i].stage &&
          task->day == work[i].day && strstr(task->text, work[i].words) != NULL)
        found++;
    }
    ck_assert_msg(found == 1, "%d tasks say '%s'", found, work[i].words);
  }
  /* Whatever feeds or protects defers to labels and local rules. */
  static const char *const risky[] = {"fertilizer", "Side-dress", "sprayed"};
  for (size_t i = 0; i < sizeof risky / sizeof risky[0]; i++) {
    int found = 0;
    for (int t = 0; t < sheet->n_tasks; t++) {
      if (strstr(sheet->tasks[t].text, risky[i]) == NULL) continue;
      found++;
      ck_assert_msg(strstr(sheet->tasks[t].text, "label") != NULL &&
                        strstr(sheet->tasks[t].text, "local rules") != NULL,
                    "%s", sheet->tasks[t].text);
    }
    ck_assert_int_ge(found, 1);
  }
}
END_TEST

/* Every line of the sheet that holds a number of the model says where it is from, in a comment on
 * it or on the lines just above. */
START_TEST(every_number_has_its_source) {
  bool above = false;
  int checked = 0, line_number = 0;
  static const char *const keys[] = {
      "swing:",      "warm_to:", "warm_most:", "cool_to:",     "cool_most:",      "band:",
      "dies_below:", "days:",    "bolts:",     "chills: true", "transplant: true"};
  const char *at = sheet->text;
  while (*at != '\0') {
    char line[256];
    size_t length = strcspn(at, "\n");
    ck_assert_uint_lt(length, sizeof line);
    snprintf(line, sizeof line, "%.*s", (int)length, at);
    at += length + (at[length] == '\n' ? 1 : 0);
    line_number++;
    const char *comment = strchr(line, '#');
    size_t blanks = strspn(line, " -");
    if (line[blanks] == '#') {
      above = true;
      continue;
    }
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
      if (strncmp(line + blanks, keys[i], strlen(keys[i])) != 0) continue;
      checked++;
      ck_assert_msg(above || (comment != NULL && strlen(comment) > 5),
                    "line %d names no source: %s", line_number, line);
    }
    above = false;
  }
  ck_assert_int_ge(checked, 45);
  ck_assert_int_ge(sheet->n_sources, 8);
}
END_TEST

START_TEST(built_in_sheets_are_named_as_their_files) {
  int n = 0;
  for (; isw_crop_builtin_name(n) != NULL; n++) {
    struct isw_sheet *each;
    struct isw_error error = {ISW_OK, ""};
    ck_assert_msg(isw_crop_load_sheet(isw_crop_builtin_name(n), &each, &error) == ISW_OK, "%s",
                  error.text);
    ck_assert_str_eq(each->crop, isw_crop_builtin_name(n));
    size_t size = 0;
    ck_assert_str_eq(each->text, isw_crop_builtin_text(n, &size));
    ck_assert_uint_eq(size, each->text_size);
    isw_crop_free_sheet(each);
  }
  ck_assert_int_ge(n, 1);
  ck_assert_ptr_null(isw_crop_builtin_text(n, NULL));
  ck_assert_ptr_null(isw_crop_builtin_name(-1));
}
END_TEST

/* The embedded bytes are the file's. */
START_TEST(embedded_text_is_the_file) {
  FILE *file = fopen(TEST_SOURCE_DIR "/../src/crop/builtin/napa-cabbage.yaml", "rb");
  ck_assert_ptr_nonnull(file);
  for (size_t i = 0; i < sheet->text_size; i++)
    ck_assert_int_eq(fgetc(file), (unsigned char)sheet->text[i]);
  ck_assert_int_eq(fgetc(file), EOF);
  fclose(file);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("napa-cabbage");
  TCase *facts = tcase_create("facts");
  tcase_add_checked_fixture(facts, load, unload);
  tcase_add_test(facts, names_and_order);
  tcase_add_loop_test(facts, stage_numbers, 0, (int)(sizeof numbers / sizeof numbers[0]));
  tcase_add_test(facts, other_numbers);
  tcase_add_test(facts, seasons_cover_the_year_once);
  tcase_add_test(facts, germination_as_published);
  tcase_add_test(facts, growth_as_published);
  tcase_add_test(facts, nursery_as_published);
  tcase_add_test(facts, bolting_as_published);
  tcase_add_test(facts, frost_as_published);
  tcase_add_test(facts, days_as_published);
  tcase_add_test(facts, trade_days);
  tcase_add_test(facts, trade_temperatures);
  tcase_add_test(facts, trade_varieties);
  tcase_add_test(facts, calendar_holds_the_trades_work);
  tcase_add_test(facts, every_number_has_its_source);
  tcase_add_test(facts, built_in_sheets_are_named_as_their_files);
  tcase_add_test(facts, embedded_text_is_the_file);
  suite_add_tcase(suite, facts);
  return suite;
}

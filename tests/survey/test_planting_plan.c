/* Sowing days by date, and planting plans. The plan's cases are worked by hand over sowing days
 * made up for them: two types, three dates each; the rule is design's own (planting plan), no
 * source. The days of real places are held against the results of the same door. */
#include <glib.h>
#include <stdlib.h>
#include <string.h>

#include "science_table.h"
#include "suite_main.h"
#include "survey/planting_plan.h"

/* Types a and b; in spring b comes first. 1 June to 31 July and November on lie in no season. */
static const char sheet_text[] =
    "crop: made-up\ntitle: Made up\nunit: C\nswing: 1\n"
    "shelters:\n  - {shelter: nursery, warm_to: 16}\n"
    "stages:\n"
    "  - {stage: emergence, shelter: nursery, days: 5, band: [4, 18, 28, 36]}\n"
    "  - {stage: heading, transplant: true, days: 40, band: [4, 15, 22, 30]}\n"
    "seasons:\n"
    "  - {season: spring, sow: [03-01, 05-31], prefer: [b], start: direct}\n"
    "  - {season: autumn, sow: [08-01, 10-31]}\n"
    "  - {season: late, sow: [10-01, 10-31]}\n"
    "varieties:\n  - {variety: a}\n  - {variety: b}\n"
    "sources: [none]\n";

struct world {
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  struct isw_place *place;
  struct isw_place_days *days;
};

static struct world make_world(bool south) {
  struct world world = {0};
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_crop_parse_sheet(sheet_text, strlen(sheet_text), "made-up.yaml", &world.sheet,
                                     &error) == ISW_OK,
                "%s", error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  world.plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(world.sheet, &conditions, 0, NULL, 0, NULL, world.plan);
  struct isw_site site = {.name = "Here", .lat_text = "0", .lon_text = "0", .south = south};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    site.normals.tmin_C[m] = 12;
    site.normals.tmax_C[m] = 20;
  }
  world.place = isw_survey_new_place(world.plan, &site);
  world.days = isw_survey_new_place_days(world.plan, world.place);
  return world;
}

static void end_world(struct world *world) {
  isw_survey_free_place_days(world->days);
  isw_survey_free_place(world->place);
  g_free(world->plan);
  isw_crop_free_sheet(world->sheet);
}

static int date(const char *text) {
  int day = isw_base_parse_month_day(text);
  ck_assert_msg(day >= 0, "%s", text);
  return day;
}

static void forget_days(struct world *world) {
  for (int p = 0; p < world->plan->n_programmes; p++)
    memset(world->place->scores[p].good, 0, sizeof world->place->scores[p].good);
}

/* Type 'a' or 'b' sown on a date is ready so many days later, in so many years. */
static void add_day(struct world *world, char type, const char *sow, int growing_days, int years) {
  const int v = type - 'a', day = date(sow);
  for (int s = 0; s < world->plan->n_seasons; s++) {
    struct isw_scores *scores = &world->place->scores[world->plan->programme_of[v][s]];
    scores->good[day] = true;
    scores->growing_days[day] = (int16_t)growing_days;
    scores->transplant_after[day] = 20;
    scores->years[day] = (int8_t)years;
  }
}

struct sowing {
  char type; /* 0: none */
  const char *sow;
  int growing_days, years;
};

/* One cut date with `every`; what is expected of it. */
static const struct {
  const char *what;
  struct sowing sowings[3];
  const char *cut;
  int every;
  char type;
  const char *sow, *harvest;
} plan_cases[] = {
    {"the first type in order, though the other's harvest is nearer",
     {{'a', "08-10", 60, 8}, {'b', "08-08", 60, 10}},
     "10-07",
     7,
     'a',
     "08-10",
     "10-09"},
    {"of one type the nearest harvest",
     {{'a', "08-10", 60, 8}, {'a', "08-09", 60, 7}},
     "10-08",
     7,
     'a',
     "08-09",
     "10-08"},
    {"as near, one before and one after: more years",
     {{'a', "08-10", 60, 8}, {'a', "08-08", 60, 9}},
     "10-08",
     7,
     'a',
     "08-08",
     "10-07"},
    {"as near, as many years: the earlier sowing",
     {{'a', "08-10", 60, 9}, {'a', "08-08", 60, 9}},
     "10-08",
     7,
     'a',
     "08-08",
     "10-07"},
    {"the same harvest: more years before the earlier sowing",
     {{'a', "08-02", 68, 8}, {'a', "08-10", 60, 9}},
     "10-09",
     7,
     'a',
     "08-10",
     "10-09"},
    {"half of 7 days are 3", {{'a', "08-10", 60, 9}}, "10-12", 7, 'a', "08-10", "10-09"},
    {"4 days are more", {{'a', "08-10", 60, 9}}, "10-13", 7, 0, NULL, NULL},
    {"half of 8 days are 4", {{'a', "08-10", 60, 9}}, "10-13", 8, 'a', "08-10", "10-09"},
    {"every day: that very day",
     {{'a', "08-10", 60, 9}, {'a', "08-11", 60, 9}},
     "10-10",
     1,
     'a',
     "08-11",
     "10-10"},
    {"the other type where the first has nothing near",
     {{'a', "08-01", 60, 9}, {'b', "08-10", 60, 9}},
     "10-09",
     7,
     'b',
     "08-10",
     "10-09"},
    {"order is that of the season of sowing: in spring b comes first",
     {{'a', "04-01", 60, 9}, {'b', "03-30", 60, 7}},
     "05-31",
     7,
     'b',
     "03-30",
     "05-29"},
    {"first in their own seasons, spring's b and autumn's a: the nearer",
     {{'b', "05-31", 130, 9}, {'a', "08-10", 60, 9}},
     "10-08",
     7,
     'b',
     "05-31",
     "10-08"},
    {"a date outside every season is not sown",
     {{'a', "07-15", 86, 10}},
     "10-09",
     7,
     0,
     NULL,
     NULL},
    {"a harvest across New Year", {{'a', "10-31", 64, 9}}, "01-02", 7, 'a', "10-31", "01-03"},
    {"a cut date at the other end of the year",
     {{'a', "10-20", 71, 9}},
     "01-01",
     7,
     'a',
     "10-20",
     "12-30"},
};

START_TEST(cuts_by_hand) {
  struct world world = make_world(false);
  forget_days(&world);
  for (int i = 0; i < 3 && plan_cases[_i].sowings[i].type != 0; i++)
    add_day(&world, plan_cases[_i].sowings[i].type, plan_cases[_i].sowings[i].sow,
            plan_cases[_i].sowings[i].growing_days, plan_cases[_i].sowings[i].years);
  struct isw_planned_cut cuts[ISW_YEAR_DAYS];
  const int cut = date(plan_cases[_i].cut);
  ck_assert_int_eq(isw_survey_plan_cuts(world.days, cut, cut, plan_cases[_i].every, cuts), 1);
  ck_assert_int_eq(cuts[0].cut_day, cut);
  if (plan_cases[_i].type == 0) {
    ck_assert_msg(cuts[0].v == -1 && cuts[0].sow_day == -1 && cuts[0].harvest_day == -1, "%s",
                  plan_cases[_i].what);
  } else {
    ck_assert_msg(cuts[0].v == plan_cases[_i].type - 'a', "%s", plan_cases[_i].what);
    ck_assert_msg(cuts[0].sow_day == date(plan_cases[_i].sow), "%s: sown on day %d",
                  plan_cases[_i].what, cuts[0].sow_day);
    ck_assert_int_eq(cuts[0].harvest_day, date(plan_cases[_i].harvest));
    ck_assert_int_eq(cuts[0].transplant_day, isw_base_wrap_day(cuts[0].sow_day + 20));
  }
  end_world(&world);
}
END_TEST

/* First and last date, interval; the dates. */
static const struct {
  const char *from, *to;
  int every, n;
  const char *last;
} date_cases[] = {
    {"10-01", "10-31", 10, 4, "10-31"},  {"10-01", "10-30", 10, 3, "10-21"},
    {"12-20", "01-10", 10, 3, "01-09"},  {"10-01", "10-01", 7, 1, "10-01"},
    {"10-01", "09-30", 1, 365, "09-30"}, {"10-01", "09-30", 365, 1, "10-01"},
    {"02-27", "03-01", 1, 3, "03-01"},
};

START_TEST(cut_dates_by_hand) {
  struct world world = make_world(false);
  struct isw_planned_cut cuts[ISW_YEAR_DAYS];
  const int n = isw_survey_plan_cuts(world.days, date(date_cases[_i].from), date(date_cases[_i].to),
                                     date_cases[_i].every, cuts);
  ck_assert_int_eq(n, date_cases[_i].n);
  ck_assert_int_eq(cuts[0].cut_day, date(date_cases[_i].from));
  ck_assert_int_eq(cuts[n - 1].cut_day, date(date_cases[_i].last));
  end_world(&world);
}
END_TEST

/* A date's season is the first in the sheet that holds it. */
static const struct {
  const char *day;
  bool south;
  const char *season; /* NULL: none */
} season_cases[] = {
    {"03-01", false, "spring"},
    {"05-31", false, "spring"},
    {"06-01", false, NULL},
    {"07-31", false, NULL},
    {"08-01", false, "autumn"},
    {"10-15", false, "autumn"},
    {"11-01", false, NULL},
    /* 182 days on: 1 March is 30 August, 31 May 29 November */
    {"08-29", true, NULL},
    {"08-30", true, "spring"},
    {"11-29", true, "spring"},
    {"11-30", true, NULL},
    {"03-01", true, "autumn"},
};

START_TEST(seasons_of_dates) {
  struct world world = make_world(season_cases[_i].south);
  const int s = world.days->season[date(season_cases[_i].day)];
  ck_assert_str_eq(s < 0 ? "none" : world.sheet->seasons[s].name,
                   season_cases[_i].season != NULL ? season_cases[_i].season : "none");
  end_world(&world);
}
END_TEST

/* In spring this sheet sows in place; in autumn and outside the seasons it starts in the nursery.
 */
START_TEST(a_date_starts_as_its_season_says) {
  struct world world = make_world(false);
  ck_assert_int_eq(isw_survey_start_on(world.days, 0, date("04-01")), ISW_START_DIRECT);
  ck_assert_int_eq(isw_survey_start_on(world.days, 0, date("09-01")), ISW_START_NURSERY);
  ck_assert_int_eq(isw_survey_start_on(world.days, 0, date("07-01")), ISW_START_NURSERY);
  /* Days from the nursery go on where the season ends: the normals are the same all year. */
  const struct isw_day_answer inside = isw_survey_ask_day(world.days, 1, date("10-31"));
  const struct isw_day_answer outside = isw_survey_ask_day(world.days, 1, date("11-01"));
  ck_assert_int_eq(outside.season, -1);
  ck_assert_int_eq(outside.growing_days, inside.growing_days);
  ck_assert_int_eq(outside.score_tenths, inside.score_tenths);
  ck_assert(outside.transplant_day >= 0);
  ck_assert_int_eq(isw_survey_ask_day(world.days, 1, date("04-01")).transplant_day, -1);
  ck_assert_int_eq(outside.harvest_day, isw_base_wrap_day(date("11-01") + outside.growing_days));
  end_world(&world);
}
END_TEST

static void set_window(struct world *world, char type, int s, const char *from, int days) {
  const int from_day = date(from);
  world->days->results[isw_growth_result_index(world->plan, type - 'a', s)].window =
      (struct isw_window){from_day, isw_base_wrap_day(from_day + days - 1), days};
}

START_TEST(next_windows_by_hand) {
  struct world world = make_world(false);
  for (int r = 0; r < world.place->n_results; r++)
    world.days->results[r].window = (struct isw_window){-1, -1, 0};
  ck_assert_int_eq(isw_survey_next_window(world.days, -1, 100).v, -1);
  set_window(&world, 'a', 0, "04-10", 20);
  set_window(&world, 'b', 0, "03-20", 10);
  set_window(&world, 'a', 1, "08-05", 10);
  set_window(&world, 'b', 1, "08-05", 30);
  struct isw_next_window next = isw_survey_next_window(world.days, -1, date("12-01"));
  ck_assert(next.v == 1 && next.s == 0 && next.window.days == 10);
  next = isw_survey_next_window(world.days, -1, date("03-25"));
  ck_assert(next.v == 0 && next.s == 0);
  /* On one day both: the season's order, a before b in autumn. */
  next = isw_survey_next_window(world.days, -1, date("05-01"));
  ck_assert(next.v == 0 && next.s == 1);
  next = isw_survey_next_window(world.days, 1, date("05-01"));
  ck_assert(next.v == 1 && next.s == 1);
  /* The day on which it opens: the next one after it. */
  next = isw_survey_next_window(world.days, 1, date("08-05"));
  ck_assert(next.v == 1 && next.s == 0);
  ck_assert_int_eq(isw_survey_type_on(world.days, date("08-05")), 0);
  ck_assert_int_eq(isw_survey_type_on(world.days, date("08-15")), 1);
  ck_assert_int_eq(isw_survey_type_on(world.days, date("09-04")), -1);
  ck_assert_int_eq(isw_survey_type_on(world.days, date("07-01")), -1);
  end_world(&world);
}
END_TEST

/* Real places: the best day of every result is that day of the table; a day inside a window is
 * good. */
enum { NORMALS = 24, STATION_NUMBERS = 1 + NORMALS };

START_TEST(days_hold_what_results_say) {
  struct isw_sheet *sheet;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  struct isw_conditions conditions = isw_growth_default_conditions();
  struct isw_plan *plan = g_new(struct isw_plan, 1);
  isw_growth_make_plan(sheet, &conditions, 0, NULL, 0, NULL, plan);
  const int n = science_table_count("station_normals.txt");
  ck_assert_int_gt(n, 3);
  for (int i = 0; i < n; i++) {
    struct science_row row;
    science_table_row("station_normals.txt", STATION_NUMBERS, i, &row);
    struct isw_site site = {.name = row.text, .lat_text = "0", .lon_text = "0"};
    site.south = row.number[0] < 0;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      site.normals.tmin_C[m] = row.number[1 + m];
      site.normals.tmax_C[m] = row.number[1 + ISW_YEAR_MONTHS + m];
    }
    struct isw_place *place = isw_survey_new_place(plan, &site);
    struct isw_place_days *days = isw_survey_new_place_days(plan, place);
    for (int v = 0; v < plan->n_varieties; v++) {
      for (int s = 0; s < plan->n_seasons; s++) {
        const struct isw_result *result = &days->results[isw_growth_result_index(plan, v, s)];
        if (result->best_sow_day < 0) continue;
        const struct isw_day_answer day = isw_survey_ask_day(days, v, result->best_sow_day);
        ck_assert_int_eq(day.season, s);
        ck_assert_int_eq(day.score_tenths, result->score_tenths);
        ck_assert_int_eq(day.years, result->years);
        ck_assert_int_eq(day.harvest_day, result->harvest_day);
        ck_assert_int_eq(day.growing_days, result->growing_days);
        ck_assert_int_eq(day.transplant_day, result->transplant_day);
        ck_assert_int_eq(day.good, result->window.days > 0);
        for (int k = 0; k < result->window.days; k++)
          ck_assert(
              isw_survey_ask_day(days, v, isw_base_wrap_day(result->window.from_day + k)).good);
      }
    }
    isw_survey_free_place_days(days);
    isw_survey_free_place(place);
  }
  g_free(plan);
  isw_crop_free_sheet(sheet);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("planting plan");
  TCase *cuts = tcase_create("cuts");
  tcase_add_loop_test(cuts, cuts_by_hand, 0, (int)G_N_ELEMENTS(plan_cases));
  tcase_add_loop_test(cuts, cut_dates_by_hand, 0, (int)G_N_ELEMENTS(date_cases));
  suite_add_tcase(suite, cuts);
  TCase *days = tcase_create("days");
  tcase_set_timeout(days, 60);
  tcase_add_loop_test(days, seasons_of_dates, 0, (int)G_N_ELEMENTS(season_cases));
  tcase_add_test(days, a_date_starts_as_its_season_says);
  tcase_add_test(days, next_windows_by_hand);
  tcase_add_test(days, days_hold_what_results_say);
  suite_add_tcase(suite, days);
  return suite;
}

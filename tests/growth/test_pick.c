/* Which variety is chosen, the type of a date and a season's span, on results made by hand:
 * windows, years and scores of varieties a, b, c, d. The rules are the program's and, beside it,
 * those of the plain reference. */
#include "growth/span.h"
#include "hand_sheet.h"
#include "reference_season.h"
#include "suite_main.h"

enum { A, B, C, D, NONE = -1 };

static void set_up(struct hand_sheet *hand, const int order[HAND_VARIETIES_MAX], int least_years,
                   int n_chosen, const int *chosen, struct isw_plan *plan) {
  hand_sheet_init(hand);
  hand->sheet.n_varieties = HAND_VARIETIES_MAX;
  hand->sheet.n_seasons = 2;
  hand->sheet.seasons[1] = hand->sheet.seasons[0];
  for (int v = 0; v < HAND_VARIETIES_MAX; v++) hand->sheet.seasons[1].preferred[v] = order[v];
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.least_years = least_years;
  isw_growth_make_plan(&hand->sheet, &conditions, n_chosen, chosen, 0, NULL, plan);
}

/* ---- pick ---- */

static const struct {
  const char *why;
  int least_years;
  int order[HAND_VARIETIES_MAX]; /* the season's preference */
  int window_days[HAND_VARIETIES_MAX], years[HAND_VARIETIES_MAX], tenths[HAND_VARIETIES_MAX];
  int variety;
  bool risky;
  int code;
} picks[] = {
    {"first with 7 days", 7, {A, B, C, D}, {7, 30, 60}, {7, 9, 10}, {700, 900, 990}, A, false, 1},
    {"6 days are too few", 7, {A, B, C, D}, {6, 7, 60}, {10, 7, 9}, {990, 700, 990}, B, false, 2},
    {"the season's order", 7, {C, A, B, D}, {30, 30, 8}, {9, 9, 7}, {990, 990, 710}, C, false, 3},
    {"first without window",
     7,
     {D, A, B, C},
     {0, 9, 9},
     {6, 8, 8, 6},
     {0, 800, 800, 690},
     B,
     false,
     2},
    {"any, first in order", 7, {D, C, B, A}, {6, 3}, {9, 7, 0, 6}, {990, 710, 0, 690}, B, false, 2},
    {"any before more years", 7, {A, B, C, D}, {0, 1}, {6, 7}, {950, 700}, B, false, 2},
    {"most years, risky", 7, {A, B, C, D}, {0}, {4, 6, 5, 0}, {990, 710, 900, 690}, B, true, 102},
    {"then the score", 7, {A, B, C, D}, {0}, {4, 4, 4, 0}, {700, 710, 705, 690}, B, true, 102},
    {"then the order", 7, {C, B, A, D}, {0}, {4, 4, 3, 4}, {710, 710, 900, 710}, B, true, 102},
    {"3 years are a risk", 7, {A, B, C, D}, {0}, {2, 0, 0, 3}, {990, 0, 0, 700}, D, true, 104},
    {"2 are nothing", 7, {A, B, C, D}, {0}, {2, 1, 0, 2}, {990, 990, 690, 990}, NONE, false, 0},
    {"a high score of no year", 7, {A, B, C, D}, {0}, {0}, {690, 690, 690, 690}, NONE, false, 0},
    {"nothing at all", 7, {A, B, C, D}, {0}, {0}, {0}, NONE, false, 0},
    {"--years 0: score", 0, {A, B, C, D}, {0}, {-1, -1, -1, -1}, {510, 690, 600}, B, true, 102},
    {"--years 0: 50.0", 0, {A, B, C, D}, {0}, {-1, -1, -1, -1}, {499, 0, 0, 500}, D, true, 104},
    {"--years 0: 49.9", 0, {A, B, C, D}, {0}, {-1, -1, -1, -1}, {499, 499, 0, 499}, NONE, false, 0},
    {"--years 0: a window", 0, {A, B, C, D}, {0, 3}, {-1, -1, -1, -1}, {650, 700}, B, false, 2},
};

START_TEST(pick_by_hand) {
  struct hand_sheet hand;
  static struct isw_plan plan;
  struct isw_result results[HAND_VARIETIES_MAX * 2] = {0};
  set_up(&hand, picks[_i].order, picks[_i].least_years, 0, NULL, &plan);
  for (int v = 0; v < HAND_VARIETIES_MAX; v++) {
    /* the other season would choose d */
    results[isw_growth_result_index(&plan, v, 0)].window.days = v == D ? 100 : 0;
    struct isw_result *result = &results[isw_growth_result_index(&plan, v, 1)];
    result->window.days = picks[_i].window_days[v];
    result->years = picks[_i].years[v];
    result->score_tenths = picks[_i].tenths[v];
    result->best_sow_day = result->score_tenths > 0 ? 100 : -1;
  }
  const struct isw_pick pick = isw_growth_pick(&plan, 1, results);
  const struct reference_pick plain = reference_pick(&plan, 1, results);
  ck_assert_msg(pick.variety == picks[_i].variety, "%s: %d", picks[_i].why, pick.variety);
  ck_assert_msg(plain.variety == picks[_i].variety, "%s: %d", picks[_i].why, plain.variety);
  if (pick.variety >= 0) ck_assert(pick.risky == picks[_i].risky && plain.risky == pick.risky);
  ck_assert_int_eq(isw_growth_pick_code(pick), picks[_i].code);
  ck_assert_int_eq(isw_growth_pick_code(isw_growth_pick(&plan, 0, results)), D + 1);
}
END_TEST

/* Only varieties of the run are chosen from; the code stays that of the sheet's order. */
START_TEST(only_chosen_varieties) {
  struct hand_sheet hand;
  static struct isw_plan plan;
  static const int chosen[] = {D, B}, order[] = {A, B, C, D};
  set_up(&hand, order, 7, 2, chosen, &plan);
  ck_assert_int_eq(plan.n_varieties, 2);
  ck_assert_int_eq(plan.varieties[0], B);
  struct isw_result results[4] = {0};
  results[isw_growth_result_index(&plan, 0, 1)].window.days = 3;
  results[isw_growth_result_index(&plan, 1, 1)].window.days = 20;
  ck_assert_int_eq(isw_growth_pick_code(isw_growth_pick(&plan, 1, results)), D + 1);
}
END_TEST

/* ---- type and span ---- */

enum { RUNS_MAX = 5 };

static const struct {
  const char *why;
  bool south;
  int season_from, season_to; /* of the northern sheet */
  int order[HAND_VARIETIES_MAX];
  int windows[HAND_VARIETIES_MAX][2]; /* first and last day; {0, 0}: none */
  int days, types;
  int runs[RUNS_MAX][3]; /* variety, first and last day; {0, 0, 0}: no more */
} spans[] = {
    {"late until 218, then standard until 225, then early until 233",
     false,
     181,
     364,
     {A, B, C, D},
     {{206, 218}, {207, 225}, {0, 0}, {208, 233}},
     28,
     3,
     {{A, 206, 218}, {B, 219, 225}, {D, 226, 233}}},
    {"one type",
     false,
     181,
     364,
     {A, B, C, D},
     {{0, 0}, {200, 210}, {0, 0}, {0, 0}},
     11,
     1,
     {{B, 200, 210}}},
    {"an earlier window of another type joins",
     false,
     181,
     364,
     {A, B, C, D},
     {{210, 220}, {0, 0}, {0, 0}, {200, 215}},
     21,
     2,
     {{D, 200, 209}, {A, 210, 220}}},
    {"and resumes after it",
     false,
     181,
     364,
     {A, B, C, D},
     {{210, 220}, {0, 0}, {0, 0}, {200, 230}},
     31,
     2,
     {{D, 200, 209}, {A, 210, 220}, {D, 221, 230}}},
    {"next to each other without a gap",
     false,
     181,
     364,
     {A, B, C, D},
     {{200, 210}, {211, 220}, {0, 0}, {221, 221}},
     22,
     3,
     {{A, 200, 210}, {B, 211, 220}, {D, 221, 221}}},
    {"a gap ends it; what lies beyond is not the pick's",
     false,
     181,
     364,
     {A, B, C, D},
     {{200, 210}, {212, 220}, {0, 0}, {0, 0}},
     11,
     1,
     {{A, 200, 210}}},
    {"the pick is not the first type: 6 days are no pick, but a type",
     false,
     181,
     364,
     {A, B, C, D},
     {{200, 205}, {190, 210}, {0, 0}, {0, 0}},
     21,
     2,
     {{B, 190, 199}, {A, 200, 205}, {B, 206, 210}}},
    {"the season's preference",
     false,
     181,
     364,
     {D, A, B, C},
     {{206, 218}, {0, 0}, {0, 0}, {208, 233}},
     28,
     2,
     {{A, 206, 207}, {D, 208, 233}}},
    {"no window", false, 181, 364, {A, B, C, D}, {{0, 0}, {0, 0}, {0, 0}, {0, 0}}, 0, 0, {{0}}},
    {"season across New Year, whole",
     false,
     350,
     20,
     {A, B, C, D},
     {{350, 360}, {355, 5}, {0, 0}, {3, 20}},
     36,
     3,
     {{A, 350, 360}, {B, 361, 5}, {D, 6, 20}}},
    {"in the south",
     true,
     181,
     364,
     {A, B, C, D},
     {{363, 10}, {5, 181}, {0, 0}, {0, 0}},
     184,
     2,
     {{A, 363, 10}, {B, 11, 181}}},
    {"a season of a year has ends",
     false,
     0,
     364,
     {A, B, C, D},
     {{1, 20}, {0, 0}, {0, 0}, {350, 364}},
     20,
     1,
     {{A, 1, 20}}},
};

static void make_windows(int i, const struct isw_plan *plan, struct isw_result *results) {
  for (int v = 0; v < HAND_VARIETIES_MAX; v++) {
    const int from = spans[i].windows[v][0], to = spans[i].windows[v][1];
    struct isw_result *result = &results[isw_growth_result_index(plan, v, 1)];
    *result = (struct isw_result){.best_sow_day = -1, .window = {-1, -1, 0}};
    if (to == 0) continue;
    result->best_sow_day = from;
    result->score_tenths = 900;
    result->years = 9;
    result->window = (struct isw_window){from, to, isw_base_days_forward(from, to) + 1};
  }
}

START_TEST(span_by_hand) {
  struct hand_sheet hand;
  static struct isw_plan plan;
  static struct isw_span span;
  struct isw_result results[HAND_VARIETIES_MAX * 2] = {0};
  set_up(&hand, spans[_i].order, 7, 0, NULL, &plan);
  hand.sheet.seasons[1].sow_from_day = spans[_i].season_from;
  hand.sheet.seasons[1].sow_to_day = spans[_i].season_to;
  make_windows(_i, &plan, results);
  isw_growth_span(&plan, 1, spans[_i].south, isw_growth_pick(&plan, 1, results), results, &span);
  int n_runs = 0;
  while (n_runs < RUNS_MAX && spans[_i].runs[n_runs][2] > 0) n_runs++;
  ck_assert_msg(span.days.days == spans[_i].days, "%s: %d days", spans[_i].why, span.days.days);
  ck_assert_msg(span.n_types == spans[_i].types, "%s: %d types", spans[_i].why, span.n_types);
  ck_assert_msg(span.n_runs == n_runs, "%s: %d runs", spans[_i].why, span.n_runs);
  for (int r = 0; r < n_runs; r++) {
    const int *run = spans[_i].runs[r];
    ck_assert_msg(span.runs[r].variety == run[0] && span.runs[r].from_day == run[1] &&
                      span.runs[r].to_day == run[2],
                  "%s: run %d is %d from %d to %d", spans[_i].why, r, span.runs[r].variety,
                  span.runs[r].from_day, span.runs[r].to_day);
  }
  const struct isw_window season = isw_growth_season_days(&hand.sheet.seasons[1], spans[_i].south);
  const struct reference_span plain = reference_span(&plan, 1, season, results);
  ck_assert_int_eq(plain.days.days, span.days.days);
  ck_assert_int_eq(plain.days.from_day, span.days.from_day);
  ck_assert_int_eq(plain.days.to_day, span.days.to_day);
  ck_assert_int_eq(plain.types, span.n_types);
  ck_assert_int_eq(plain.first_type, n_runs > 0 ? span.runs[0].variety : -1);
  ck_assert_int_eq(plain.last_type, n_runs > 0 ? span.runs[n_runs - 1].variety : -1);
}
END_TEST

/* Type by type, every date of the year. */
START_TEST(the_type_of_each_date) {
  struct hand_sheet hand;
  static struct isw_plan plan;
  struct isw_result results[HAND_VARIETIES_MAX * 2] = {0};
  set_up(&hand, spans[_i].order, 7, 0, NULL, &plan);
  make_windows(_i, &plan, results);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    const int type = isw_growth_type_of_day(&plan, 1, results, day);
    ck_assert_int_eq(type, reference_type(&plan, 1, results, day));
    for (int r = 0; r < RUNS_MAX && spans[_i].runs[r][2] > 0; r++)
      if (isw_base_days_forward(spans[_i].runs[r][1], day) <=
          isw_base_days_forward(spans[_i].runs[r][1], spans[_i].runs[r][2]))
        ck_assert_int_eq(type, spans[_i].runs[r][0]);
  }
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("pick");
  TCase *pick = tcase_create("pick and span");
  const int n_spans = (int)(sizeof spans / sizeof spans[0]);
  tcase_add_loop_test(pick, pick_by_hand, 0, (int)(sizeof picks / sizeof picks[0]));
  tcase_add_test(pick, only_chosen_varieties);
  tcase_add_loop_test(pick, span_by_hand, 0, n_spans);
  tcase_add_loop_test(pick, the_type_of_each_date, 0, n_spans);
  suite_add_tcase(suite, pick);
  return suite;
}

/* Which variety is chosen, on results made by hand: window days and scores of varieties a, b, c, d.
 */
#include "growth/pick.h"
#include "hand_sheet.h"
#include "suite_main.h"

enum { A, B, C, D, NONE = -1 };

static const struct {
  const char *why;
  int order[HAND_VARIETIES_MAX]; /* the season's preference */
  int window_days[HAND_VARIETIES_MAX], tenths[HAND_VARIETIES_MAX];
  int variety;
  bool risky;
  int code;
} cases[] = {
    {"the first with 7 days", {A, B, C, D}, {7, 30, 60, 0}, {700, 900, 990, 0}, A, false, 1},
    {"6 days are not enough", {A, B, C, D}, {6, 7, 60, 0}, {990, 700, 990, 0}, B, false, 2},
    {"the season's preference", {C, A, B, D}, {30, 30, 8, 0}, {990, 990, 710, 0}, C, false, 3},
    {"preferred without window", {D, A, B, C}, {0, 9, 9, 0}, {600, 800, 800, 690}, B, false, 2},
    {"any window, first in order", {D, C, B, A}, {6, 3, 0, 0}, {990, 710, 0, 690}, B, false, 2},
    {"any window before a higher score", {A, B, C, D}, {0, 1, 0, 0}, {950, 700, 0, 0}, B, false, 2},
    {"the highest score is risky", {A, B, C, D}, {0, 0, 0, 0}, {510, 690, 600, 0}, B, true, 102},
    {"of equal scores the first", {C, B, A, D}, {0, 0, 0, 0}, {690, 690, 600, 690}, B, true, 102},
    {"50.0 is risky", {A, B, C, D}, {0, 0, 0, 0}, {499, 0, 0, 500}, D, true, 104},
    {"49.9 is nothing", {A, B, C, D}, {0, 0, 0, 0}, {499, 499, 0, 499}, NONE, false, 0},
    {"nothing at all", {A, B, C, D}, {0, 0, 0, 0}, {0, 0, 0, 0}, NONE, false, 0},
};

static void set_up(int i, struct hand_sheet *hand, struct isw_plan *plan, int n_chosen,
                   const int *chosen) {
  hand_sheet_init(hand);
  hand->sheet.n_varieties = HAND_VARIETIES_MAX;
  hand->sheet.n_seasons = 2;
  hand->sheet.seasons[1] = hand->sheet.seasons[0];
  for (int v = 0; v < HAND_VARIETIES_MAX; v++)
    hand->sheet.seasons[1].preferred[v] = cases[i].order[v];
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(&hand->sheet, &conditions, n_chosen, chosen, 0, NULL, plan);
}

START_TEST(pick_by_hand) {
  struct hand_sheet hand;
  static struct isw_plan plan;
  struct isw_result results[HAND_VARIETIES_MAX * 2] = {0};
  set_up(_i, &hand, &plan, 0, NULL);
  for (int v = 0; v < HAND_VARIETIES_MAX; v++) {
    /* the other season would choose d */
    results[isw_growth_result_index(&plan, v, 0)].window.days = v == D ? 100 : 0;
    struct isw_result *result = &results[isw_growth_result_index(&plan, v, 1)];
    result->window.days = cases[_i].window_days[v];
    result->score_tenths = cases[_i].tenths[v];
  }
  struct isw_pick pick = isw_growth_pick(&plan, 1, results);
  ck_assert_msg(pick.variety == cases[_i].variety, "%s: %d", cases[_i].why, pick.variety);
  if (pick.variety >= 0) ck_assert(pick.risky == cases[_i].risky);
  ck_assert_int_eq(isw_growth_pick_code(pick), cases[_i].code);
  ck_assert_int_eq(isw_growth_pick_code(isw_growth_pick(&plan, 0, results)), D + 1);
}
END_TEST

/* Only varieties of the run are chosen from; the code stays that of the sheet's order. */
START_TEST(only_chosen_varieties) {
  struct hand_sheet hand;
  static struct isw_plan plan;
  static const int chosen[] = {D, B};
  set_up(0, &hand, &plan, 2, chosen);
  ck_assert_int_eq(plan.n_varieties, 2);
  ck_assert_int_eq(plan.varieties[0], B);
  struct isw_result results[4] = {0};
  results[isw_growth_result_index(&plan, 0, 1)].window.days = 3;
  results[isw_growth_result_index(&plan, 1, 1)].window.days = 20;
  ck_assert_int_eq(isw_growth_pick_code(isw_growth_pick(&plan, 1, results)), D + 1);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("pick");
  TCase *pick = tcase_create("pick");
  tcase_add_loop_test(pick, pick_by_hand, 0, (int)(sizeof cases / sizeof cases[0]));
  tcase_add_test(pick, only_chosen_varieties);
  suite_add_tcase(suite, pick);
  return suite;
}

/* What a season answers, on sowing days made by hand: best day, window, edge, cut range. Worked out
 * on paper from the words of the method, and asked of the plain reference and of the program's own
 * reading of a season alike. */
#include <stdlib.h>
#include <string.h>

#include "growth/cell.h"
#include "growth/kernel_room.h"
#include "growth/windows.h"
#include "hand_sheet.h"
#include "reference_season.h"
#include "science_table.h"
#include "suite_main.h"

enum { GROWING_DAYS = 80, TEXT_MAX = 120 };

struct season_case {
  char why[SCIENCE_TEXT_SIZE], pieces[TEXT_MAX];
  bool south, all_cut_outside, all_take_80;
  struct isw_season season;
  struct isw_conditions conditions;
  int best, days, years, edge;
  int window[2], harvest[2]; /* -1: none */
};

/* "120-130"; any other word: -1, -1. */
static void read_range(const char *text, int out[2]) {
  if (sscanf(text, "%d-%d", &out[0], &out[1]) != 2) out[0] = out[1] = -1;
}

static void read_case(int index, struct season_case *out) {
  struct science_row row;
  char half[8], season[12], cut[12], best[8], window[12], harvest[12];
  int why = 0, season_days[2], cut_days[2];
  science_table_row("seasons_by_hand.txt", 0, index, &row);
  ck_assert_int_eq(
      sscanf(row.text, "%7s %11s %11s %119s %7s %11s %d %d %d %11s %n", half, season, cut,
             out->pieces, best, window, &out->days, &out->years, &out->edge, harvest, &why),
      10);
  snprintf(out->why, sizeof out->why, "%s", row.text + why);
  out->south = strcmp(half, "south") == 0;
  read_range(season, season_days);
  out->season = (struct isw_season){.sow_from_day = season_days[0], .sow_to_day = season_days[1]};
  read_range(cut, cut_days);
  out->conditions = isw_growth_default_conditions();
  out->conditions.has_cut = cut_days[0] >= 0;
  out->conditions.cut_from_day = cut_days[0];
  out->conditions.cut_to_day = cut_days[1];
  out->best = strcmp(best, "none") == 0 ? -1 : atoi(best);
  read_range(window, out->window);
  read_range(harvest, out->harvest);
  out->all_cut_outside = strcmp(harvest, "outside") == 0;
}

static void add_piece(const char *text, struct season_case *c,
                      struct reference_day days[ISW_YEAR_DAYS]) {
  int from, to, tenths, years, growing = GROWING_DAYS;
  const int n = sscanf(text, "%d-%d:%d:%d:%d", &from, &to, &tenths, &years, &growing);
  ck_assert_msg(n >= 4, "%s", text);
  c->all_take_80 = c->all_take_80 && growing == GROWING_DAYS;
  for (int i = 0; i <= isw_base_days_forward(from, to); i++) {
    const int day = isw_base_wrap_day(from + i);
    const int harvest_day = isw_base_wrap_day(day + growing);
    days[day] =
        (struct reference_day){.tenths = tenths,
                               .growing_days = growing,
                               .years = years,
                               .cut_outside = !reference_cut_within(&c->conditions, harvest_day)};
    days[day].good = tenths >= 700 && years >= 7 && !days[day].cut_outside;
  }
}

static void make_days(struct season_case *c, struct reference_day days[ISW_YEAR_DAYS]) {
  char pieces[TEXT_MAX];
  snprintf(pieces, sizeof pieces, "%s", c->pieces);
  c->all_take_80 = true;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) days[day] = (struct reference_day){0};
  for (char *piece = strtok(pieces, "+"); piece != NULL; piece = strtok(NULL, "+"))
    add_piece(piece, c, days);
}

static void check_answer(const char *who, const struct season_case *c,
                         const struct reference_answer *said) {
  ck_assert_msg(said->best_day == c->best, "%s, %s: best %d", who, c->why, said->best_day);
  ck_assert_msg(said->window.from_day == c->window[0] && said->window.to_day == c->window[1] &&
                    said->window.days == c->days,
                "%s, %s: window %d..%d, %d days", who, c->why, said->window.from_day,
                said->window.to_day, said->window.days);
  ck_assert_msg(said->years == c->years, "%s, %s: years %d", who, c->why, said->years);
  ck_assert_msg(said->edge == c->edge, "%s, %s: edge %d", who, c->why, said->edge);
  ck_assert_msg(said->cut_from_day == c->harvest[0] && said->cut_to_day == c->harvest[1],
                "%s, %s: cut %d..%d", who, c->why, said->cut_from_day, said->cut_to_day);
  ck_assert_msg(said->all_cut_outside == c->all_cut_outside, "%s, %s: cut outside", who, c->why);
}

/* The program's own reading of a season, on days made by hand: the tables of a crop that takes 80
 * days whenever it is sown, with the scores, years and goodness of its days overwritten. */
static void program_season(const struct season_case *c,
                           const struct reference_day days[ISW_YEAR_DAYS],
                           struct reference_answer *out) {
  static struct isw_growth_workspace workspace;
  static struct isw_plan plan;
  struct hand_sheet hand;
  struct isw_result result;
  hand_sheet_init(&hand);
  hand.sheet.n_stages = 1;
  hand.varieties[0].stages[0].days = GROWING_DAYS;
  hand.varieties[0].stages[0].at_most_days = GROWING_DAYS;
  hand.sheet.seasons[0].sow_from_day = c->season.sow_from_day;
  hand.sheet.seasons[0].sow_to_day = c->season.sow_to_day;
  const struct isw_normals normals = hand_constant_normals(15.0, 15.0);
  isw_growth_make_plan(&hand.sheet, &c->conditions, 0, NULL, 0, NULL, &plan);
  isw_growth_start_workspace(&plan, &workspace);
  isw_growth_cell(&workspace, &normals, c->south, &result);
  struct isw_kernel_room *room = isw_growth_room_of(&workspace);
  const struct isw_kernel_programme *programme = &room->recipe.programmes[0];
  struct isw_kernel_scores *scores = &room->tables.scores[programme->score];
  memset(scores->good, 0, sizeof scores->good);
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    const int32_t key = days[day].tenths + ISW_KERNEL_RANK * days[day].years;
    scores->key[day] = scores->key[day + ISW_YEAR_DAYS] = key;
    scores->fit[day] = days[day].growing_days > 0 ? 0.0f : ISW_KERNEL_NEVER_FIT;
    if (days[day].tenths >= 700 && days[day].years >= 7)
      scores->good[day / 64] |= UINT64_C(1) << (day % 64);
  }
  if (c->conditions.has_cut)
    isw_growth_kernel_drop_cut_outside(&room->recipe, programme, &room->tables);
  isw_growth_kernel_results(&room->recipe, room->routines, 0, c->south, &room->tables, &result);
  *out = (struct reference_answer){.best_day = result.best_sow_day,
                                   .all_cut_outside = result.limit == ISW_LIMIT_CUT_OUTSIDE,
                                   .window = result.window,
                                   .years = result.years,
                                   .edge = result.edge,
                                   .cut_from_day = result.cut_from_day,
                                   .cut_to_day = result.cut_to_day};
}

START_TEST(a_season_by_hand) {
  struct season_case c;
  struct reference_day days[ISW_YEAR_DAYS];
  struct reference_answer said;
  read_case(_i, &c);
  make_days(&c, days);
  reference_season(days, isw_growth_season_days(&c.season, c.south), &said);
  check_answer("reference", &c, &said);
  if (!c.all_take_80) return; /* the program's days come from a real crop of 80 days */
  program_season(&c, days, &said);
  check_answer("program", &c, &said);
}
END_TEST

/* Where every score is 0 the maturing day with the largest least fit speaks for the season: of the
 * reference; the kernel is held against it in test_kernel.c. */
START_TEST(who_speaks_for_a_season_of_zeros) {
  struct reference_day days[ISW_YEAR_DAYS] = {{0}};
  const struct isw_window season = {340, 30, 56};
  static const struct {
    int day;
    double least_fit;
  } maturing[] = {{350, 0.0}, {10, 0.4}, {355, 0.4}, {100, 0.8}};
  static const int expected[] = {350, 10, 355, 355}; /* 100 is outside the season */
  struct reference_answer said;
  for (int day = 0; day < ISW_YEAR_DAYS; day++) days[day].least_fit = 0.9;
  reference_season(days, season, &said);
  ck_assert_int_eq(said.shown_day, -1); /* a fit is no fit when nothing matures */
  for (int i = 0; i < 4; i++) {
    days[maturing[i].day].growing_days = 90;
    days[maturing[i].day].least_fit = maturing[i].least_fit;
    reference_season(days, season, &said);
    ck_assert_int_eq(said.best_day, -1);
    ck_assert_int_eq(said.shown_day, expected[i]);
  }
}
END_TEST

static const struct {
  int from, to, south_from, south_to, days;
} hemispheres[] = {
    {0, 134, 182, 316, 135},   /* 1 January - 15 May: 2 July - 13 November */
    {135, 180, 317, 362, 46},  /* 16 May - 30 June: 14 November - 29 December */
    {181, 364, 363, 181, 184}, /* 1 July - 31 December: across New Year */
    {300, 60, 117, 242, 126},  /* across New Year in the north */
    {0, 364, 182, 181, 365},   /* all year */
    {364, 364, 181, 181, 1},
};

START_TEST(southern_seasons_are_182_days_later) {
  struct isw_season season = {.sow_from_day = hemispheres[_i].from,
                              .sow_to_day = hemispheres[_i].to};
  struct isw_window north = isw_growth_season_days(&season, false);
  struct isw_window south = isw_growth_season_days(&season, true);
  ck_assert_int_eq(north.from_day, hemispheres[_i].from);
  ck_assert_int_eq(north.to_day, hemispheres[_i].to);
  ck_assert_int_eq(south.from_day, hemispheres[_i].south_from);
  ck_assert_int_eq(south.to_day, hemispheres[_i].south_to);
  ck_assert_int_eq(north.days, hemispheres[_i].days);
  ck_assert_int_eq(south.days, hemispheres[_i].days);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("seasons");
  TCase *seasons = tcase_create("seasons");
  tcase_add_loop_test(seasons, a_season_by_hand, 0, science_table_count("seasons_by_hand.txt"));
  tcase_add_test(seasons, who_speaks_for_a_season_of_zeros);
  tcase_add_loop_test(seasons, southern_seasons_are_182_days_later, 0,
                      (int)(sizeof hemispheres / sizeof hemispheres[0]));
  suite_add_tcase(suite, seasons);
  return suite;
}

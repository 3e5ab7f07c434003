/* Shares of area, worked by hand: tenths and whole per cents of one rounding. */
#include "suite_main.h"
#include "survey/area_share.h"

static const struct {
  const char *why;
  double part_m2, whole_m2;
  int tenths, percent, beyond;
} cases[] = {
    {"a half rounds up, not to even", 26.5, 100, 265, 27, 0},
    {"26.45 is 26.5 in a CSV, so 27 on a page", 26.45, 100, 265, 27, 0},
    {"26.44 is 26.4 and 26", 26.44, 100, 264, 26, 0},
    {"56.5 of a binary fraction's sum", 0.1 + 0.2 + 0.265, 1, 565, 57, 0},
    {"a seventh", 1, 7, 143, 14, 0},
    {"everything", 3, 3, 1000, 100, 0},
    {"everything but for the order of a sum", 0.3, 0.1 + 0.2, 1000, 100, 0},
    {"nothing", 0, 3, 0, 0, 0},
    {"a little", 0.1, 100, 1, 0, -1},
    {"very little", 1, 1e7, 0, 0, -1},
    {"0.45 is 0.5, so 1", 0.45, 100, 5, 1, 0},
    {"almost everything", 99.9, 100, 999, 100, 1},
    {"99.44 is 99", 99.44, 100, 994, 99, 0},
    {"no whole", 0, 0, 0, 0, 0},
};

START_TEST(by_hand) {
  struct isw_share share = isw_survey_share(cases[_i].part_m2, cases[_i].whole_m2);
  int tenths = isw_survey_share_tenths(cases[_i].part_m2, cases[_i].whole_m2);
  ck_assert_msg(tenths == cases[_i].tenths && share.percent == cases[_i].percent &&
                    share.beyond == cases[_i].beyond,
                "%s: %d, %d, %d", cases[_i].why, tenths, share.percent, share.beyond);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("area_share");
  TCase *tcase = tcase_create("area_share");
  tcase_add_loop_test(tcase, by_hand, 0, (int)(sizeof cases / sizeof cases[0]));
  suite_add_tcase(suite, tcase);
  return suite;
}

/* The clock of results. */
#define _POSIX_C_SOURCE 200112L /* setenv */
#include <check.h>
#include <stdbool.h>
#include <stdlib.h>
#include <time.h>

#include "base/clock.h"
#include "suite_main.h"

/* The variable: https://reproducible-builds.org/specs/source-date-epoch/ */
static const struct {
  const char *value; /* NULL: not set */
  long long now;     /* -1: the system's clock */
} cases[] = {{"0", 0},
             {"1700000000", 1700000000},
             {"253402300799", 253402300799},
             {NULL, -1},
             {"", -1},
             {"today", -1},
             {"12:30", -1},
             {"-5", -1},
             {"253402300800", -1},
             {"99999999999999999999", -1}};

/* What is not taken is refused; not set, or empty, is taken. */
START_TEST(is_refused_where_it_is_none) {
  bool refused = cases[_i].now < 0 && cases[_i].value != NULL && cases[_i].value[0] != '\0';
  if (cases[_i].value != NULL)
    setenv("SOURCE_DATE_EPOCH", cases[_i].value, 1);
  else
    unsetenv("SOURCE_DATE_EPOCH");
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_base_check_clock(&error), refused ? ISW_USAGE : ISW_OK);
}
END_TEST

START_TEST(stands_for_the_clock_where_it_is_a_number) {
  if (cases[_i].value != NULL)
    setenv("SOURCE_DATE_EPOCH", cases[_i].value, 1);
  else
    unsetenv("SOURCE_DATE_EPOCH");
  long long before = (long long)time(NULL), now = isw_base_now();
  if (cases[_i].now >= 0)
    ck_assert_int_eq(now, cases[_i].now);
  else
    ck_assert(now >= before && now <= before + 60);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("clock");
  TCase *clock = tcase_create("clock");
  tcase_add_loop_test(clock, stands_for_the_clock_where_it_is_a_number, 0,
                      (int)(sizeof cases / sizeof cases[0]));
  tcase_add_loop_test(clock, is_refused_where_it_is_none, 0, (int)(sizeof cases / sizeof cases[0]));
  suite_add_tcase(suite, clock);
  return suite;
}

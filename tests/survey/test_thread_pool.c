/* Common practice, no source: a task is done once and its failure is not lost. */
#include <check.h>
#include <glib.h>

#include "suite_main.h"
#include "survey/thread_pool.h"

enum { TASKS = 50 };

struct seen {
  int fails_at; /* -1: none */
  gint times[TASKS];
  gint count;
  int order[TASKS];
};

static enum isw_status note(void *self, int number, struct isw_error *error) {
  struct seen *seen = self;
  g_atomic_int_inc(&seen->times[number]);
  seen->order[g_atomic_int_add(&seen->count, 1)] = number;
  if (number != seen->fails_at) return ISW_OK;
  return isw_base_fail(error, ISW_OUTPUT, "task %d", number);
}

/* Threads 1, 2, 4 and more than tasks. */
static const int thread_counts[] = {1, 2, 4, 2 * TASKS};

START_TEST(each_once) {
  struct seen seen = {.fails_at = -1};
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_survey_do_tasks(TASKS, thread_counts[_i], note, &seen, NULL, &error),
                   ISW_OK);
  ck_assert_int_eq(seen.count, TASKS);
  for (int i = 0; i < TASKS; i++) {
    ck_assert_int_eq(seen.times[i], 1);
    if (thread_counts[_i] == 1) ck_assert_int_eq(seen.order[i], i);
  }
}
END_TEST

START_TEST(stops_at_a_failure) {
  struct seen seen = {.fails_at = 10};
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(isw_survey_do_tasks(TASKS, thread_counts[_i], note, &seen, NULL, &error),
                   ISW_OUTPUT);
  ck_assert_str_eq(error.text, "task 10");
  ck_assert_int_eq(seen.times[10], 1);
  for (int i = 0; i < TASKS; i++) ck_assert_int_le(seen.times[i], 1);
  /* One thread does nothing more; of several each may have begun another task. */
  if (thread_counts[_i] == 1) ck_assert_int_eq(seen.count, 11);
  ck_assert_int_eq(isw_survey_do_tasks(TASKS, thread_counts[_i], note,
                                       &(struct seen){.fails_at = 0}, NULL, NULL),
                   ISW_OUTPUT);
}
END_TEST

START_TEST(no_tasks) {
  ck_assert_int_eq(isw_survey_do_tasks(0, 4, note, NULL, NULL, NULL), ISW_OK);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("thread_pool");
  TCase *tcase = tcase_create("tasks");
  tcase_add_loop_test(tcase, each_once, 0, G_N_ELEMENTS(thread_counts));
  tcase_add_loop_test(tcase, stops_at_a_failure, 0, G_N_ELEMENTS(thread_counts));
  tcase_add_test(tcase, no_tasks);
  suite_add_tcase(suite, tcase);
  return suite;
}

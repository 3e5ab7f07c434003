/* Exit codes, the message a failure carries, the log and its progress line. */
#define _POSIX_C_SOURCE 200809L

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/interrupt.h"
#include "base/log.h"
#include "base/status.h"
#include "suite_main.h"

static const struct {
  enum isw_status status;
  int exit_code;
} exits[] = {{ISW_OK, 0},           {ISW_USAGE, 2},         {ISW_USAGE_EXISTS, 2},
             {ISW_INPUT_FILE, 3},   {ISW_INPUT_CONTENT, 3}, {ISW_INPUT_DOUBT, 3},
             {ISW_OUTPUT, 4},       {ISW_RESOURCES, 1},     {ISW_INTERNAL, 1},
             {ISW_INTERRUPTED, 130}};

START_TEST(exit_codes) {
  ck_assert_int_eq(isw_base_exit_code(exits[_i].status), exits[_i].exit_code);
}
END_TEST

/* Check forks, so that the signal and its flag stay in this test. */
START_TEST(exit_codes_of_signals) {
  isw_base_catch_interrupts();
  ck_assert_int_eq(isw_base_interrupted_by(), 0);
  raise(_i);
  ck_assert_int_eq(isw_base_interrupted_by(), _i);
  ck_assert_int_eq(isw_base_exit_code(ISW_INTERRUPTED), 128 + _i);
  ck_assert_int_eq(isw_base_exit_code(ISW_OUTPUT), 4);
}
END_TEST

/* A second signal ends the program at once: the default action is back after the first. */
START_TEST(a_second_signal_ends_the_program) {
  isw_base_catch_interrupts();
  raise(SIGTERM);
  raise(SIGTERM);
}
END_TEST

START_TEST(failures_carry_one_message) {
  struct isw_error error;
  ck_assert_int_eq(
      isw_base_fail(&error, ISW_INPUT_FILE, "%s: cannot be read; check the %s", "a.tif", "path"),
      ISW_INPUT_FILE);
  ck_assert_int_eq(error.status, ISW_INPUT_FILE);
  ck_assert_str_eq(error.text, "a.tif: cannot be read; check the path");
  isw_base_prefix_error(&error, "month %d: ", 7);
  ck_assert_str_eq(error.text, "month 7: a.tif: cannot be read; check the path");
  isw_base_append_error(&error, " with %s", "--option");
  ck_assert_str_eq(error.text, "month 7: a.tif: cannot be read; check the path with --option");
  ck_assert_int_eq(error.status, ISW_INPUT_FILE);
  ck_assert_int_eq(isw_base_fail(NULL, ISW_OUTPUT, "nobody listens"), ISW_OUTPUT);
  isw_base_prefix_error(NULL, "nobody listens");
  isw_base_append_error(NULL, "nobody listens");
}
END_TEST

/* The euro sign is three bytes of UTF-8 (e2 82 ac). */
static const char euro[] = "\xe2\x82\xac";

START_TEST(long_messages_are_cut_between_characters) {
  static char longer[2 * ISW_ERROR_TEXT_SIZE + 4];
  for (size_t i = 0; i + 3 < sizeof longer; i += 3) memcpy(longer + i, euro, 3);
  struct isw_error error;
  isw_base_fail(&error, ISW_INTERNAL, "%.*s%s", _i, "abc", longer);
  size_t length = strlen(error.text), whole = (length - (size_t)_i) / 3 * 3 + (size_t)_i;
  ck_assert_uint_eq(length, ISW_ERROR_TEXT_SIZE - 1);
  ck_assert_int_eq(memcmp(error.text + whole - 3, euro, 3), 0);
  for (size_t i = whole; i < length; i++) ck_assert_int_eq(error.text[i], '?');
}
END_TEST

/* The Unicode Standard, section 3.9: table 3-7, and ill-formed sequences as in tables 3-8 to 3-10.
 */
static const struct {
  const char *bytes, *text;
} characters[] = {
    {"a\xc3\xa9\xe2\x82\xac\xf0\x9f\x8c\xb1z", "a\xc3\xa9\xe2\x82\xac\xf0\x9f\x8c\xb1z"},
    {"\xc0\xaf\xe0\x80\xbf\xf0\x81\x82\x41", "????????A"},
    {"\xed\xa0\x80\xed\xbf\xbf\xed\xaf\x41", "????????A"},
    {"\xf4\x91\x92\x93\xff\x41\x80\xbf\x42", "?????A??B"},
    {"\xe1\x80\xe2\xf0\x91\x92\xf1\xbf\x41", "????????A"},
    {"\xf4\x8f\xbf\xbf\xed\x9f\xbf", "\xf4\x8f\xbf\xbf\xed\x9f\xbf"},
    {"x\xe2\x82", "x??"},
    {"x\xc3", "x?"},
};

START_TEST(messages_are_characters) {
  struct isw_error error;
  isw_base_fail(&error, ISW_INTERNAL, "%s", characters[_i].bytes);
  ck_assert_str_eq(error.text, characters[_i].text);
}
END_TEST

START_TEST(long_messages_are_cut_not_overrun) {
  static char longer[2 * ISW_ERROR_TEXT_SIZE];
  memset(longer, 'x', sizeof longer - 1);
  struct isw_error error;
  isw_base_fail(&error, ISW_INTERNAL, "%s", longer);
  ck_assert_uint_eq(strlen(error.text), ISW_ERROR_TEXT_SIZE - 1);
  isw_base_prefix_error(&error, "here: ");
  ck_assert_uint_eq(strlen(error.text), ISW_ERROR_TEXT_SIZE - 1);
  ck_assert_int_eq(strncmp(error.text, "here: xxx", 9), 0);
  isw_base_prefix_error(&error, "%s", longer);
  ck_assert_uint_eq(strlen(error.text), ISW_ERROR_TEXT_SIZE - 1);
}
END_TEST

enum log_event { PROGRESS, NOTICE, WARN };
struct log_step {
  enum log_event event;
  long long done;
};
static const struct {
  bool quiet;
  int n;
  struct log_step steps[8];
  const char *expected;
} logs[] = {
    {false,
     2,
     {{PROGRESS, 0}, {PROGRESS, 1000}},
     "0...10...20...30...40...50...60...70...80...90...100 - done.\n"},
    {false,
     4,
     {{PROGRESS, 0}, {PROGRESS, 250}, {PROGRESS, 251}, {PROGRESS, 1000}},
     "0...10...20...30...40...50...60...70...80...90...100 - done.\n"},
    {false, 2, {{PROGRESS, 0}, {PROGRESS, 120}}, "0...10"},
    {false, 2, {{PROGRESS, 0}, {PROGRESS, 24}}, "0"},
    {false, 2, {{PROGRESS, 0}, {PROGRESS, 25}}, "0."},
    {false, 3, {{PROGRESS, 120}, {WARN, 0}, {PROGRESS, 1000}}, "0...10\nisosow: warning: w\n"},
    {false, 2, {{NOTICE, 0}, {WARN, 0}}, "isosow: n\nisosow: warning: w\n"},
    {true, 4, {{PROGRESS, 0}, {NOTICE, 0}, {WARN, 0}, {PROGRESS, 1000}}, "isosow: warning: w\n"},
};

START_TEST(what_the_log_shows) {
  char *text = NULL;
  size_t size = 0;
  FILE *stream = open_memstream(&text, &size);
  struct isw_log log = isw_base_log_make(stream, logs[_i].quiet);
  for (int i = 0; i < logs[_i].n; i++) {
    switch (logs[_i].steps[i].event) {
      case PROGRESS: isw_base_progress(&log, logs[_i].steps[i].done, 1000); break;
      case NOTICE: isw_base_notice(&log, "%s", "n"); break;
      case WARN: isw_base_warn(&log, "%s", "w"); break;
    }
  }
  fclose(stream);
  ck_assert_str_eq(text, logs[_i].expected);
  free(text);
}
END_TEST

/* A name from a file does not end a warning's line, nor does it steer the terminal. */
START_TEST(a_warning_is_one_line) {
  char *text = NULL;
  size_t size = 0;
  FILE *stream = open_memstream(&text, &size);
  struct isw_log log = isw_base_log_make(stream, false);
  isw_base_warn(&log, "district %s: far", "A\nisosow: B\r\tC\033[2J");
  fclose(stream);
  ck_assert_str_eq(text, "isosow: warning: district A isosow: B  C?[2J: far\n");
  free(text);
}
END_TEST

START_TEST(a_missing_log_is_silent) {
  struct isw_log silent = isw_base_log_make(NULL, false);
  isw_base_progress(&silent, 1, 2);
  isw_base_notice(&silent, "x");
  isw_base_warn(&silent, "x");
  isw_base_progress(NULL, 1, 2);
  isw_base_notice(NULL, "x");
  isw_base_warn(NULL, "x");
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("status and log");
  TCase *status = tcase_create("status");
  tcase_add_loop_test(status, exit_codes, 0, (int)(sizeof exits / sizeof exits[0]));
  tcase_add_loop_test(status, exit_codes_of_signals, SIGINT, SIGINT + 1);
  tcase_add_loop_test(status, exit_codes_of_signals, SIGTERM, SIGTERM + 1);
  tcase_add_test_raise_signal(status, a_second_signal_ends_the_program, SIGTERM);
  tcase_add_test(status, failures_carry_one_message);
  tcase_add_test(status, long_messages_are_cut_not_overrun);
  tcase_add_loop_test(status, long_messages_are_cut_between_characters, 0, 4);
  tcase_add_loop_test(status, messages_are_characters, 0, sizeof characters / sizeof *characters);
  suite_add_tcase(suite, status);
  TCase *log = tcase_create("log");
  tcase_add_loop_test(log, what_the_log_shows, 0, (int)(sizeof logs / sizeof logs[0]));
  tcase_add_test(log, a_missing_log_is_silent);
  tcase_add_test(log, a_warning_is_one_line);
  suite_add_tcase(suite, log);
  return suite;
}

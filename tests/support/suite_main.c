#define _POSIX_C_SOURCE 200809L /* setenv */
#include "suite_main.h"

#include <stdlib.h>

int main(void) {
  /* Check gives each test four seconds by the clock on the wall: on a busy machine that says
   * nothing about the program. What is set outside stays. */
  setenv("CK_DEFAULT_TIMEOUT", "60", 0);
  SRunner *runner = srunner_create(isw_test_suite());
  srunner_run_all(runner, CK_NORMAL);
  int failed = srunner_ntests_failed(runner);
  srunner_free(runner);
  return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#include "suite_main.h"

#include <stdlib.h>

int main(void) {
  SRunner *runner = srunner_create(isw_test_suite());
  srunner_run_all(runner, CK_NORMAL);
  int failed = srunner_ntests_failed(runner);
  srunner_free(runner);
  return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

/* Every test program defines its suite; main is here once. */
#ifndef ISW_TEST_SUITE_MAIN_H
#define ISW_TEST_SUITE_MAIN_H

#include <check.h>

Suite *isw_test_suite(void);

#endif

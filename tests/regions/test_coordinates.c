/* Coordinates as people write them; the spellings and their source are in the table. */
#include <glib.h>
#include <math.h>

#include "regions/coordinates.h"
#include "science_table.h"
#include "suite_main.h"

START_TEST(spellings_are_understood) {
  struct science_row row;
  science_table_row("coordinates.txt", 2, _i, &row);
  struct isw_coordinates read;
  struct isw_error error;
  enum isw_status status = isw_regions_read_coordinates(row.text, &read, &error);
  if (isnan(row.number[0])) {
    ck_assert_msg(status == ISW_USAGE, "%s", row.text);
    return;
  }
  ck_assert_msg(status == ISW_OK, "%s: %s", row.text, error.text);
  ck_assert_msg(fabs(read.lat_deg - row.number[0]) < 1e-9, "%s", row.text);
  ck_assert_msg(fabs(read.lon_deg - row.number[1]) < 1e-9, "%s", row.text);
  ck_assert(fabs(g_ascii_strtod(read.lat_text, NULL) - read.lat_deg) < 1e-9);
  ck_assert(fabs(g_ascii_strtod(read.lon_text, NULL) - read.lon_deg) < 1e-9);
  g_free(read.lat_text);
  g_free(read.lon_text);
}
END_TEST

START_TEST(what_is_not_utf8_is_refused) {
  struct isw_coordinates read;
  struct isw_error error;
  ck_assert_int_eq(isw_regions_read_coordinates("44.12\xB0 N, 149.3\xB0 W", &read, &error),
                   ISW_USAGE);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("coordinates");
  TCase *reading = tcase_create("reading");
  tcase_add_loop_test(reading, spellings_are_understood, 0, science_table_count("coordinates.txt"));
  tcase_add_test(reading, what_is_not_utf8_is_refused);
  suite_add_tcase(suite, reading);
  return suite;
}

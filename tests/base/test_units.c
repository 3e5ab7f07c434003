/* Temperature units. Fixed points: water freezes at 0 degC = 32 degF = 273.15 K and boils (at one
 * atmosphere, by the scales' old definition) at 100 degC = 212 degF; -40 is the same in both
 * (ITS-90 and NIST SP 811 for the factors). */
#include "base/units.h"
#include "suite_main.h"

static const struct {
  const char *text;
  enum isw_unit unit;
} spellings[] = {
    {"C", ISW_UNIT_C},
    {"degC", ISW_UNIT_C},
    {"DEG C", ISW_UNIT_C},
    {"deg. C", ISW_UNIT_C},
    {"\xC2\xB0"
     "C",
     ISW_UNIT_C},
    {"\xB0"
     "C",
     ISW_UNIT_C},
    {"celsius", ISW_UNIT_C},
    {"Celsius", ISW_UNIT_C},
    {"degrees Celsius", ISW_UNIT_C},
    {"degree_Celsius", ISW_UNIT_C},
    {"degrees_C", ISW_UNIT_C},
    {"degC.", ISW_UNIT_C},
    {"K", ISW_UNIT_K},
    {"kelvin", ISW_UNIT_K},
    {"Kelvin", ISW_UNIT_K},
    {"degK", ISW_UNIT_K},
    {"F", ISW_UNIT_F},
    {"degF", ISW_UNIT_F},
    {"\xC2\xB0"
     "F",
     ISW_UNIT_F},
    {"fahrenheit", ISW_UNIT_F},
    {"degrees Fahrenheit", ISW_UNIT_F},
    {"0.1 degC", ISW_UNIT_C10},
    {"0.1 \xC2\xB0"
     "C",
     ISW_UNIT_C10},
    {"C/10", ISW_UNIT_C10},
    {"degC/10", ISW_UNIT_C10},
    {"degC*10", ISW_UNIT_C10},
    {"F/10", ISW_UNIT_F10},
    {"0.1 degF", ISW_UNIT_F10},
    /* no guessing */
    {"", ISW_UNIT_UNKNOWN},
    {"m", ISW_UNIT_UNKNOWN},
    {"mm", ISW_UNIT_UNKNOWN},
    {"metre", ISW_UNIT_UNKNOWN},
    {"unknown", ISW_UNIT_UNKNOWN},
    {"degrees", ISW_UNIT_UNKNOWN},
    {"1", ISW_UNIT_UNKNOWN},
    {"degrees_north", ISW_UNIT_UNKNOWN},
    {"K/km", ISW_UNIT_UNKNOWN},
    {"degC day", ISW_UNIT_UNKNOWN},
    {"coulomb", ISW_UNIT_UNKNOWN},
    {"a text that is far longer than any unit that a file could reasonably carry",
     ISW_UNIT_UNKNOWN},
};

START_TEST(files_spell_it_like_this) {
  ck_assert_int_eq(isw_base_recognise_unit(spellings[_i].text), spellings[_i].unit);
}
END_TEST

static const struct {
  const char *text;
  enum isw_unit unit;
} options[] = {
    {"C", ISW_UNIT_C},           {"c", ISW_UNIT_C},          {"F", ISW_UNIT_F},
    {"f", ISW_UNIT_F},           {"K", ISW_UNIT_K},          {"k", ISW_UNIT_K},
    {"C/10", ISW_UNIT_C10},      {"c/10", ISW_UNIT_C10},     {"F/10", ISW_UNIT_F10},
    {"f/10", ISW_UNIT_F10},      {"", ISW_UNIT_UNKNOWN},     {"degC", ISW_UNIT_UNKNOWN},
    {"?", ISW_UNIT_UNKNOWN},     {" C", ISW_UNIT_UNKNOWN},   {"C/1", ISW_UNIT_UNKNOWN},
    {"C/100", ISW_UNIT_UNKNOWN}, {"K/10", ISW_UNIT_UNKNOWN}, {"celsius please", ISW_UNIT_UNKNOWN},
};

START_TEST(options_spell_it_exactly) {
  ck_assert_int_eq(isw_base_parse_unit(options[_i].text), options[_i].unit);
}
END_TEST

START_TEST(no_text_is_no_unit) {
  ck_assert_int_eq(isw_base_recognise_unit(NULL), ISW_UNIT_UNKNOWN);
  ck_assert_int_eq(isw_base_parse_unit(NULL), ISW_UNIT_UNKNOWN);
}
END_TEST

static const struct {
  double value;
  enum isw_unit unit;
  double celsius;
} fixed_points[] = {
    {32, ISW_UNIT_F, 0},       {212, ISW_UNIT_F, 100},
    {-40, ISW_UNIT_F, -40},    {45, ISW_UNIT_F, 7.2222222222222},
    {273.15, ISW_UNIT_K, 0},   {0, ISW_UNIT_K, -273.15},
    {310.15, ISW_UNIT_K, 37},  {215, ISW_UNIT_C10, 21.5},
    {-3, ISW_UNIT_C10, -0.3},  {320, ISW_UNIT_F10, 0},
    {2120, ISW_UNIT_F10, 100}, {21.5, ISW_UNIT_C, 21.5},
};

START_TEST(fixed_points_there_and_back) {
  double celsius = isw_base_to_celsius(fixed_points[_i].value, fixed_points[_i].unit);
  ck_assert_double_eq_tol(celsius, fixed_points[_i].celsius, 1e-11);
  ck_assert_double_eq_tol(isw_base_from_celsius(celsius, fixed_points[_i].unit),
                          fixed_points[_i].value, 1e-9);
}
END_TEST

START_TEST(differences_have_no_zero_point) {
  ck_assert_double_eq_tol(isw_base_difference_to_kelvin(9.0, ISW_UNIT_F), 5.0, 1e-12);
  ck_assert_double_eq_tol(isw_base_difference_to_kelvin(9.0, ISW_UNIT_C), 9.0, 1e-12);
  ck_assert_double_eq_tol(isw_base_difference_to_kelvin(9.0, ISW_UNIT_K), 9.0, 1e-12);
  ck_assert_double_eq_tol(isw_base_difference_to_kelvin(9.0, ISW_UNIT_C10), 0.9, 1e-12);
}
END_TEST

START_TEST(names_parse_back) {
  for (int unit = ISW_UNIT_C; unit <= ISW_UNIT_F10; unit++)
    ck_assert_int_eq(isw_base_parse_unit(isw_base_unit_name((enum isw_unit)unit)), unit);
  ck_assert_str_eq(isw_base_unit_name(ISW_UNIT_UNKNOWN), "?");
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("units");
  TCase *units = tcase_create("units");
  tcase_add_loop_test(units, files_spell_it_like_this, 0,
                      (int)(sizeof spellings / sizeof spellings[0]));
  tcase_add_loop_test(units, options_spell_it_exactly, 0,
                      (int)(sizeof options / sizeof options[0]));
  tcase_add_test(units, no_text_is_no_unit);
  tcase_add_loop_test(units, fixed_points_there_and_back, 0,
                      (int)(sizeof fixed_points / sizeof fixed_points[0]));
  tcase_add_test(units, differences_have_no_zero_point);
  tcase_add_test(units, names_parse_back);
  suite_add_tcase(suite, units);
  return suite;
}

/* The table of options, and what reads it: values, run.json's list, parts, region files. Nothing
 * here has a source outside: the table is the program's own promise, and is held against itself. */
#include <glib.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "jobs/part_options.h"
#include "jobs/region_file.h"
#include "suite_main.h"

static const enum isw_command commands[] = {
    ISW_COMMAND_MAP,   ISW_COMMAND_SITE,    ISW_COMMAND_COMPARE,
    ISW_COMMAND_GUIDE, ISW_COMMAND_INSPECT, ISW_COMMAND_PARTS,
    ISW_COMMAND_JOIN,  ISW_COMMAND_CROP,    ISW_COMMAND_NORMALS};

/* A value other than the default that an option takes. */
static const char *value_for(const struct isw_option *option) {
  switch (option->kind) {
    case ISW_OPTION_FLAG: return "yes";
    case ISW_OPTION_COUNT: return option->least > 3.0 ? "1961" : "3";
    case ISW_OPTION_NUMBER: return option->least > 11.5 ? "97.25" : "11.5";
    case ISW_OPTION_CHOICE: {
      static char word[32];
      const char *bar = strchr(option->words, '|') + 1;
      g_strlcpy(word, bar, strcspn(bar, "|") + 1);
      return word;
    }
    case ISW_OPTION_SIZE: return "123.5x456";
    case ISW_OPTION_DATE: return "08-05";
    case ISW_OPTION_DATES: return "12-17..01-11";
    case ISW_OPTION_MONTHS: return "5..9";
    case ISW_OPTION_NUMBERS: return "1,2.5";
    case ISW_OPTION_NUMBER_OR_PATH: return "8.5";
    case ISW_OPTION_PAIRS: return "name=a text";
    case ISW_OPTION_ADDRESS: return "https://extension.example/";
    default: return "a word";
  }
}

static void set(struct isw_options *options, const char *name, enum isw_command command,
                const char *text) {
  struct isw_error error;
  const struct isw_option *option = isw_jobs_find_option(name, command);
  ck_assert_msg(option != NULL, "no option %s", name);
  ck_assert_msg(isw_jobs_set_option(options, option, text, &error) == ISW_OK, "%s: %s", name,
                error.text);
}

START_TEST(names_are_unique_and_rows_whole) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    ck_assert_msg(table[i].commands != 0, "%s is allowed nowhere", table[i].name);
    ck_assert_ptr_nonnull(table[i].help);
    ck_assert_msg(isw_jobs_option_argument(&table[i]) != NULL || table[i].kind == ISW_OPTION_FLAG,
                  "%s has no argument word", table[i].name);
    for (size_t k = 0; k < i; k++) {
      bool same_name = strcmp(table[i].name, table[k].name) == 0;
      ck_assert_msg(!same_name || (table[i].commands & table[k].commands) == 0, "%s is there twice",
                    table[i].name);
      /* commands may mean different things by a name, but only of different kinds */
      bool same_field = table[i].offset == table[k].offset;
      ck_assert_msg(!same_field || same_name, "%s and %s share a field", table[i].name,
                    table[k].name);
      ck_assert_msg(!same_name || same_field || table[i].kind != table[k].kind,
                    "%s is of two fields and one kind", table[i].name);
    }
  }
}
END_TEST

START_TEST(every_value_is_told_as_it_was_set) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    struct isw_options options;
    struct isw_error error;
    isw_jobs_start_options(&options);
    const char *value = value_for(&table[i]);
    ck_assert_msg(isw_jobs_set_option(&options, &table[i], value, &error) == ISW_OK, "%s: %s",
                  table[i].name, error.text);
    char *told = isw_jobs_option_text(&options, &table[i]);
    ck_assert_msg(g_strcmp0(told, value) == 0, "%s: set %s, told %s", table[i].name, value, told);
    g_free(told);
    isw_jobs_clear_options(&options);
  }
}
END_TEST

static const struct {
  const char *name, *text, *reason; /* NULL: taken */
} refusals[] = {
    {"good", "160", "must be a number from 0 to 100"},
    {"good", "100", NULL},
    {"period", "2020-1991", "runs backwards, from 2020 to 1991"},
    {"period", "1991-2020", NULL},
    {"period", "station means of 1981", NULL},
    {"period", "", NULL},
    {"good", "nan", "must be a number from 0 to 100"},
    {"good", "70%", "is not a number"},
    {"good", "", "is not a number"},
    {"spread", "0", "must be a number from 0.01 to 30"},
    {"b-warmer", "-30.5", "must be a number from -30 to 30"},
    {"threads", "0", "must be a whole number, 1 or more"},
    {"threads", "2.5", "must be a whole number, 1 or more"},
    {"threads", "two", "is not a number"},
    {"parts", "100001", "must be a whole number from 1 to 100000"},
    {"maps", "some", "is none of none, main, all"},
    {"start", "indoors", "is neither direct nor nursery"},
    {"unit", "c/10", NULL},
    {"unit", "R", "is none of C, F, K, C/10, F/10"},
    {"size", "10x10", "is neither A4, A3, letter nor WIDTHxHEIGHT in mm, each from 90 to 1200"},
    {"size", "210x", "is neither A4, A3, letter nor WIDTHxHEIGHT in mm, each from 90 to 1200"},
    {"size", "Letter", NULL},
    {"lapse", "steep", "is not a number"},
    {"lapse-monthly", "5,,5", "are not numbers with commas between"},
    {"quiet", "maybe", "is neither yes nor no"},
    {"sow", "02-29", "is not a date like 08-05 (month-day; 02-29 does not exist)"},
    {"every", "366", "must be a whole number from 1 to 365"},
};

START_TEST(values_out_of_range_are_refused_with_a_reason) {
  struct isw_options options;
  struct isw_error error = {.text = ""};
  isw_jobs_start_options(&options);
  const struct isw_option *option = isw_jobs_find_option(refusals[_i].name, ~0U);
  enum isw_status status = isw_jobs_set_option(&options, option, refusals[_i].text, &error);
  ck_assert_int_eq(status, refusals[_i].reason == NULL ? ISW_OK : ISW_USAGE);
  if (refusals[_i].reason != NULL) ck_assert_str_eq(error.text, refusals[_i].reason);
  isw_jobs_clear_options(&options);
}
END_TEST

static const char *recorded(const GArray *list, const char *name) {
  for (guint i = 0; i < list->len; i++) {
    const struct isw_run_option *option = &g_array_index(list, struct isw_run_option, i);
    if (strcmp(option->name, name) == 0) return option->value;
  }
  return NULL;
}

START_TEST(the_record_lists_what_decides_results) {
  struct isw_options options;
  isw_jobs_start_options(&options);
  set(&options, "districts", ISW_COMMAND_COMPARE, "districts.gpkg");
  set(&options, "good", ISW_COMMAND_COMPARE, "60");
  set(&options, "b-start", ISW_COMMAND_COMPARE, "direct");
  GArray *list = isw_jobs_new_record_list();
  isw_jobs_record_options(list, &options, ISW_COMMAND_COMPARE);
  static const char *const wanted[][2] = {{"districts", "districts.gpkg"},
                                          {"good", "60"},
                                          {"b-start", "direct"},
                                          {"b-warmer", "as A"},
                                          {"start", "as the seasons say"},
                                          {"grown-under", "open ground"},
                                          {"size", "297x210"},
                                          {"title", ""},
                                          {"maps", "main"},
                                          {"hemisphere", "auto"},
                                          {"season", "all"},
                                          {"dpi", "300"}};
  for (size_t i = 0; i < G_N_ELEMENTS(wanted); i++)
    ck_assert_msg(g_strcmp0(recorded(list, wanted[i][0]), wanted[i][1]) == 0, "%s: %s",
                  wanted[i][0], recorded(list, wanted[i][0]));
  static const char *const unwanted[] = {"threads", "memory", "out", "quiet", "tmin", "cog"};
  for (size_t i = 0; i < G_N_ELEMENTS(unwanted); i++)
    ck_assert_msg(recorded(list, unwanted[i]) == NULL, "%s", unwanted[i]);
  g_array_unref(list);
  isw_jobs_clear_options(&options);
}
END_TEST

/* What decides results of a map run comes back out of its parts: all of it, and nothing else. */
START_TEST(parts_carry_what_decides_results) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  struct isw_options options, restored;
  isw_jobs_start_options(&options);
  isw_jobs_start_options(&restored);
  for (size_t i = 0; i < count; i++)
    if ((table[i].commands & ISW_COMMAND_MAP) != 0)
      ck_assert(isw_jobs_set_option(&options, &table[i], value_for(&table[i]), NULL) == ISW_OK);
  set(&options, "variety", ISW_COMMAND_MAP, "another, with a comma");
  GArray *carried = isw_jobs_list_part_options(&options);
  struct isw_part_run run = {.n_options = (int)carried->len, .options = (void *)carried->data};
  struct isw_error error;
  ck_assert_msg(isw_jobs_restore_options(&run, "a.part", &restored, &error) == ISW_OK, "%s",
                error.text);
  for (size_t i = 0; i < count; i++) {
    if ((table[i].commands & ISW_COMMAND_MAP) == 0) continue;
    struct isw_options defaults;
    isw_jobs_start_options(&defaults);
    const struct isw_options *wanted = table[i].unset != NULL ? &options : &defaults;
    char *a = isw_jobs_option_text(wanted, &table[i]),
         *b = isw_jobs_option_text(&restored, &table[i]);
    ck_assert_msg(g_strcmp0(a, b) == 0, "%s: %s, not %s", table[i].name, b, a);
    g_free(a);
    g_free(b);
  }
  ck_assert_int_eq((int)g_strv_length(restored.varieties), 2);
  for (guint i = 0; i < carried->len; i++) {
    struct isw_part_option *option = &g_array_index(carried, struct isw_part_option, i);
    g_free(option->name);
    g_free(option->value);
  }
  g_array_unref(carried);
  isw_jobs_clear_options(&options);
  isw_jobs_clear_options(&restored);
}
END_TEST

START_TEST(parts_of_another_program_are_refused) {
  struct isw_part_option odd[] = {{(char *)"good", (char *)"160"},
                                  {(char *)"moon", (char *)"full"}};
  for (int i = 0; i < 2; i++) {
    struct isw_options options;
    isw_jobs_start_options(&options);
    struct isw_part_run run = {.n_options = 1, .options = &odd[i]};
    struct isw_error error = {.text = ""};
    ck_assert_int_eq(isw_jobs_restore_options(&run, "1.part", &options, &error), ISW_INPUT_CONTENT);
    ck_assert_msg(g_str_has_prefix(error.text, "1.part: ") && strstr(error.text, odd[i].name), "%s",
                  error.text);
    isw_jobs_clear_options(&options);
  }
}
END_TEST

static enum isw_status read_region(const char *text, struct isw_options *options,
                                   struct isw_error *error) {
  char *dir = g_build_filename(TEST_BINARY_DIR, "region-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(dir));
  char *path = g_build_filename(dir, "region.yaml", NULL);
  ck_assert(g_file_set_contents(path, text, -1, NULL));
  isw_jobs_start_options(options);
  enum isw_status status = isw_jobs_read_region_file(path, options, error);
  g_remove(path);
  g_rmdir(dir);
  g_free(path);
  g_free(dir);
  return status;
}

START_TEST(every_option_of_guide_is_a_key) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  for (size_t i = 0; i < count; i++) {
    struct isw_options options;
    struct isw_error error = {.text = ""};
    /* Of other commands an option may be a key in a row of its own, and mean something else. */
    const struct isw_option *key = isw_jobs_find_option(table[i].name, ISW_COMMAND_GUIDE);
    const struct isw_option *shown = key != NULL ? key : &table[i];
    char *text = g_strdup_printf("%s: \"%s\"\n", shown->name,
                                 shown->kind == ISW_OPTION_FLAG ? "yes" : value_for(shown));
    if (shown->kind == ISW_OPTION_FLAG) {
      g_free(text);
      text = g_strdup_printf("%s: true\n", table[i].name);
    }
    if (shown->kind == ISW_OPTION_PAIRS) {
      g_free(text);
      text = g_strdup_printf("%s: {name: a text}\n", table[i].name);
    }
    enum isw_status status = read_region(text, &options, &error);
    bool ours = (table[i].commands & ISW_COMMAND_GUIDE) != 0;
    ck_assert_msg((status == ISW_OK) == (key != NULL), "%s: %s", table[i].name, error.text);
    if (ours) {
      char *told = isw_jobs_option_text(&options, &table[i]);
      ck_assert_msg(g_str_has_suffix(told, value_for(&table[i])), "%s: %s", table[i].name, told);
      g_free(told);
    }
    g_free(text);
    isw_jobs_clear_options(&options);
  }
}
END_TEST

START_TEST(a_group_of_names_keeps_its_texts) {
  struct isw_options options;
  struct isw_error error = {.text = ""};
  ck_assert_msg(
      read_region("district-texts:\n  A=b: one\n  C: [two, three]\n", &options, &error) == ISW_OK,
      "%s", error.text);
  ck_assert_str_eq(options.district_texts[0], "A=b=one");
  ck_assert_str_eq(options.district_texts[1], "C=\n\ntwo\n\nthree");
  isw_jobs_clear_options(&options);
  ck_assert_int_eq(read_region("glossary: word\n", &options, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "region.yaml:1: ") != NULL, "%s", error.text);
  isw_jobs_clear_options(&options);
  ck_assert_int_eq(read_region("glossary:\n  a: b\n  a: c\n", &options, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "region.yaml:3: ") != NULL, "%s", error.text);
  isw_jobs_clear_options(&options);
}
END_TEST

START_TEST(a_region_file_names_the_line_of_a_wrong_value) {
  struct isw_options options;
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(read_region("crop: x\ngood: 160\n", &options, &error), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "region.yaml:2: ") != NULL, "%s", error.text);
  ck_assert_msg(strstr(error.text, "good: '160' must be a number from 0 to 100") != NULL, "%s",
                error.text);
  isw_jobs_clear_options(&options);
}
END_TEST

START_TEST(paths_are_taken_from_the_region_files_folder) {
  struct isw_options options;
  struct isw_error error = {.text = ""};
  ck_assert_msg(read_region("tmin: a.tif\ntmax: NETCDF:b.nc:tx\nrange: 8\nmean: /c/d.tif\n"
                            "crop: napa-cabbage\nvariety: [one, two]\nlapse-monthly: [5, 6]\n",
                            &options, &error) == ISW_OK,
                "%s", error.text);
  ck_assert(g_path_is_absolute(options.tmin) && g_str_has_suffix(options.tmin, "/a.tif"));
  ck_assert_str_eq(options.tmax, "NETCDF:b.nc:tx");
  ck_assert_str_eq(options.range, "8");
  ck_assert_str_eq(options.mean, "/c/d.tif");
  ck_assert_str_eq(options.crops[0], "napa-cabbage");
  ck_assert_ptr_null(options.crops[1]);
  ck_assert_str_eq(options.lapse_monthly, "5,6");
  ck_assert_str_eq(options.varieties[1], "two");
  isw_jobs_clear_options(&options);
}
END_TEST

START_TEST(no_command_is_left_without_options) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  unsigned used = 0, known = 0;
  for (size_t i = 0; i < count; i++) used |= table[i].commands;
  for (size_t i = 0; i < G_N_ELEMENTS(commands); i++) known |= commands[i];
  ck_assert_uint_eq(used, known);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("options");
  TCase *table = tcase_create("table");
  tcase_add_test(table, names_are_unique_and_rows_whole);
  tcase_add_test(table, every_value_is_told_as_it_was_set);
  tcase_add_loop_test(table, values_out_of_range_are_refused_with_a_reason, 0,
                      (int)G_N_ELEMENTS(refusals));
  tcase_add_test(table, no_command_is_left_without_options);
  suite_add_tcase(suite, table);
  TCase *runs = tcase_create("runs");
  tcase_add_test(runs, the_record_lists_what_decides_results);
  tcase_add_test(runs, parts_carry_what_decides_results);
  tcase_add_test(runs, parts_of_another_program_are_refused);
  suite_add_tcase(suite, runs);
  TCase *region = tcase_create("region file");
  tcase_add_test(region, every_option_of_guide_is_a_key);
  tcase_add_test(region, a_group_of_names_keeps_its_texts);
  tcase_add_test(region, a_region_file_names_the_line_of_a_wrong_value);
  tcase_add_test(region, paths_are_taken_from_the_region_files_folder);
  suite_add_tcase(suite, region);
  return suite;
}

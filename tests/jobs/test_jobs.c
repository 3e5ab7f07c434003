/* Each command as one call, without a command line: what it answers, what it leaves in the results
 * folder, what it refuses, and that a failed call leaves nothing. The numbers themselves are
 * checked in the rooms below and by the oracle. */
#include <gdal.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <json-glib/json-glib.h>
#include <ogr_srs_api.h>
#include <string.h>

#include "base/dates.h"
#include "jobs/jobs.h"
#include "suite_main.h"

struct call {
  struct isw_options options;
  char *dir; /* empty, for results */
  GString *answer;
  struct isw_error error;
};

static enum isw_status take(void *taker, const char *text, size_t size, struct isw_error *error) {
  (void)error;
  g_string_append_len(taker, text, (gssize)size);
  return ISW_OK;
}

/* Options of one variety and season on the sample island. */
static struct call start_call(void) {
  GDALAllRegister();
  struct call call = {.answer = g_string_new(NULL), .error = {.text = ""}};
  isw_jobs_start_options(&call.options);
  call.dir = g_build_filename(TEST_BINARY_DIR, "jobs-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(call.dir));
  struct isw_options *options = &call.options;
  options->tmin = g_strdup(TEST_SAMPLE_DIR "/tmin.tif");
  options->tmax = g_strdup(TEST_SAMPLE_DIR "/tmax.tif");
  options->crops = g_strsplit("napa-cabbage", " ", -1);
  options->varieties = g_strsplit("standard", " ", -1);
  options->seasons = g_strsplit("autumn", " ", -1);
  options->out = g_build_filename(call.dir, "out", NULL);
  options->maps = ISW_MAPS_NONE;
  options->threads = 2;
  return call;
}

static enum isw_status make_call(struct call *call,
                                 enum isw_status (*job)(const struct isw_request *,
                                                        struct isw_error *),
                                 int n_words, const char *const *words) {
  const struct isw_request request = {.options = &call->options,
                                      .n_words = n_words,
                                      .words = words,
                                      .log = isw_base_log_make(NULL, true),
                                      .take = take,
                                      .taker = call->answer};
  g_string_truncate(call->answer, 0);
  return job(&request, &call->error);
}

static void expect_ok(struct call *call,
                      enum isw_status (*job)(const struct isw_request *, struct isw_error *),
                      int n_words, const char *const *words) {
  enum isw_status status = make_call(call, job, n_words, words);
  ck_assert_msg(status == ISW_OK, "%d: %s", status, call->error.text);
}

static void remove_all(const char *path) {
  GDir *dir = g_dir_open(path, 0, NULL);
  const char *name;
  while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
    char *inner = g_build_filename(path, name, NULL);
    if (g_file_test(inner, G_FILE_TEST_IS_DIR))
      remove_all(inner);
    else
      g_remove(inner);
    g_free(inner);
  }
  if (dir != NULL) g_dir_close(dir);
  g_rmdir(path);
}

static void end_call(struct call *call) {
  remove_all(call->dir);
  g_free(call->dir);
  g_string_free(call->answer, TRUE);
  isw_jobs_clear_options(&call->options);
}

static bool has_result(const struct call *call, const char *name) {
  char *path = g_build_filename(call->options.out, name, NULL);
  bool there = g_file_test(path, G_FILE_TEST_EXISTS);
  g_free(path);
  return there;
}

static char *read_result(const struct call *call, const char *name) {
  char *path = g_build_filename(call->options.out, name, NULL), *text = NULL;
  ck_assert_msg(g_file_get_contents(path, &text, NULL, NULL), "%s is not there", path);
  g_free(path);
  return text;
}

START_TEST(map_makes_rasters_and_answers_with_a_summary) {
  struct call call = start_call();
  expect_ok(&call, isw_jobs_map, 0, NULL);
  ck_assert(has_result(&call, "standard-autumn.tif") && has_result(&call, "pick-autumn.tif"));
  ck_assert(has_result(&call, "run.json"));
  ck_assert_msg(strstr(call.answer->str, "window on") != NULL, "%s", call.answer->str);
  /* Results that are there are refused, and stay. */
  ck_assert_int_eq(make_call(&call, isw_jobs_map, 0, NULL), ISW_USAGE_EXISTS);
  ck_assert(has_result(&call, "run.json"));
  call.options.resume = true;
  expect_ok(&call, isw_jobs_map, 0, NULL);
  ck_assert_msg(strstr(call.answer->str, "nothing to do") != NULL, "%s", call.answer->str);
  end_call(&call);
}
END_TEST

START_TEST(a_quiet_map_answers_nothing) {
  struct call call = start_call();
  call.options.quiet = true;
  expect_ok(&call, isw_jobs_map, 0, NULL);
  ck_assert_uint_eq(call.answer->len, 0);
  end_call(&call);
}
END_TEST

static const struct {
  const char *name, *part; /* part of the message */
} missing[] = {{"out", "--out is missing"},
               {"crop", "--crop is missing"},
               {"season", "no such season"},
               {"district-name", "--district-name needs --districts"}};

START_TEST(map_refuses_and_leaves_nothing) {
  struct call call = start_call();
  struct isw_options *options = &call.options;
  char *out = g_strdup(options->out);
  if (_i == 0) g_clear_pointer(&options->out, g_free);
  if (_i == 1) g_clear_pointer(&options->crops, g_strfreev);
  if (_i == 2) {
    g_strfreev(options->seasons);
    options->seasons = g_strsplit("winter", " ", -1);
  }
  if (_i == 3) options->district_name = g_strdup("name");
  ck_assert_int_eq(make_call(&call, isw_jobs_map, 0, NULL), ISW_USAGE);
  ck_assert_msg(strstr(call.error.text, missing[_i].part) != NULL, "%s", call.error.text);
  ck_assert(!g_file_test(out, G_FILE_TEST_EXISTS));
  g_free(out);
  end_call(&call);
}
END_TEST

/* Parts and their join: the same bytes as the run in one piece. The sample grid has one block only;
 * the test parts_and_join shares a larger grid. */
START_TEST(parts_join_to_the_same_rasters) {
  struct call whole = start_call(), parted = start_call();
  expect_ok(&whole, isw_jobs_map, 0, NULL);
  parted.options.parts = 2;
  ck_assert_int_eq(make_call(&parted, isw_jobs_parts, 0, NULL), ISW_USAGE);
  parted.options.parts = 1;
  expect_ok(&parted, isw_jobs_parts, 0, NULL);
  JsonParser *parser = json_parser_new();
  ck_assert(json_parser_load_from_data(parser, parted.answer->str, -1, NULL));
  JsonObject *plan = json_node_get_object(json_parser_get_root(parser));
  ck_assert_int_eq((int)json_array_get_length(json_object_get_array_member(plan, "parts")), 1);
  g_object_unref(parser);
  parted.options.part = g_strdup("1/1");
  expect_ok(&parted, isw_jobs_map, 0, NULL);
  ck_assert(!has_result(&parted, "run.json"));
  const char *folder[] = {parted.options.out};
  expect_ok(&parted, isw_jobs_join, 1, folder);
  static const char *const names[] = {"standard-autumn.tif", "pick-autumn.tif"};
  for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
    char *paths[2] = {g_build_filename(whole.options.out, names[i], NULL),
                      g_build_filename(parted.options.out, names[i], NULL)};
    char *bytes[2];
    gsize sizes[2];
    for (int k = 0; k < 2; k++)
      ck_assert(g_file_get_contents(paths[k], &bytes[k], &sizes[k], NULL));
    ck_assert_msg(sizes[0] == sizes[1] && memcmp(bytes[0], bytes[1], sizes[0]) == 0, "%s differs",
                  names[i]);
    for (int k = 0; k < 2; k++) {
      g_free(paths[k]);
      g_free(bytes[k]);
    }
  }
  end_call(&whole);
  end_call(&parted);
}
END_TEST

START_TEST(compare_answers_with_its_table) {
  struct call call = start_call();
  g_strfreev(call.options.varieties);
  call.options.varieties = NULL;
  static const char *const sides[] = {"standard", "early-heat-tolerant"};
  expect_ok(&call, isw_jobs_compare, 2, sides);
  ck_assert_msg(strstr(call.answer->str, "autumn") != NULL, "%s", call.answer->str);
  ck_assert(has_result(&call, "run.json"));
  static const char *const same[] = {"standard", "standard"};
  call.options.overwrite = true;
  ck_assert_int_eq(make_call(&call, isw_jobs_compare, 2, same), ISW_USAGE);
  end_call(&call);
}
END_TEST

START_TEST(guide_writes_table_page_and_print) {
  struct call call = start_call();
  ck_assert_int_eq(make_call(&call, isw_jobs_guide, 0, NULL), ISW_USAGE);
  ck_assert_msg(strstr(call.error.text, "--districts is missing") != NULL, "%s", call.error.text);
  call.options.districts = g_strdup(TEST_SAMPLE_DIR "/districts.geojson");
  call.options.district_name = g_strdup("name");
  expect_ok(&call, isw_jobs_guide, 0, NULL);
  static const char *const names[] = {"districts.csv", "index.html", "guide.pdf", "run.json"};
  for (size_t i = 0; i < G_N_ELEMENTS(names); i++)
    ck_assert_msg(has_result(&call, names[i]), "%s", names[i]);
  char *record = read_result(&call, "run.json");
  ck_assert(strstr(record, "\"guide\"") != NULL);
  g_free(record);
  end_call(&call);
}
END_TEST

START_TEST(site_answers_for_a_point) {
  struct call call = start_call();
  ck_assert_int_eq(make_call(&call, isw_jobs_site, 0, NULL), ISW_USAGE);
  call.options.at = g_strdup("43.94,-149.62");
  call.options.place = g_strdup("A garden");
  expect_ok(&call, isw_jobs_site, 0, NULL);
  ck_assert_msg(strstr(call.answer->str, "A garden") != NULL, "%s", call.answer->str);
  call.options.format = ISW_FORMAT_JSON;
  expect_ok(&call, isw_jobs_site, 0, NULL);
  JsonParser *parser = json_parser_new();
  ck_assert(json_parser_load_from_data(parser, call.answer->str, -1, NULL));
  g_object_unref(parser);
  end_call(&call);
}
END_TEST

START_TEST(inspect_answers_and_tells_refusals_there) {
  struct call call = start_call();
  const char *sources[] = {call.options.tmin, TEST_SAMPLE_DIR "/stations.csv"};
  expect_ok(&call, isw_jobs_inspect, 1, sources);
  ck_assert_msg(strstr(call.answer->str, "twelve months") != NULL, "%s", call.answer->str);
  enum isw_status status = make_call(&call, isw_jobs_inspect, 2, sources);
  ck_assert_msg(status != ISW_OK && call.error.text[0] == '\0', "%d: %s", status, call.error.text);
  ck_assert_msg(strstr(call.answer->str, "refused") != NULL, "%s", call.answer->str);
  end_call(&call);
}
END_TEST

/* A year of twelve bands on a grid of 3 x 2 cells. */
static void write_year(const char *path, double base_C, double warmer_K) {
  enum { WIDTH = 3, HEIGHT = 2 };
  double transform[6] = {10, 0.1, 0, 50, 0, -0.1};
  GDALDatasetH raster = GDALCreate(GDALGetDriverByName("GTiff"), path, WIDTH, HEIGHT,
                                   ISW_YEAR_MONTHS, GDT_Float32, NULL);
  ck_assert_ptr_nonnull(raster);
  GDALSetGeoTransform(raster, transform);
  GDALSetProjection(raster, SRS_WKT_WGS84_LAT_LONG);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    GDALRasterBandH band = GDALGetRasterBand(raster, m + 1);
    GDALSetRasterUnitType(band, "degC");
    GDALFillRaster(band, base_C + m + warmer_K, 0);
  }
  GDALClose(raster);
}

static double read_cell(const struct call *call, const char *name, int band) {
  char *path = g_build_filename(call->options.out, name, NULL);
  GDALDatasetH raster = GDALOpen(path, GA_ReadOnly);
  ck_assert_ptr_nonnull(raster);
  GDALRasterBandH handle = GDALGetRasterBand(raster, band);
  double value = 0;
  ck_assert_int_eq(GDALRasterIO(handle, GF_Read, 2, 1, 1, 1, &value, 1, 1, GDT_Float64, 0, 0),
                   CE_None);
  value *= GDALGetRasterScale(handle, NULL);
  GDALClose(raster);
  g_free(path);
  return value;
}

/* Ten years 0.2 K apart about their mean: the standard deviation (n - 1) of -0.9, -0.7 .. 0.9 is
 * 0.2 sqrt(10 * 11 / 12) = 0.6055 K in every month. */
START_TEST(normals_of_a_grid) {
  struct call call = start_call();
  char *const low = g_build_filename(call.dir, "low-{year}.tif", NULL);
  char *const high = g_build_filename(call.dir, "high-{year}.tif", NULL);
  for (int y = 0; y < 10; y++)
    for (int k = 0; k < 2; k++) {
      char *name = g_strdup_printf("%s-%d.tif", k == 0 ? "low" : "high", 2001 + y);
      char *path = g_build_filename(call.dir, name, NULL);
      write_year(path, 2 + 10 * k, 0.2 * y - 0.9);
      g_free(path);
      g_free(name);
    }
  g_free(call.options.tmin);
  g_free(call.options.tmax);
  call.options.tmin = low;
  call.options.tmax = high;
  expect_ok(&call, isw_jobs_normals, 0, NULL);
  ck_assert_msg(strstr(call.answer->str, "normals 2001-2010 of 10 years") != NULL, "%s",
                call.answer->str);
  ck_assert_double_eq_tol(read_cell(&call, "tmin.tif", 1), 2, 1e-9);
  ck_assert_double_eq_tol(read_cell(&call, "tmin.tif", 12), 13, 1e-9);
  ck_assert_double_eq_tol(read_cell(&call, "tmax.tif", 7), 18, 1e-9);
  ck_assert_double_eq_tol(read_cell(&call, "year_spread.tif", 1), 0.6055, 0.0006);
  char *record = read_result(&call, "normals.json");
  ck_assert(strstr(record, "\"standard_normals\" : false") != NULL);
  g_free(record);
  ck_assert_int_eq(make_call(&call, isw_jobs_normals, 0, NULL), ISW_USAGE_EXISTS);
  /* A year that the maximum does not have. */
  char *gone = g_build_filename(call.dir, "high-2004.tif", NULL);
  g_remove(gone);
  g_free(gone);
  g_free(call.options.out);
  call.options.out = g_build_filename(call.dir, "second", NULL);
  ck_assert_int_eq(make_call(&call, isw_jobs_normals, 0, NULL), ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(call.error.text, "has January 2004") != NULL, "%s", call.error.text);
  ck_assert(!g_file_test(call.options.out, G_FILE_TEST_EXISTS));
  end_call(&call);
}
END_TEST

START_TEST(normals_of_stations) {
  struct call call = start_call();
  g_clear_pointer(&call.options.tmin, g_free);
  g_clear_pointer(&call.options.tmax, g_free);
  ck_assert_int_eq(make_call(&call, isw_jobs_normals, 0, NULL), ISW_USAGE);
  call.options.record = g_strdup(TEST_SOURCE_DIR "/data/colorado/station_years.csv");
  ck_assert_int_eq(make_call(&call, isw_jobs_normals, 0, NULL), ISW_USAGE); /* and out */
  g_clear_pointer(&call.options.out, g_free);
  call.options.from_year = 1961;
  call.options.to_year = 1990;
  expect_ok(&call, isw_jobs_normals, 0, NULL);
  ck_assert(g_str_has_prefix(call.answer->str, "id,name,lat,lon,elev,period,year_spread,tmin_1,"));
  ck_assert(strstr(call.answer->str, "\n054770,LAMAR,38.0800,-102.6200,1106,1961-1990,") != NULL);
  end_call(&call);
}
END_TEST

START_TEST(crop_lists_shows_and_refuses) {
  struct call call = start_call();
  g_clear_pointer(&call.options.out, g_free); /* it is an option of crop new */
  static const char *const list[] = {"list"}, *const show[] = {"show", "napa-cabbage"},
                           *const wrong[] = {"lst"};
  expect_ok(&call, isw_jobs_crop, 1, list);
  ck_assert_msg(strstr(call.answer->str, "napa-cabbage") != NULL, "%s", call.answer->str);
  expect_ok(&call, isw_jobs_crop, 2, show);
  ck_assert_msg(strstr(call.answer->str, "crop: napa-cabbage") != NULL, "%s", call.answer->str);
  ck_assert_int_eq(make_call(&call, isw_jobs_crop, 1, wrong), ISW_USAGE);
  ck_assert_int_eq(make_call(&call, isw_jobs_crop, 0, NULL), ISW_USAGE);
  end_call(&call);
}
END_TEST

static enum isw_status refuse(void *taker, const char *text, size_t size, struct isw_error *error) {
  (void)taker, (void)text, (void)size;
  return isw_base_fail(error, ISW_OUTPUT, "full");
}

START_TEST(an_answer_that_is_not_taken_is_a_failure) {
  struct call call = start_call();
  call.options.at = g_strdup("43.94,-149.62");
  const struct isw_request request = {
      .options = &call.options, .log = isw_base_log_make(NULL, true), .take = refuse};
  ck_assert_int_eq(isw_jobs_site(&request, &call.error), ISW_OUTPUT);
  ck_assert_int_eq(isw_jobs_map(&request, &call.error), ISW_OUTPUT);
  end_call(&call);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("jobs");
  TCase *calls = tcase_create("calls");
  tcase_set_timeout(calls, 120);
  tcase_add_test(calls, map_makes_rasters_and_answers_with_a_summary);
  tcase_add_test(calls, a_quiet_map_answers_nothing);
  tcase_add_loop_test(calls, map_refuses_and_leaves_nothing, 0, (int)G_N_ELEMENTS(missing));
  tcase_add_test(calls, parts_join_to_the_same_rasters);
  tcase_add_test(calls, compare_answers_with_its_table);
  tcase_add_test(calls, guide_writes_table_page_and_print);
  tcase_add_test(calls, site_answers_for_a_point);
  tcase_add_test(calls, inspect_answers_and_tells_refusals_there);
  tcase_add_test(calls, normals_of_a_grid);
  tcase_add_test(calls, normals_of_stations);
  tcase_add_test(calls, crop_lists_shows_and_refuses);
  tcase_add_test(calls, an_answer_that_is_not_taken_is_a_failure);
  suite_add_tcase(suite, calls);
  return suite;
}

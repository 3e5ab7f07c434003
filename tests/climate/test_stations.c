#define _POSIX_C_SOURCE 200809L
/* Station tables: RFC 4180 quoting, and errors that name file and line. The real table is
 * tests/data/colorado/stations.csv (Debian package r-cran-fields). */
#include <check.h>
#include <glib.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "climate/stations.h"
#include "suite_main.h"

#define HEADER                                                                             \
  "name,lat,lon,tmin_1,tmin_2,tmin_3,tmin_4,tmin_5,tmin_6,tmin_7,tmin_8,tmin_9,tmin_10,"   \
  "tmin_11,tmin_12,tmax_1,tmax_2,tmax_3,tmax_4,tmax_5,tmax_6,tmax_7,tmax_8,tmax_9,tmax_10" \
  ",tmax_11,tmax_12\n"
#define TMIN "1,2,3,4,5,6,7,8,9,10,11,12"
#define TMAX "11,12,13,14,15,16,17,18,19,20,21,22"

static enum isw_status parse(const char *text, enum isw_unit unit, struct isw_stations **stations,
                             struct isw_error *error) {
  return isw_climate_parse_stations("t.csv", text, strlen(text), unit, true, NULL, stations, error);
}

static const struct {
  const char *text, *name;
  int line;
} good[] = {
    {HEADER "Northport,44.2,-150.1," TMIN "," TMAX "\n", "Northport", 2},
    {HEADER "Northport,44.2,-150.1," TMIN "," TMAX, "Northport", 2},
    {HEADER "\n\"North, \"\"Port\"\"\n2\",44.2,-150.1," TMIN "," TMAX "\r\n", "North, \"Port\"\n2",
     3},
    {"\xef\xbb\xbf" HEADER "S\xc3\xa3o \xe5\x8c\x97,44.2,-150.1," TMIN "," TMAX "\r\n",
     "S\xc3\xa3o \xe5\x8c\x97", 2},
};

START_TEST(good_tables) {
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_msg(parse(good[_i].text, ISW_UNIT_UNKNOWN, &stations, &error) == ISW_OK, "%s",
                error.text);
  ck_assert_int_eq(stations->count, 1);
  const struct isw_station *station = &stations->items[0];
  ck_assert_str_eq(station->name, good[_i].name);
  ck_assert_str_eq(station->lat_text, "44.2");
  ck_assert_str_eq(station->lon_text, "-150.1");
  ck_assert_int_eq(station->line, good[_i].line);
  ck_assert(isnan(station->elevation_m));
  ck_assert(station->valid);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    ck_assert_double_eq(station->tmin_C[m], m + 1);
    ck_assert_double_eq(station->tmax_C[m], m + 11);
  }
  isw_climate_free_stations(stations);
}
END_TEST

static const struct {
  const char *text;
  enum isw_unit unit;
  const char *words[3];
} bad[] = {
    {"", 0, {"no station"}},
    {HEADER, 0, {"no station"}},
    {"name;lat;lon\nA;1;2\n", 0, {"t.csv:1", "no column name", "semicolons"}},
    {"name,lat,lon,tmin_1\nA,1,2,3\n", 0, {"t.csv:1", "tmin_2"}},
    {"name,lat,lat\n", 0, {"t.csv:1", "lat is there twice"}},
    {HEADER "A,1,2," TMIN "\n", 0, {"t.csv:2", "15 fields", "27 columns"}},
    {HEADER "A,1,2," TMIN "," TMAX "\nB,1,2," TMIN ",x12,13,14,15,16,17,18,19,20,21,22,23\n",
     0,
     {"t.csv:3", "tmax_1", "x12"}},
    {HEADER "A,1,2," TMIN ",,12,13,14,15,16,17,18,19,20,21,22\n",
     0,
     {"t.csv:2", "no value for tmax_1"}},
    {HEADER "A,1,2," TMIN ",\"11,5\",12,13,14,15,16,17,18,19,20,21,22\n",
     0,
     {"t.csv:2", "11,5", "not a number"}},
    {HEADER "A,1,2," TMIN ",nan,12,13,14,15,16,17,18,19,20,21,22\n", 0, {"t.csv:2", "nan"}},
    {HEADER "A,1,2," TMIN ",0x10,12,13,14,15,16,17,18,19,20,21,22\n", 0, {"t.csv:2", "0x10"}},
    {HEADER "A,91,2," TMIN "," TMAX "\n", 0, {"t.csv:2", "lat is 91"}},
    {HEADER "A,1,361," TMIN "," TMAX "\n", 0, {"t.csv:2", "lon is 361"}},
    {HEADER "A,1,2," TMIN "," TMAX "\n\"A\",1,2," TMIN "," TMAX "\n",
     0,
     {"t.csv:3", "already in line 2"}},
    {HEADER ",1,2," TMIN "," TMAX "\n", 0, {"t.csv:2", "no value for name"}},
    {HEADER "\xff,1,2," TMIN "," TMAX "\n", 0, {"t.csv:2", "UTF-8"}},
    {HEADER "A,1,2," TMIN ",1\xcc.5,12,13,14,15,16,17,18,19,20,21,22\n",
     0,
     {"t.csv:2", "field 16", "UTF-8"}},
    {HEADER "\"A\nB,1,2\n\n", 0, {"t.csv:2", "never closed"}},
    {HEADER "\"A\"B,1,2\n", 0, {"t.csv:2", "closing quote"}},
    {HEADER "A\"B,1,2\n", 0, {"t.csv:2", "quote inside"}},
    {HEADER "A,1,2," TMIN ",11,12,13,14,15,16,60.1,18,19,20,21,22\n",
     0,
     {"t.csv:2", "tmax_7", "60.1"}},
    {HEADER "A,1,2,-90.1,2,3,4,5,6,7,8,9,10,11,12," TMAX "\n", 0, {"t.csv:2", "tmin_1", "-90.1"}},
    /* a warm place in degF, all below 60: only the mean tells */
    {HEADER "A,1,2,30,31,32,33,34,35,36,35,34,33,32,31,40,41,42,43,44,45,46,45,44,43,42,41\n",
     0,
     {"t.csv:2", "mean", "‹unit› F"}},
    {HEADER "A,1,2,280,280,280,280,280,280,280,280,280,280,280,280,290,290,290,290,290,290,290,"
            "290,290,290,290,290\n",
     0,
     {"t.csv:2", "280", "unit"}},
    {HEADER "A,1,2," TMAX "," TMIN "\n", 0, {"t.csv:2", "tmin_1 is above tmax_1", "exchanged"}},
};

START_TEST(bad_tables) {
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_int_eq(parse(bad[_i].text, bad[_i].unit, &stations, &error), ISW_INPUT_CONTENT);
  ck_assert_ptr_null(stations);
  for (int k = 0; k < 3 && bad[_i].words[k] != NULL; k++)
    ck_assert_msg(strstr(error.text, bad[_i].words[k]) != NULL, "no \"%s\" in: %s",
                  bad[_i].words[k], error.text);
}
END_TEST

/* A station's own year spread: a difference of the table's unit; empty: not given. */
static const struct {
  const char *value;
  enum isw_unit unit;
  double spread_K; /* NAN: not given; below 0: refused */
} spreads[] = {
    {"1.25", ISW_UNIT_UNKNOWN, 1.25}, {"0", ISW_UNIT_C, 0.0},     {"", ISW_UNIT_C, (double)NAN},
    {" ", ISW_UNIT_C, (double)NAN},   {"1.8", ISW_UNIT_F, 1.0},   {"13", ISW_UNIT_C10, 1.3},
    {"-0.1", ISW_UNIT_C, -1.0},       {"20.1", ISW_UNIT_C, -1.0}, {"wide", ISW_UNIT_C, -1.0}};

START_TEST(own_year_spread) {
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  char *text = g_strdup_printf("year_spread," HEADER "%s,A,44.2,-150.1," TMIN "," TMAX "\n",
                               spreads[_i].value);
  enum isw_status status = parse(text, spreads[_i].unit, &stations, &error);
  g_free(text);
  if (spreads[_i].spread_K < 0.0) {
    ck_assert_int_eq(status, ISW_INPUT_CONTENT);
    ck_assert_msg(strstr(error.text, "t.csv:2: year_spread") != NULL, "%s", error.text);
    return;
  }
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  const double found_K = stations->items[0].year_spread_K;
  ck_assert_int_eq(isnan(found_K) != 0, isnan(spreads[_i].spread_K) != 0);
  if (!isnan(found_K)) ck_assert_double_eq_tol(found_K, spreads[_i].spread_K, 1e-12);
  isw_climate_free_stations(stations);
}
END_TEST

START_TEST(a_nul_byte) {
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  static const char text[] = HEADER "A\0B,1,2," TMIN "," TMAX "\n";
  ck_assert_int_eq(isw_climate_parse_stations("t.csv", text, sizeof text - 1, ISW_UNIT_C, true,
                                              NULL, &stations, &error),
                   ISW_INPUT_CONTENT);
  ck_assert(strstr(error.text, "t.csv:2") != NULL);
}
END_TEST

START_TEST(fahrenheit_and_column_order) {
  static const char text[] =
      "elev,tmax_1,tmax_2,tmax_3,tmax_4,tmax_5,tmax_6,tmax_7,tmax_8,tmax_9,tmax_10,tmax_11,"
      "tmax_12,Lon,note,LAT,Name,tmin_12,tmin_11,tmin_10,tmin_9,tmin_8,tmin_7,tmin_6,tmin_5,"
      "tmin_4,tmin_3,tmin_2,tmin_1\n"
      "12.5,50,50,50,50,50,50,50,50,50,50,50,86,-150,any,-44.2,A,32,41,41,41,41,41,41,41,41,41,"
      "41,14\n";
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_msg(parse(text, ISW_UNIT_F, &stations, &error) == ISW_OK, "%s", error.text);
  const struct isw_station *station = &stations->items[0];
  ck_assert_double_eq(station->elevation_m, 12.5);
  ck_assert_double_eq_tol(station->tmax_C[0], 10.0, 1e-12);
  ck_assert_double_eq_tol(station->tmax_C[11], 30.0, 1e-12);
  ck_assert_double_eq_tol(station->tmin_C[0], -10.0, 1e-12);
  ck_assert_double_eq_tol(station->tmin_C[11], 0.0, 1e-12);
  ck_assert_double_eq(station->lat_deg, -44.2);
  isw_climate_free_stations(stations);
}
END_TEST

START_TEST(slightly_inverted_is_left_out) {
  char *said = NULL;
  size_t length = 0;
  FILE *stream = open_memstream(&said, &length);
  struct isw_log log = isw_base_log_make(stream, false);
  static const char text[] = HEADER "A,1,2,11.5,2,3,4,5,6,7,8,9,10,11,12," TMAX "\n";
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_int_eq(isw_climate_parse_stations("t.csv", text, sizeof text - 1, ISW_UNIT_C, true,
                                              &log, &stations, &error),
                   ISW_OK);
  ck_assert(!stations->items[0].valid);
  fclose(stream);
  ck_assert_msg(strstr(said, "t.csv:2: A") != NULL, "%s", said);
  free(said);
  isw_climate_free_stations(stations);
}
END_TEST

/* The real table holds one name twice; that is told. Named by their ids, all 185 are read, and
 * equal what splitting the lines at commas gives (no field of this file is quoted). */
START_TEST(colorado) {
  const char *path = TEST_SOURCE_DIR "/data/colorado/stations.csv";
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_int_eq(isw_climate_read_stations(path, ISW_UNIT_UNKNOWN, true, NULL, &stations, &error),
                   ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, "GRAND JUNCTI is already in line") != NULL, "%s", error.text);
  char *text = NULL;
  ck_assert(g_file_get_contents(path, &text, NULL, NULL));
  ck_assert_int_eq(strncmp(text, "id,name,", 8), 0);
  char *renamed = g_strconcat("name,town,", text + strlen("id,name,"), NULL);
  ck_assert_msg(parse(renamed, ISW_UNIT_C, &stations, &error) == ISW_OK, "%s", error.text);
  ck_assert_int_eq(stations->count, 185);
  char **lines = g_strsplit(text, "\n", -1);
  for (int i = 0; i < stations->count; i++) {
    const struct isw_station *station = &stations->items[i];
    char **fields = g_strsplit(lines[i + 1], ",", -1);
    ck_assert_int_eq(g_strv_length(fields), 29);
    ck_assert_str_eq(station->name, fields[0]);
    ck_assert_str_eq(station->lon_text, fields[2]);
    ck_assert_double_eq(station->elevation_m, g_ascii_strtod(fields[4], NULL));
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      ck_assert_double_eq(station->tmin_C[m], g_ascii_strtod(fields[5 + m], NULL));
      ck_assert_double_eq(station->tmax_C[m], g_ascii_strtod(fields[17 + m], NULL));
    }
    ck_assert_int_eq(station->line, i + 2);
    g_strfreev(fields);
  }
  g_strfreev(lines);
  g_free(renamed);
  g_free(text);
  isw_climate_free_stations(stations);
}
END_TEST

START_TEST(no_file) {
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_int_eq(
      isw_climate_read_stations("/nowhere/s.csv", ISW_UNIT_C, true, NULL, &stations, &error),
      ISW_INPUT_FILE);
  ck_assert(strstr(error.text, "/nowhere/s.csv") != NULL);
}
END_TEST

/* The real table, spoilt: as it is, nothing is said of it. */
enum spoilt { AS_IT_IS, FROM_JULY, NO_MINUS, MAXIMUM_LATE, MONTHS_EXCHANGED, SPOILT };
static const char *const said_of[SPOILT] = {
    NULL, "(and 184 more of 185): colder in summer", "(and 184 more of 185): colder in summer",
    "(and 184 more of 185): the year of its maximum", "up and down more than once a year"};

static void spoil_row(GString *out, char **fields, enum spoilt how) {
  enum { NAME, TOWN, LON, LAT, ELEV, MONTHLY };
  g_string_append_printf(out, "%s,%s,%s,%s%s,%s", fields[NAME], fields[TOWN], fields[LON],
                         how == NO_MINUS ? "-" : "", fields[LAT], fields[ELEV]);
  for (int k = 0; k < 2 * ISW_YEAR_MONTHS; k++) {
    int month = k % ISW_YEAR_MONTHS, upper = k / ISW_YEAR_MONTHS;
    if (how == FROM_JULY) month = (month + 6) % ISW_YEAR_MONTHS;
    if (how == MAXIMUM_LATE && upper) month = (month + 11) % ISW_YEAR_MONTHS;
    if (how == MONTHS_EXCHANGED) month = month == 0 ? 6 : month == 6 ? 0 : month;
    g_string_append_printf(out, ",%s", fields[MONTHLY + upper * ISW_YEAR_MONTHS + month]);
  }
  g_string_append_c(out, '\n');
}

START_TEST(odd_years_are_warned_of) {
  char *text = NULL, *said = NULL;
  size_t length = 0;
  ck_assert(g_file_get_contents(TEST_SOURCE_DIR "/data/colorado/stations.csv", &text, NULL, NULL));
  char **lines = g_strsplit(text, "\n", -1);
  GString *table = g_string_new("name,town,");
  g_string_append_printf(table, "%s\n", lines[0] + strlen("id,name,"));
  for (int i = 1; lines[i] != NULL && lines[i][0] != '\0'; i++) {
    char **fields = g_strsplit(lines[i], ",", -1);
    spoil_row(table, fields, (enum spoilt)_i);
    g_strfreev(fields);
  }
  FILE *stream = open_memstream(&said, &length);
  struct isw_log log = isw_base_log_make(stream, false);
  struct isw_stations *stations = NULL;
  struct isw_error error = {0};
  ck_assert_msg(isw_climate_parse_stations("t.csv", table->str, table->len, ISW_UNIT_C, true, &log,
                                           &stations, &error) == ISW_OK,
                "%s", error.text);
  fclose(stream);
  if (said_of[_i] == NULL)
    ck_assert_str_eq(said, "");
  else
    ck_assert_msg(strstr(said, said_of[_i]) != NULL, "%s", said);
  free(said);
  g_string_free(table, TRUE);
  g_strfreev(lines);
  g_free(text);
  isw_climate_free_stations(stations);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("stations");
  TCase *all = tcase_create("all");
  tcase_add_loop_test(all, good_tables, 0, (int)G_N_ELEMENTS(good));
  tcase_add_loop_test(all, bad_tables, 0, (int)G_N_ELEMENTS(bad));
  tcase_add_loop_test(all, own_year_spread, 0, (int)(sizeof spreads / sizeof spreads[0]));
  tcase_add_test(all, a_nul_byte);
  tcase_add_test(all, fahrenheit_and_column_order);
  tcase_add_test(all, slightly_inverted_is_left_out);
  tcase_add_loop_test(all, odd_years_are_warned_of, 0, SPOILT);
  tcase_add_test(all, colorado);
  tcase_add_test(all, no_file);
  suite_add_tcase(suite, all);
  return suite;
}

/* Which station of a record speaks for a place. Distances: a degree of latitude is 111.195 km on
 * the sphere of the mean radius 6371.0088 km (IUGG), so that 10 km are 0.08993 degrees. */
#include <glib.h>
#include <math.h>

#include "suite_main.h"
#include "survey/record_of_place.h"

static const char columns[] =
    "id,name,lat,lon,year,tmin_1,tmin_2,tmin_3,tmin_4,tmin_5,tmin_6,tmin_7,tmin_8,tmin_9,tmin_10,"
    "tmin_11,tmin_12,tmax_1,tmax_2,tmax_3,tmax_4,tmax_5,tmax_6,tmax_7,tmax_8,tmax_9,tmax_10,tmax_"
    "11,tmax_12\n";

/* Twelve months of 4 and of 14 degC, and a year 1 K warmer. */
static const char months_4_14[] = "4,4,4,4,4,4,4,4,4,4,4,4,14,14,14,14,14,14,14,14,14,14,14,14\n";
static const char months_5_15[] = "5,5,5,5,5,5,5,5,5,5,5,5,15,15,15,15,15,15,15,15,15,15,15,15\n";

static struct isw_record *made_record(void) {
  static const char *const rows[] = {"a1,Near,40.05,10,1981,", "a1,Near,40.05,10,1983,",
                                     "b2,Mill,40.0899,10,1990,", "c3,Far,40.09,10,1990,",
                                     "d4,Mill,45,10,1990,"};
  GString *text = g_string_new(columns);
  for (size_t i = 0; i < G_N_ELEMENTS(rows); i++)
    g_string_append_printf(text, "%s%s", rows[i], i == 1 ? months_5_15 : months_4_14);
  struct isw_record *record = NULL;
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_climate_parse_record("made.csv", text->str, text->len, ISW_UNIT_UNKNOWN, NULL,
                                         &record, &error) == ISW_OK,
                "%s", error.text);
  g_string_free(text, TRUE);
  return record;
}

static const struct {
  const char *name;
  double lat_deg;
  int from_year, to_year;
  const char *station; /* its id; NULL: none */
  double away_km, namesake_km;
  int first, last;
} cases[] = {
    {"Anywhere", 40.0, 0, 0, "a1", 5.560, 0, 1981, 1983}, /* the nearest */
    {"MILL", 40.0, 0, 0, "b2", 9.996, 0, 1990, 1990},     /* of its name, though farther */
    {"c3", 40.0, 0, 0, "a1", 5.560, 10.008, 1981, 1983},  /* of its id, but too far */
    {"c3", 40.01, 0, 0, "c3", 8.896, 0, 1990, 1990},      /* of its id */
    {"Mill", 42.0, 0, 0, NULL, 0, 212.394, 0, 0},         /* a namesake is not the place */
    {"Mill", 44.95, 0, 0, "d4", 5.560, 0, 1990, 1990},    /* the nearer of two of that name */
    {"Anywhere", 40.0, 1982, 0, "a1", 5.560, 0, 1982, 1983},
    {"Anywhere", 40.0, 1970, 1982, "a1", 5.560, 0, 1970, 1982},
    {"Anywhere", 40.0, 1984, 0, NULL, 0, 0, 0, 0}, /* no year that counts */
};

START_TEST(the_station_of_a_name_or_the_nearest) {
  struct isw_record *record = made_record();
  double namesake_km;
  const struct isw_site_record found =
      isw_survey_find_place_record(record, cases[_i].name, cases[_i].lat_deg, 10.0,
                                   cases[_i].from_year, cases[_i].to_year, &namesake_km);
  ck_assert_double_eq_tol(namesake_km, cases[_i].namesake_km, 0.001);
  if (cases[_i].station == NULL) {
    ck_assert_ptr_null(found.station);
  } else {
    ck_assert_ptr_nonnull(found.station);
    ck_assert_str_eq(found.station->id, cases[_i].station);
    ck_assert_double_eq_tol(found.away_km, cases[_i].away_km, 0.001);
    ck_assert_int_eq(found.from_year, cases[_i].first);
    ck_assert_int_eq(found.to_year, cases[_i].last);
  }
  isw_climate_free_record(record);
}
END_TEST

START_TEST(how_much_warmer_the_record_is) {
  struct isw_record *record = made_record();
  struct isw_normals normals = {.has_year_spread = false};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = 2.0;
    normals.tmax_C[m] = 12.0 + (m < 6 ? 1.0 : -1.0);
  }
  struct isw_site_record found = {.station = record->stations, .from_year = 1981, .to_year = 1983};
  ck_assert_double_eq_tol(isw_survey_record_warmer_K(&found, &normals), 2.5, 1e-12);
  found.to_year = 1982;
  ck_assert_double_eq_tol(isw_survey_record_warmer_K(&found, &normals), 2.0, 1e-12);
  found.from_year = 1982; /* no year at all */
  ck_assert(isnan(isw_survey_record_warmer_K(&found, &normals)));
  isw_climate_free_record(record);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("place record");
  TCase *all = tcase_create("place record");
  tcase_add_loop_test(all, the_station_of_a_name_or_the_nearest, 0, (int)G_N_ELEMENTS(cases));
  tcase_add_test(all, how_much_warmer_the_record_is);
  suite_add_tcase(suite, all);
  return suite;
}

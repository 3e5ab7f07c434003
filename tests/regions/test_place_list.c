/* Named places from tables and vector files. */
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "region_maker.h"
#include "regions/place_list.h"
#include "suite_main.h"

static struct isw_place_list *read_text(const char *name, const char *text, const char *column,
                                        enum isw_status wanted, struct isw_error *error) {
  char *path = write_file(name, text);
  struct isw_grid grid = make_grid();
  struct isw_log log = isw_base_log_make(stderr, true);
  struct isw_place_list *places = NULL;
  *error = (struct isw_error){ISW_OK, ""};
  enum isw_status status = isw_regions_read_places(path, column, &grid, &log, &places, error);
  ck_assert_msg(status == wanted, "status %d: %s", (int)status, error->text);
  isw_climate_free_grid(&grid);
  g_unlink(path);
  g_free(path);
  return places;
}

#define POINT(name, position)                              \
  "{\"type\":\"Feature\",\"properties\":{\"name\":\"" name \
  "\"},"                                                   \
  "\"geometry\":{\"type\":\"Point\",\"coordinates\":[" position "]}}"

/* The grid's cells are 0.1 degree from 10 E, 50 N: by hand. */
static void check_two(const struct isw_place_list *places) {
  ck_assert_int_eq(places->count, 2);
  ck_assert_str_eq(places->items[0].name, "Upper, Mill");
  ck_assert_double_eq_tol(places->items[0].col, 10.5, 1e-9);
  ck_assert_double_eq_tol(places->items[0].row, 20.25, 1e-9);
  ck_assert_double_eq_tol(places->items[1].lat_deg, 49.5, 1e-9);
  ck_assert_double_eq_tol(places->items[1].lon_deg, 10.0, 1e-9);
  ck_assert_double_eq_tol(places->items[1].col, 0.0, 1e-9);
}

START_TEST(a_table) {
  struct isw_error error;
  struct isw_place_list *places =
      read_text("p.csv", "lon,name,note,lat\n11.05,\" Upper, Mill \",x,47.975\n10,Edge,,49.5\n",
                NULL, ISW_OK, &error);
  check_two(places);
  isw_regions_free_places(places);
}
END_TEST

START_TEST(a_layer) {
  struct isw_error error;
  struct isw_place_list *places = read_text(
      "p.geojson", COLLECTION(POINT("Upper, Mill\\t", "11.05,47.975") "," POINT("Edge", "10,49.5")),
      NULL, ISW_OK, &error);
  check_two(places);
  isw_regions_free_places(places);
}
END_TEST

static const struct {
  const char *file, *text, *column;
  enum isw_status status;
  const char *says;
} refused[] = {
    {"q.csv", "name,lat,lon\nA,47.9,11\nFar,20,11\n", NULL, ISW_INPUT_CONTENT,
     "q.csv:3: place Far lies outside the grid"},
    {"q.csv", "name,lat,lon\nA,47.9,11\nA ,47.8,11\n", NULL, ISW_INPUT_CONTENT,
     "q.csv:3: place A is there already"},
    {"q.csv", "name,lat,lon\n ,47.9,11\n", NULL, ISW_INPUT_CONTENT, "q.csv:2: a place without a"},
    {"q.csv", "name,lat,lon\nA,north,11\n", NULL, ISW_INPUT_CONTENT, "q.csv:2: lat is \"north\""},
    {"q.csv", "name,lat,lon\nA,97,11\n", NULL, ISW_INPUT_CONTENT, "q.csv:2: lat is 97, outside"},
    {"q.csv", "name,lat\nA,47\n", NULL, ISW_INPUT_CONTENT, "q.csv:1: no column lon"},
    {"q.csv", "name,lat,lon\n", NULL, ISW_INPUT_CONTENT, "holds no place"},
    {"q.geojson", COLLECTION(POINT("A", "11,48")), "nom", ISW_USAGE, "no column \"nom\""},
    {"q.geojson", COLLECTION(POINT("Far", "50,48")), NULL, ISW_INPUT_CONTENT,
     "(Far): place Far lies outside"},
    {"q.geojson", COLLECTION(SQUARE("A", 11, 48)), NULL, ISW_INPUT_CONTENT,
     "is a POLYGON; places must be points"},
    {"q.geojsonl", POINT("A", "11,48") "\n" POINT("B", "11,48.5") "\n{\"type\":\"Feat", NULL,
     ISW_INPUT_FILE, "can be read only in part"},
};

START_TEST(refusals) {
  struct isw_error error;
  read_text(refused[_i].file, refused[_i].text, refused[_i].column, refused[_i].status, &error);
  ck_assert_msg(strstr(error.text, refused[_i].says) != NULL, "%s", error.text);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("place list");
  TCase *all = tcase_create("all");
  tcase_add_test(all, a_table);
  tcase_add_test(all, a_layer);
  tcase_add_loop_test(all, refusals, 0, (int)G_N_ELEMENTS(refused));
  suite_add_tcase(suite, all);
  return suite;
}

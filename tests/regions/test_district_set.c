/* Districts from vector files: read whole or not at all, named without blanks, shaped as the file
 * has them. */
#include <glib.h>
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "region_maker.h"
#include "regions/district_cells.h"
#include "regions/district_overlaps.h"
#include "regions/district_shapes.h"
#include "suite_main.h"

static struct isw_district_set *open_text(const char *name, const char *text, const char *column,
                                          enum isw_status wanted, struct isw_error *error) {
  char *path = write_file(name, text);
  struct isw_grid grid = make_grid();
  struct isw_log log = isw_base_log_make(stderr, true);
  struct isw_district_set *set = NULL;
  *error = (struct isw_error){ISW_OK, ""};
  enum isw_status status = isw_regions_open_districts(path, column, &grid, &log, &set, error);
  ck_assert_msg(status == wanted, "status %d: %s", (int)status, error->text);
  isw_climate_free_grid(&grid);
  g_unlink(path);
  g_free(path);
  return set;
}

START_TEST(names_lose_their_blanks) {
  struct isw_error error;
  struct isw_district_set *set =
      open_text("blank.geojson",
                COLLECTION(SQUARE("North ", 11, 48) "," SQUARE("\\u00a0East\\t", 12, 48) "," SQUARE(
                    "North", 12, 49)),
                "name", ISW_OK, &error);
  ck_assert_int_eq(isw_regions_district_count(set), 2);
  ck_assert_str_eq(isw_regions_district_name(set, 0), "North");
  ck_assert_str_eq(isw_regions_district_name(set, 1), "East");
  isw_regions_free_districts(set);
}
END_TEST

/* Each line a feature; the driver passes over a line that is cut, or ends there. */
static const char *const half_broken[] = {
    SQUARE("A", 11, 48) "\n{\"type\":\"Feature\",\"properties\":{\"name\":\"B\"},\"geom\n" SQUARE(
        "C", 12, 48) "\n",
    SQUARE("A", 11, 48) "\n" SQUARE("B", 12, 48) "\n{\"type\":\"Feature\",\"properties\":{\"na",
    SQUARE("A", 11, 48) "\nnothing of the kind\n" SQUARE("B", 12, 48) "\n",
    COLLECTION(SQUARE("A \\\"]}", 11, 48)) "\n" COLLECTION(SQUARE("B", 12, 48)) "\n",
};

START_TEST(half_a_file_is_none) {
  struct isw_error error;
  open_text("half.geojsonl", half_broken[_i], "name", ISW_INPUT_FILE, &error);
  ck_assert_msg(strstr(error.text, "half.geojsonl:") != NULL, "%s", error.text);
}
END_TEST

START_TEST(whole_lines_are_read) {
  struct isw_error error;
  struct isw_district_set *set = open_text(
      "whole.geojsonl", SQUARE("A", 11, 48) "\n" SQUARE("B", 12, 48) "\n", "name", ISW_OK, &error);
  ck_assert_int_eq(isw_regions_district_count(set), 2);
  isw_regions_free_districts(set);
}
END_TEST

START_TEST(no_crs_no_districts) {
  struct isw_error error;
  static const char text[] = "name,WKT\nx,\"POLYGON((11 48,12 48,12 49,11 48))\"\n";
  open_text("bare.csv", text, "name", ISW_INPUT_CONTENT, &error);
  ck_assert_ptr_nonnull(strstr(error.text, "has no CRS"));
  open_text("bare2.csv", text, NULL, ISW_INPUT_CONTENT, &error);
  ck_assert_ptr_nonnull(strstr(error.text, "has no CRS"));
}
END_TEST

START_TEST(without_names) {
  struct isw_error error;
  static const char text[] = COLLECTION(SQUARE("A", 11, 48) "," SQUARE("A", 12, 48));
  struct isw_district_set *set = open_text("plain.geojson", text, NULL, ISW_OK, &error);
  ck_assert_int_eq(isw_regions_district_count(set), 2);
  ck_assert_str_eq(isw_regions_district_name(set, 0), "");
  ck_assert(!isw_regions_districts_are_named(set));
  isw_regions_free_districts(set);
}
END_TEST

struct seen {
  int rings, points;
  double west, east, area;
};

/* Area by the shoelace formula. */
static void see_ring(void *into, int n, const double *x, const double *y, double middle_x) {
  struct seen *seen = into;
  seen->rings++;
  seen->points += n;
  seen->west = fmin(seen->west, middle_x);
  seen->east = fmax(seen->east, middle_x);
  for (int i = 0; i + 1 < n; i++) seen->area += (x[i] * y[i + 1] - x[i + 1] * y[i]) / 2;
}

START_TEST(shapes_and_labels) {
  struct isw_error error;
  struct isw_district_set *set =
      open_text("two.geojson",
                COLLECTION(SQUARE("A", 11, 48) ",{\"type\":\"Feature\",\"properties\":"
                                               "{\"name\":\"A\"},\"geometry\":{\"type\":"
                                               "\"Polygon\",\"coordinates\":[[[12,48],[13,48]"
                                               ",[13,49],[12,49],[12,48]]]}}"),
                "name", ISW_OK, &error);
  ck_assert_int_eq(isw_regions_district_count(set), 1);
  struct seen seen = {.west = INFINITY, .east = -INFINITY};
  isw_regions_visit_rings(set, 0, see_ring, &seen);
  ck_assert_int_eq(seen.rings, 2);
  ck_assert_int_eq(seen.points, 4 + 5);
  ck_assert_double_eq_tol(seen.west, 11.25, 1e-9);
  ck_assert_double_eq_tol(seen.east, 12.5, 1e-9);
  ck_assert_double_eq_tol(seen.area, 0.125 + 1.0, 1e-9);
  double x, y, middle_x;
  ck_assert(isw_regions_find_label(set, 0, &x, &y, &middle_x));
  ck_assert_double_eq_tol(x, 12.5, 1e-9);
  ck_assert_double_eq_tol(y, 48.5, 1e-9);
  ck_assert_double_eq_tol(middle_x, 12.5, 1e-9);
  isw_regions_free_districts(set);
}
END_TEST

START_TEST(cells_by_their_middle) {
  struct isw_error error;
  struct isw_district_set *set =
      open_text("cells.geojson",
                COLLECTION("{\"type\":\"Feature\",\"properties\":{\"name\":\"A\"},\"geometry\":{"
                           "\"type\":\"Polygon\",\"coordinates\":[[[10.04,49.5],[10.36,49.5],"
                           "[10.36,49.94],[10.04,49.94],[10.04,49.5]]]}}"),
                "name", ISW_OK, &error);
  uint8_t flags[COLS * ROWS];
  memset(flags, ISW_CELL_VALID, sizeof flags);
  flags[1 * COLS + 1] = 0;
  int n;
  const struct isw_district_cells *found;
  ck_assert_int_eq(
      isw_regions_find_district_cells(set, 0, 0, COLS, ROWS, flags, &n, &found, &error), ISW_OK);
  ck_assert_int_eq(n, 1);
  /* Middles at 10.05, 10.15, 10.25, 10.35 and 49.85 down to 49.55; one has no data. */
  ck_assert_uint_eq(found[0].n, 4 * 4 - 1);
  ck_assert_uint_eq(found[0].cells[0], 1 * COLS);
  ck_assert_uint_eq(found[0].cells[1], 1 * COLS + 2);
  isw_regions_free_districts(set);
}
END_TEST

#define BOX(name, west, south, east, north)                                                 \
  "{\"type\":\"Feature\",\"properties\":{\"name\":\"" name                                  \
  "\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[" #west "," #south "],[" #east \
  "," #south "],[" #east "," #north "],[" #west "," #north "],[" #west "," #south "]]]}}"

/* Counted by hand on the grid of 0.1 degree: Wide holds 20 x 20 cells, Town 4 x 4 at its middle,
 * Edge 4 x 4, half of them in Wide. */
/* Every cell has data. Returns how many districts have cells. */
static int find_in_full_block(struct isw_district_set *set,
                              const struct isw_district_cells **found) {
  uint8_t flags[COLS * ROWS];
  memset(flags, ISW_CELL_VALID, sizeof flags);
  struct isw_error error;
  int n;
  ck_assert_int_eq(isw_regions_find_district_cells(set, 0, 0, COLS, ROWS, flags, &n, found, &error),
                   ISW_OK);
  return n;
}

START_TEST(smaller_districts_first) {
  struct isw_error error;
  struct isw_district_set *set = open_text(
      "overlaps.geojson",
      COLLECTION(BOX("Wide", 10, 48, 12, 50) "," BOX("Edge", 11.8, 48.2, 12.2, 48.6) "," BOX(
          "Town", 10.8, 48.8, 11.2, 49.2) "," BOX("Far", 13, 48, 13.5, 48.5)),
      "name", ISW_OK, &error);
  const int *order = isw_regions_smaller_first(set);
  ck_assert_int_eq(order[3], 0);
  ck_assert_int_eq(order[2], 3);
  ck_assert_int_eq(order[0], 2); /* farther north: its degrees are shorter */
  const struct isw_district_cells *found;
  int n = find_in_full_block(set, &found);
  ck_assert_int_eq(n, 4);
  for (int i = 0; i < n; i++) ck_assert_int_eq(found[i].district, order[i]);
  struct isw_district_overlap *overlaps;
  ck_assert_int_eq(isw_regions_list_overlaps(set, &overlaps), 2);
  ck_assert_int_eq(overlaps[0].smaller, 1);
  ck_assert_int_eq(overlaps[0].larger, 0);
  ck_assert_int_eq(overlaps[0].cells, 8);
  ck_assert(!overlaps[0].inside);
  ck_assert_int_eq(overlaps[1].smaller, 2);
  ck_assert_int_eq(overlaps[1].cells, 16);
  ck_assert(overlaps[1].inside);
  g_free(overlaps);
  /* Wide's name keeps out of Town, which lies at its middle; Town's is at its own. */
  double x, y, middle_x;
  ck_assert(isw_regions_find_label(set, 0, &x, &y, &middle_x));
  ck_assert(x > 10 && x < 12 && y > 48 && y < 50);
  ck_assert(x < 10.8 || x > 11.2 || y < 48.8 || y > 49.2);
  ck_assert(isw_regions_find_label(set, 2, &x, &y, &middle_x));
  ck_assert_double_eq_tol(x, 11, 1e-9);
  ck_assert_double_eq_tol(y, 49, 1e-9);
  isw_regions_free_districts(set);
}
END_TEST

/* Shapes that the grid's CRS has no place for as a whole: the whole Earth, a hemisphere. */
START_TEST(world_wide_districts) {
  static const char text[] = COLLECTION(
      "{\"type\":\"Feature\",\"properties\":{\"name\":\"World\"},\"geometry\":{\"type\":"
      "\"Polygon\",\"coordinates\":[[[-180,-90],[180,-90],[180,90],[-180,90],[-180,-90]]]}},"
      "{\"type\":\"Feature\",\"properties\":{\"name\":\"North\"},\"geometry\":{\"type\":"
      "\"Polygon\",\"coordinates\":[[[-180,0],[180,0],[180,85],[-180,85],[-180,0]]]}}");
  char *path = write_file("world.geojson", text);
  struct isw_grid grid = make_grid();
  OGRSpatialReferenceH utm = OSRNewSpatialReference(NULL);
  OSRImportFromEPSG(utm, 32632);
  char *wkt;
  OSRExportToWkt(utm, &wkt);
  const double transform[6] = {500000, 10000, 0, 5500000, 0, -10000};
  g_free(grid.wkt);
  grid.wkt = g_strdup(wkt);
  grid.geographic = false;
  memcpy(grid.transform, transform, sizeof transform);
  CPLFree(wkt);
  OSRDestroySpatialReference(utm);
  struct isw_log log = isw_base_log_make(stderr, true);
  struct isw_district_set *set = NULL;
  struct isw_error error = {ISW_OK, ""};
  ck_assert_msg(isw_regions_open_districts(path, "name", &grid, &log, &set, &error) == ISW_OK, "%s",
                error.text);
  const struct isw_district_cells *found;
  int n = find_in_full_block(set, &found);
  ck_assert_int_eq(n, 2);
  for (int d = 0; d < n; d++) ck_assert_uint_eq(found[d].n, COLS * ROWS);
  isw_regions_free_districts(set);
  isw_climate_free_grid(&grid);
  g_unlink(path);
  g_free(path);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("district set");
  TCase *all = tcase_create("all");
  tcase_add_test(all, names_lose_their_blanks);
  tcase_add_loop_test(all, half_a_file_is_none, 0, (int)G_N_ELEMENTS(half_broken));
  tcase_add_test(all, whole_lines_are_read);
  tcase_add_test(all, no_crs_no_districts);
  tcase_add_test(all, without_names);
  tcase_add_test(all, shapes_and_labels);
  tcase_add_test(all, cells_by_their_middle);
  tcase_add_test(all, smaller_districts_first);
  tcase_add_test(all, world_wide_districts);
  suite_add_tcase(suite, all);
  return suite;
}

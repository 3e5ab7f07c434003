/* Published harvests (tests/tables/published_harvests.txt) against the days the model takes. A
 * sowing in the middle of the published sowing dates is cut so many days from the middle of the
 * published cutting dates. Places without normals in this repository are left out where their table
 * is not there. */
#include <math.h>
#include <stdlib.h>

#include "kernel_cases.h"
#include "napa.h"
#include "suite_main.h"

enum { ROWS_MAX = 64 };

struct harvest_row {
  char place[40], variety[40];
  int sown_from, sown_to;    /* days of the year */
  double days_from, days_to; /* from the middle of the sowing dates */
};

static void read_row(int index, struct harvest_row *out) {
  struct science_row row;
  char sown_from[8], sown_to[8], cut_from[8], cut_to[8], days_from[8], days_to[8];
  science_table_row("published_harvests.txt", 0, index, &row);
  ck_assert_int_eq(sscanf(row.text, "%39s %39s %7s %7s %7s %7s %7s %7s", out->place, out->variety,
                          sown_from, sown_to, cut_from, cut_to, days_from, days_to),
                   8);
  out->sown_from = isw_base_parse_month_day(sown_from);
  out->sown_to = isw_base_parse_month_day(sown_to);
  ck_assert(out->sown_from >= 0 && out->sown_to >= out->sown_from);
  const double sown = 0.5 * (out->sown_from + out->sown_to);
  const bool dated = cut_from[0] != '-';
  out->days_from = dated ? isw_base_parse_month_day(cut_from) - sown : atof(days_from);
  out->days_to = dated ? isw_base_parse_month_day(cut_to) - sown : atof(days_to);
  ck_assert(out->days_from > 50 && out->days_to >= out->days_from && out->days_to < 110);
}

/* "China_Shenyang*": the row of the table of places that begins so. false: not there. */
static bool find_normals(const char *place, struct isw_normals *out) {
  const size_t length = strcspn(place, "*");
  if (place[length] == '\0') {
    *out = napa_station(place);
    return true;
  }
  FILE *file = fopen(TEST_SHARED_DATA "/places/places.csv", "r");
  if (file == NULL) return false;
  char line[1024], wanted[40];
  snprintf(wanted, sizeof wanted, "%.*s", (int)length, place);
  for (char *at = wanted; *at != '\0'; at++)
    if (*at == '_') *at = ' ';
  bool found = false;
  while (!found && fgets(line, sizeof line, file) != NULL) {
    if (strncmp(line, wanted, length) != 0) continue;
    double months[24];
    char *at = strrchr(line, '\0');
    for (int k = 23; k >= 0; k--) { /* from the end: names may hold commas */
      while (*at != ',') at--;
      months[k] = strtod(at + 1, NULL);
      *at = '\0';
    }
    *out = (struct isw_normals){.has_year_spread = false};
    memcpy(out->tmin_C, months, sizeof out->tmin_C);
    memcpy(out->tmax_C, months + 12, sizeof out->tmax_C);
    found = true;
  }
  fclose(file);
  ck_assert_msg(found, "%s is not in places.csv", place);
  return true;
}

static double growing_days(struct napa *napa, const struct isw_normals *normals,
                           const struct harvest_row *row) {
  static struct isw_scores scores;
  const int v = isw_crop_find_variety(napa->sheet, row->variety);
  ck_assert_int_ge(v, 0);
  isw_growth_score_year(&napa->workspace, normals, napa->plan.programme_of[v][0], &scores);
  const int middle = row->sown_from + row->sown_to;
  return 0.5 * (scores.growing_days[middle / 2] + scores.growing_days[(middle + 1) / 2]);
}

static int by_size(const void *a, const void *b) {
  const double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

START_TEST(harvests_fall_where_they_are_published) {
  struct napa *napa = napa_open();
  double off[ROWS_MAX], error[ROWS_MAX];
  int n = 0, inside = 0;
  for (int i = 0; i < science_table_count("published_harvests.txt"); i++) {
    struct harvest_row row;
    struct isw_normals normals = {.has_year_spread = false};
    read_row(i, &row);
    if (!find_normals(row.place, &normals)) continue;
    const double days = growing_days(napa, &normals, &row);
    ck_assert_int_lt(n, ROWS_MAX);
    off[n] = days - 0.5 * (row.days_from + row.days_to);
    error[n] = fabs(off[n]);
    inside += days >= row.days_from - 0.5 && days <= row.days_to + 0.5;
    printf("%-16s %-20s %.1f days, published %.1f-%.1f: %+.1f\n", row.place, row.variety, days,
           row.days_from, row.days_to, off[n]);
    n++;
  }
  ck_assert_int_ge(n, 6); /* those of this repository */
  qsort(off, (size_t)n, sizeof off[0], by_size);
  qsort(error, (size_t)n, sizeof error[0], by_size);
  printf("%d harvests: %+.1f days in the middle, middle error %.1f, %d inside\n", n, off[n / 2],
         error[n / 2], inside);
  ck_assert_double_le(error[n / 2], 7.0);
  ck_assert_double_le(error[n - 1], 14.0); /* no row is two weeks off */
  ck_assert_int_ge(2 * inside, n);
  napa_close(napa);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("harvests");
  TCase *harvests = tcase_create("harvests");
  tcase_set_timeout(harvests, 60);
  tcase_add_test(harvests, harvests_fall_where_they_are_published);
  suite_add_tcase(suite, harvests);
  return suite;
}

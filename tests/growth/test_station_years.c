/* Ten equally likely years against real ones: for each station the normals of its own years, and
 * the share of these years in which a sowing day is good, each scored from its own twelve months.
 * Figures to be met: real years of Colorado stations, 1951-1997 (data set COmonthlyMet of the R
 * package fields), worked out with a model of its own beforehand: docs/method.md has the table. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "napa.h"
#include "suite_main.h"

enum { YEARS_MAX = 64, ID_SIZE = 16, ALL = 11 };
enum { ID, NAME, LAT, LON, ELEVATION, YEAR, FIRST_MONTH, COLUMNS = FIRST_MONTH + 24 };

struct station {
  char id[ID_SIZE];
  int n_years;
  struct isw_normals years[YEARS_MAX];
};

/* One row; false at the end of the file. Names hold no comma. */
static bool read_year(FILE *file, char id[ID_SIZE], struct isw_normals *out) {
  char line[1024];
  *out = (struct isw_normals){.has_year_spread = false};
  if (fgets(line, sizeof line, file) == NULL) return false;
  char *at = line;
  for (int column = 0; column < COLUMNS; column++) {
    const size_t length = strcspn(at, ",\r\n");
    ck_assert_msg(length > 0, "an empty value in: %s", line);
    if (column == ID) snprintf(id, ID_SIZE, "%.*s", (int)length, at);
    if (column >= FIRST_MONTH) {
      const int k = column - FIRST_MONTH;
      (k < 12 ? out->tmin_C : out->tmax_C)[k % 12] = strtod(at, NULL);
    }
    at += length + 1;
  }
  return true;
}

/* The rows of a station stand together. false: no more. */
static bool read_station(FILE *file, struct station *out) {
  static char next_id[ID_SIZE];
  static struct isw_normals next;
  static bool pending;
  if (!pending) pending = read_year(file, next_id, &next);
  if (!pending) return false;
  snprintf(out->id, ID_SIZE, "%s", next_id);
  for (out->n_years = 0; pending && strcmp(next_id, out->id) == 0;
       pending = read_year(file, next_id, &next)) {
    ck_assert_int_lt(out->n_years, YEARS_MAX);
    out->years[out->n_years++] = next;
  }
  return true;
}

static struct isw_normals mean_of(const struct station *station) {
  struct isw_normals mean = {.has_year_spread = false};
  for (int y = 0; y < station->n_years; y++)
    for (int m = 0; m < 12; m++) {
      mean.tmin_C[m] += station->years[y].tmin_C[m] / station->n_years;
      mean.tmax_C[m] += station->years[y].tmax_C[m] / station->n_years;
    }
  return mean;
}

/* Standard deviation, between years, of a month's mean temperature, averaged April-October. */
static double own_year_spread_K(const struct station *station, const struct isw_normals *mean) {
  double sum_K = 0.0;
  for (int m = 3; m <= 9; m++) {
    double squares = 0.0;
    for (int y = 0; y < station->n_years; y++) {
      const double off = 0.5 * (station->years[y].tmin_C[m] + station->years[y].tmax_C[m] -
                                mean->tmin_C[m] - mean->tmax_C[m]);
      squares += off * off;
    }
    sum_K += sqrt(squares / (station->n_years - 1)) / 7.0;
  }
  return sum_K;
}

/* What is held against each other, by variety and by years. */
struct tally {
  long days[ALL];
  double real[ALL];
  long n[ISW_VARIETIES_MAX];
  double error[ISW_VARIETIES_MAX], bias[ISW_VARIETIES_MAX];
};

static void add_day(struct tally *tally, int variety, int years, double real_share) {
  const double off = 0.1 * years - real_share;
  tally->days[years]++;
  tally->real[years] += real_share;
  tally->n[variety]++;
  tally->error[variety] += fabs(off);
  tally->bias[variety] += off;
}

static void add_station(struct napa *ten, struct napa *single, const struct station *station,
                        const struct isw_normals *normals, struct tally *tally) {
  static struct isw_scores expected, real;
  for (int p = 0; p < ten->plan.n_programmes; p++) {
    int good_years[ISW_YEAR_DAYS] = {0};
    isw_growth_score_year(&ten->workspace, normals, p, &expected);
    for (int y = 0; y < station->n_years; y++) {
      isw_growth_score_year(&single->workspace, &station->years[y], p, &real);
      for (int day = 0; day < ISW_YEAR_DAYS; day++) good_years[day] += real.good[day];
    }
    for (int day = 0; day < ISW_YEAR_DAYS; day++)
      if (expected.years[day] > 0)
        add_day(tally, ten->plan.programmes[p].variety, expected.years[day],
                (double)good_years[day] / station->n_years);
  }
}

/* Two plans: ten years about normals, and a single year as it came. */
static struct napa *open_plan(int least_years, struct napa *memory) {
  struct napa *napa = napa_open();
  memory->sheet = napa->sheet;
  struct isw_conditions conditions = isw_growth_default_conditions();
  conditions.least_years = least_years;
  isw_growth_make_plan(memory->sheet, &conditions, 0, NULL, 0, NULL, &memory->plan);
  isw_growth_start_workspace(&memory->plan, &memory->workspace);
  return memory;
}

static int tally_file(const char *path, bool own_spread, struct tally *tally) {
  static struct napa ten_memory, single_memory;
  static struct station station;
  FILE *file = fopen(path, "r");
  char header[1024];
  if (file == NULL) return -1;
  struct napa *ten = open_plan(7, &ten_memory), *single = open_plan(0, &single_memory);
  ck_assert_ptr_nonnull(fgets(header, sizeof header, file));
  ck_assert_int_eq(strncmp(header, "id,name,lat,lon,elev,year,tmin_1,", 33), 0);
  int stations = 0;
  for (; read_station(file, &station); stations++) {
    struct isw_normals normals = mean_of(&station);
    ck_assert_int_ge(station.n_years, 30);
    if (own_spread) {
      normals.has_year_spread = true;
      normals.year_spread_K = own_year_spread_K(&station, &normals);
    }
    add_station(ten, single, &station, &normals, tally);
  }
  fclose(file);
  return stations;
}

static void print_tally(const char *what, int stations, const struct tally *tally) {
  printf("%s, %d stations\n", what, stations);
  for (int years = 10; years > 0; years--)
    if (tally->days[years] > 0)
      printf("  %2d of ten years: %5ld days, good in %.3f of the real years\n", years,
             tally->days[years], tally->real[years] / (double)tally->days[years]);
  for (int v = 0; tally->n[v] > 0; v++)
    printf("  variety %d: %ld days, mean error %.4f, bias %+.4f\n", v + 1, tally->n[v],
           tally->error[v] / (double)tally->n[v], tally->bias[v] / (double)tally->n[v]);
}

static double real_share(const struct tally *tally, int years) {
  return tally->real[years] / (double)tally->days[years];
}

static const struct {
  const char *what, *path;
  int stations;
  bool own_spread;
} files[] = {
    {"a share of the stations", TEST_SOURCE_DIR "/data/colorado/station_years.csv", 20, false},
    {"the same, each with its own spread", TEST_SOURCE_DIR "/data/colorado/station_years.csv", 20,
     true},
    {"all stations", TEST_SHARED_DATA "/colorado/station_years.csv", 139, false},
    {"all, each with its own spread", TEST_SHARED_DATA "/colorado/station_years.csv", 139, true},
};

START_TEST(years_come_true) {
  struct tally tally = {.days = {0}};
  const int stations = tally_file(files[_i].path, files[_i].own_spread, &tally);
  if (stations < 0) {
    printf("skipped: no %s\n", files[_i].path);
    return;
  }
  print_tally(files[_i].what, stations, &tally);
  ck_assert_int_eq(stations, files[_i].stations);
  for (int v = 0; v < 4; v++) {
    ck_assert_int_gt(tally.n[v], 100);
    ck_assert_double_le(tally.error[v] / (double)tally.n[v], 0.07);
  }
  ck_assert_double_ge(real_share(&tally, 10), 0.95);
  ck_assert_double_ge(real_share(&tally, 7), 0.60);
  ck_assert_double_le(real_share(&tally, 7), 0.75);
  for (int years = 6; years <= 10; years++)
    ck_assert_double_gt(real_share(&tally, years), real_share(&tally, years - 1));
}
END_TEST

/* The table of docs/method.md, to a hundredth of its days: days near a threshold may fall to either
 * side of it in another arithmetic. */
START_TEST(the_table_of_all_stations) {
  static const struct {
    int years;
    long days;
    double real;
  } table[] = {{10, 8246, .97}, {9, 7261, .89}, {8, 4843, .78}, {7, 4168, .67},
               {6, 3490, .55},  {5, 1908, .47}, {4, 183, .43}};
  struct tally tally = {.days = {0}};
  if (tally_file(TEST_SHARED_DATA "/colorado/station_years.csv", false, &tally) < 0) {
    printf("skipped: no station_years.csv of all stations\n");
    return;
  }
  for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
    const int years = table[i].years;
    const double slack = fmax(0.01 * (double)table[i].days, 3.0);
    ck_assert_double_eq_tol((double)tally.days[years], (double)table[i].days, slack);
    ck_assert_double_eq_tol(real_share(&tally, years), table[i].real, 0.01);
  }
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("station years");
  TCase *years = tcase_create("station years");
  tcase_set_timeout(years, 240);
  tcase_add_loop_test(years, years_come_true, 0, (int)(sizeof files / sizeof files[0]));
  tcase_add_test(years, the_table_of_all_stations);
  suite_add_tcase(suite, years);
  return suite;
}

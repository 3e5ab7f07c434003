/* The built-in cabbage sheet and the stations of tests/tables/station_normals.txt, for tests of the
 * whole chain. */
#ifndef ISW_TEST_NAPA_H
#define ISW_TEST_NAPA_H

#include <check.h>

#include "growth/cell.h"
#include "science_table.h"

enum { NAPA_RESULTS_MAX = 64, NAPA_STATION_NUMBERS = 25 };

struct napa {
  struct isw_sheet *sheet;
  struct isw_plan plan;
  struct isw_growth_workspace workspace;
  struct isw_result results[NAPA_RESULTS_MAX];
};

/* One per test process: it is large. */
static inline struct napa *napa_open(void) {
  static struct napa napa;
  struct isw_error error;
  enum isw_status status = isw_crop_load_sheet("napa-cabbage", &napa.sheet, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(napa.sheet, &conditions, 0, NULL, 0, NULL, &napa.plan);
  isw_growth_start_workspace(&napa.plan, &napa.workspace);
  return &napa;
}

static inline void napa_close(struct napa *napa) {
  isw_crop_free_sheet(napa->sheet);
}

static inline const struct isw_result *napa_result(const struct napa *napa, const char *variety,
                                                   const char *season) {
  int v = isw_crop_find_variety(napa->sheet, variety);
  int s = isw_crop_find_season(napa->sheet, season);
  ck_assert_int_ge(v, 0);
  ck_assert_int_ge(s, 0);
  return &napa->results[isw_growth_result_index(&napa->plan, v, s)];
}

static inline struct isw_normals napa_station_row(int index, char name[SCIENCE_TEXT_SIZE]) {
  struct science_row row;
  struct isw_normals normals = {0};
  science_table_row("station_normals.txt", NAPA_STATION_NUMBERS, index, &row);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = row.number[1 + m];
    normals.tmax_C[m] = row.number[1 + ISW_YEAR_MONTHS + m];
  }
  snprintf(name, SCIENCE_TEXT_SIZE, "%s", row.text);
  return normals;
}

static inline struct isw_normals napa_station(const char *wanted) {
  char name[SCIENCE_TEXT_SIZE];
  for (int i = 0; i < science_table_count("station_normals.txt"); i++) {
    struct isw_normals normals = napa_station_row(i, name);
    if (strcmp(name, wanted) == 0) return normals;
  }
  ck_abort_msg("%s is not in station_normals.txt", wanted);
}

#endif

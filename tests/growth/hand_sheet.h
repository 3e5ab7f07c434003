/* A crop sheet made by hand, so small that every result can be worked out on paper. Two stages,
 * "leaf" of 10 days and "head" of 20, both with the temperature band 0, 10, 20, 30, full swing, in
 * open ground; they cannot freeze and do not bolt until a test says so. One season: all year. */
#ifndef ISW_TEST_HAND_SHEET_H
#define ISW_TEST_HAND_SHEET_H

#include <math.h>

#include "growth/cell.h"

enum { HAND_VARIETIES_MAX = 4 };

struct hand_sheet {
  struct isw_sheet sheet;
  struct isw_variety varieties[HAND_VARIETIES_MAX];
};

static inline void hand_sheet_init(struct hand_sheet *out) {
  static char crop[] = "paper-crop", leaf[] = "leaf", head[] = "head", all[] = "all-year";
  static char names[HAND_VARIETIES_MAX][2] = {"a", "b", "c", "d"};
  *out = (struct hand_sheet){0};
  struct isw_sheet *sheet = &out->sheet;
  sheet->crop = sheet->title = sheet->origin = sheet->text = crop;
  sheet->swing = 1.0;
  sheet->n_stages = 2;
  sheet->n_varieties = 1;
  sheet->varieties = out->varieties;
  sheet->n_seasons = 1;
  sheet->seasons[0] = (struct isw_season){.name = all, .sow_from_day = 0, .sow_to_day = 364};
  for (int s = 0; s < ISW_SEASONS_MAX; s++)
    for (int v = 0; v < HAND_VARIETIES_MAX; v++) sheet->seasons[s].preferred[v] = v;
  for (int v = 0; v < HAND_VARIETIES_MAX; v++) {
    out->varieties[v].name = out->varieties[v].title = names[v];
    struct isw_stage stage = {.name = leaf,
                              .shelter = ISW_OPEN_GROUND,
                              .days = 10.0,
                              .at_most_days = 30,
                              .band = {0.0, 10.0, 20.0, 30.0},
                              .dies_below_C = -INFINITY};
    out->varieties[v].stages[0] = stage;
    stage.name = head;
    stage.days = 20.0;
    stage.at_most_days = 60;
    out->varieties[v].stages[1] = stage;
  }
}

static inline struct isw_normals hand_constant_normals(double tmin_C, double tmax_C) {
  struct isw_normals normals = {0};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = tmin_C;
    normals.tmax_C[m] = tmax_C;
  }
  return normals;
}

/* Results of one place with all varieties and seasons and these conditions. */
static inline void hand_sheet_cell(const struct isw_sheet *sheet,
                                   const struct isw_conditions *conditions,
                                   const struct isw_normals *normals, bool south,
                                   struct isw_result *results) {
  static struct isw_plan plan;
  static struct isw_growth_workspace workspace;
  isw_growth_make_plan(sheet, conditions, 0, NULL, 0, NULL, &plan);
  isw_growth_start_workspace(&plan, &workspace);
  isw_growth_cell(&workspace, normals, south, results);
}

#endif

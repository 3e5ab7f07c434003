#include "survey/tally.h"

#include <glib.h>

#include "survey/cell_areas.h"

/* What a cell adds to is looked up: searching cost as much as the rest of the tally. */
struct lookup {
  uint8_t score_class[101];                  /* by score */
  uint8_t ten_day_period[ISW_YEAR_DAYS + 1]; /* by day of year */
};

static void fill_lookup(struct lookup *lookup) {
  for (int score = 0; score <= 100; score++)
    lookup->score_class[score] = (uint8_t)isw_survey_score_class(score);
  for (int day = 1; day <= ISW_YEAR_DAYS; day++)
    lookup->ten_day_period[day] = (uint8_t)isw_base_ten_day_period(day - 1);
}

struct isw_tally {
  struct lookup lookup;
  const struct isw_plan *plan;
  struct isw_cell_areas *areas;
  double valid_m2;
  long long valid_cells, south_cells;
  struct isw_result_tally *results;
  struct isw_pick_tally picks[ISW_SEASONS_MAX];
  struct isw_span_tally spans[ISW_SEASONS_MAX];
};

enum isw_status isw_survey_new_tally(const struct isw_grid *grid, const struct isw_plan *plan,
                                     struct isw_tally **out, struct isw_error *error) {
  struct isw_cell_areas *areas;
  enum isw_status status = isw_survey_new_cell_areas(grid, &areas, error);
  if (status != ISW_OK) return status;
  struct isw_tally *tally = g_new0(struct isw_tally, 1);
  tally->plan = plan;
  tally->areas = areas;
  tally->results = g_new0(struct isw_result_tally, (size_t)(plan->n_varieties * plan->n_seasons));
  fill_lookup(&tally->lookup);
  *out = tally;
  return ISW_OK;
}

void isw_survey_free_tally(struct isw_tally *tally) {
  if (tally == NULL) return;
  isw_survey_free_cell_areas(tally->areas);
  g_free(tally->results);
  g_free(tally);
}

int isw_survey_score_class_from(int score_class) {
  static const int from[ISW_SCORE_CLASSES + 1] = {0, 50, 70, 85, 101};
  return from[score_class];
}

int isw_survey_score_class(int score) {
  int class = ISW_SCORE_CLASSES - 1;
  while (class > 0 && score < isw_survey_score_class_from(class)) class --;
  return class;
}

int isw_survey_years_class_from(int years_class) {
  static const int from[ISW_YEARS_CLASSES + 1] = {0, 3, 5, 7, 9, ISW_YEARS_OF_TEN + 1};
  return from[years_class];
}

int isw_survey_years_class(int years) {
  int class = ISW_YEARS_CLASSES - 1;
  while (class > 0 && years < isw_survey_years_class_from(class)) class --;
  return class;
}

static void add_result(struct isw_result_tally *tally, const struct lookup *lookup,
                       const int16_t *bands, double area_m2) {
  tally->score_m2[lookup->score_class[bands[ISW_BAND_SCORE]]] += area_m2;
  if (bands[ISW_BAND_YEARS] >= 0) tally->years_m2[bands[ISW_BAND_YEARS]] += area_m2;
  if (bands[ISW_BAND_WINDOW_DAYS] > 0) {
    tally->period_m2[lookup->ten_day_period[bands[ISW_BAND_BEST_SOW]]] += area_m2;
    tally->edge_m2[bands[ISW_BAND_EDGE]] += area_m2;
    tally->cells_with_window++;
  } else {
    tally->no_window_m2 += area_m2;
  }
}

static void add_pick(struct isw_pick_tally *tally, int code, double area_m2) {
  if (code == 0)
    tally->none_m2 += area_m2;
  else if (code > ISW_PICK_RISKY_CODE)
    tally->risky_m2[code - ISW_PICK_RISKY_CODE - 1] += area_m2;
  else
    tally->variety_m2[code - 1] += area_m2;
}

static void add_span(struct isw_span_tally *tally, const struct lookup *lookup, const int16_t *span,
                     double area_m2) {
  if (span[ISW_SPAN_DAYS] == 0) {
    tally->none_m2 += area_m2;
    return;
  }
  tally->first_period_m2[lookup->ten_day_period[span[ISW_SPAN_SOW_FROM]]] += area_m2;
  tally->last_period_m2[lookup->ten_day_period[span[ISW_SPAN_SOW_TO]]] += area_m2;
}

/* Result by result, as they lie in memory; each sum gets its cells in the same order as ever, so
 * that its last bits stay. */
void isw_survey_add_block(struct isw_tally *tally, const struct isw_block *block, int plan_index) {
  const double *area_m2 =
      isw_survey_areas_of_block(tally->areas, block->col, block->row, block->width, block->height);
  const size_t cells = (size_t)block->width * (size_t)block->height;
  const uint8_t *flags = block->flags;
  const int n_results = tally->plan->n_varieties * tally->plan->n_seasons;
  for (size_t cell = 0; cell < cells; cell++) {
    if ((flags[cell] & ISW_CELL_VALID) == 0) continue;
    tally->valid_m2 += area_m2[cell];
    tally->valid_cells++;
    tally->south_cells += (flags[cell] & ISW_CELL_SOUTH) != 0;
  }
  for (int r = 0; r < n_results; r++) {
    const int16_t *bands = block->bands[plan_index] + (size_t)r * cells * ISW_CELL_BANDS;
    for (size_t cell = 0; cell < cells; cell++, bands += ISW_CELL_BANDS)
      if (flags[cell] & ISW_CELL_VALID)
        add_result(&tally->results[r], &tally->lookup, bands, area_m2[cell]);
  }
  for (int s = 0; s < tally->plan->n_seasons; s++) {
    const uint8_t *picks = block->picks[plan_index] + (size_t)s * cells;
    const int16_t *span = block->spans[plan_index] + (size_t)s * cells * ISW_SPAN_BANDS;
    for (size_t cell = 0; cell < cells; cell++, span += ISW_SPAN_BANDS) {
      if ((flags[cell] & ISW_CELL_VALID) == 0) continue;
      add_pick(&tally->picks[s], picks[cell], area_m2[cell]);
      add_span(&tally->spans[s], &tally->lookup, span, area_m2[cell]);
    }
  }
}

const struct isw_result_tally *isw_survey_result_tally(const struct isw_tally *tally, int result) {
  return &tally->results[result];
}

const struct isw_pick_tally *isw_survey_pick_tally(const struct isw_tally *tally, int season) {
  return &tally->picks[season];
}

const struct isw_span_tally *isw_survey_span_tally(const struct isw_tally *tally, int season) {
  return &tally->spans[season];
}

double isw_survey_valid_m2(const struct isw_tally *tally) {
  return tally->valid_m2;
}
long long isw_survey_valid_cells(const struct isw_tally *tally) {
  return tally->valid_cells;
}
long long isw_survey_south_cells(const struct isw_tally *tally) {
  return tally->south_cells;
}

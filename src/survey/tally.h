/* Area per class, added up block by block: what legends and summaries say about a map. Ground area,
 * so a degree grid's polar rows do not count too much. */
#ifndef ISW_SURVEY_TALLY_H
#define ISW_SURVEY_TALLY_H

#include "survey/survey.h"

enum { ISW_YEARS_CLASSES = 5 }; /* of ten years: 0-2, 3-4, 5-6, 7-8, 9-10 */
enum { ISW_SCORE_CLASSES = 4 }; /* poor < 50, weak 50-69, good 70-84, very good 85+ */

/* Of one variety in one season; m2. */
struct isw_result_tally {
  double period_m2[ISW_TEN_DAY_PERIODS]; /* cells with a window, by ten-day period of best_sow */
  double no_window_m2;                   /* valid cells without one */
  double score_m2[ISW_SCORE_CLASSES];
  double years_m2[ISW_YEARS_OF_TEN + 1]; /* by years of the best day, 0..10; not counted: all 0 */
  double edge_m2[ISW_EDGES];             /* cells with a window, by edge (growth/result.h) */
  long long cells_with_window;
};

/* Of the picks of one season; m2. */
struct isw_pick_tally {
  double none_m2;
  double variety_m2[ISW_VARIETIES_MAX]; /* sheet index; sure picks */
  double risky_m2[ISW_VARIETIES_MAX];
};

/* Of the spans of one season; m2. */
struct isw_span_tally {
  double none_m2;
  double first_period_m2[ISW_TEN_DAY_PERIODS]; /* cells with a span, by period of its first day */
  double last_period_m2[ISW_TEN_DAY_PERIODS];  /* the same, of its last day */
};

struct isw_tally; /* of one plan */

/* plan is borrowed and must outlive it. *out is new, to be freed. ISW_INPUT_CONTENT as
 * isw_climate_new_locator. */
enum isw_status isw_survey_new_tally(const struct isw_grid *grid, const struct isw_plan *plan,
                                     struct isw_tally **out, struct isw_error *error);
void isw_survey_free_tally(struct isw_tally *tally); /* takes NULL */

/* Add a finished block's valid cells. plan_index: which plan of the block is the tally's. */
void isw_survey_add_block(struct isw_tally *tally, const struct isw_block *block, int plan_index);

/* Borrowed from the tally. result: as isw_growth_result_index says; season: chosen season. */
const struct isw_result_tally *isw_survey_result_tally(const struct isw_tally *tally, int result);
const struct isw_pick_tally *isw_survey_pick_tally(const struct isw_tally *tally, int season);
const struct isw_span_tally *isw_survey_span_tally(const struct isw_tally *tally, int season);
/* Of all blocks added: area of the valid cells, m2, their number, and how many lie in the south. */
double isw_survey_valid_m2(const struct isw_tally *tally);
long long isw_survey_valid_cells(const struct isw_tally *tally);
long long isw_survey_south_cells(const struct isw_tally *tally);

/* Class 0..3 of a score 0..100, and the lowest score of a class: 0, 50, 70, 85; 101 of class 4. */
int isw_survey_score_class(int score);
int isw_survey_score_class_from(int score_class);

/* Class 0..4 of years 0..10, and the least years of a class: 0, 3, 5, 7, 9; 11 of class 5. */
int isw_survey_years_class(int years);
int isw_survey_years_class_from(int years_class);

#endif

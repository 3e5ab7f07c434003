/* From sowing days to what a season answers: best day, window, edge, cut range; then pick, type of
 * a date and span. Plain walks over days, in the words of the method. */
#ifndef ISW_TEST_REFERENCE_SEASON_H
#define ISW_TEST_REFERENCE_SEASON_H

#include "reference_years.h"

/* Scores within this of the highest are as good as it. */
enum { REFERENCE_TOP_TENTHS = 10 };

struct reference_answer {
  int best_day;         /* 0..364, or -1 */
  int shown_day;        /* whose limit and risks stand: the best day, or the one that speaks for
                           a season of zeros; -1: none matures, or all are cut outside */
  bool all_cut_outside; /* days had a score, none of them is cut within --cut */
  struct isw_window window;
  int years; /* of the best day, 0..10 */
  int edge;
  int cut_from_day, cut_to_day; /* 0..364, or -1 */
};

void reference_season(const struct reference_day days[ISW_YEAR_DAYS], struct isw_window season,
                      struct reference_answer *out);

struct reference_pick {
  int variety; /* sheet index, or -1 */
  bool risky;
};

/* results as isw_growth_result_index says; s: chosen season. */
struct reference_pick reference_pick(const struct isw_plan *plan, int s,
                                     const struct isw_result *results);

/* Sheet index of the first variety in the season's order whose window holds the day; -1: none. */
int reference_type(const struct isw_plan *plan, int s, const struct isw_result *results, int day);

struct reference_span {
  struct isw_window days;           /* days = 0: none */
  int first_type, last_type, types; /* sheet indexes, and how many different ones; -1, -1, 0 */
};
struct reference_span reference_span(const struct isw_plan *plan, int s, struct isw_window season,
                                     const struct isw_result *results);

#endif

/* How the real years of a station's record went (method, equations 21 to 23): per variety and
 * season in which of them a fixed sowing day was good, what went wrong in the others, the best
 * fixed day in hindsight, and whether the last years differ from those before. */
#ifndef ISW_SURVEY_BACKTEST_H
#define ISW_SURVEY_BACKTEST_H

#include "climate/station_record.h"
#include "growth/cell.h"

/* The record of a place, and the years that count, both included. */
struct isw_site_record {
  const struct isw_station_record *station; /* borrowed; NULL: none */
  int from_year, to_year;
  double away_km; /* of the station from the place */
};

/* One season of one real year, for one variety. */
struct isw_past_year {
  bool good;
  int fault; /* what went wrong, a limit code (growth/result.h); ISW_LIMIT_NOTHING if good, or
                without a fixed day, or where only the score asked for was not reached */
  int score_tenths; /* of the fixed sowing day in that year */
  int best_sow_day; /* of that year alone; -1: none */
};

/* The last years against those before. */
struct isw_trend {
  int n_recent, n_before;       /* years; 0: too few for this */
  int good_recent, good_before; /* of them, with a good fixed day */
  bool good_beyond_chance;
  int best_recent, best_before; /* of them, with a best day of their own */
  double shift_days;            /* how much later the mean best day became; NAN: not known */
  bool shift_beyond_chance;
};

struct isw_backtest_result {
  int sow_day; /* the fixed one: the best day of the normals; -1: none, then no year is good */
  int n_good;
  struct isw_past_year *years;       /* as its season has them */
  int hindsight_day, hindsight_good; /* the fixed day of most good years; -1, 0: none was good */
  struct isw_trend trend;
};

/* A season's real years: those that begin in from_year..to_year and have all their twelve months.
 */
struct isw_backtest_season {
  int n_years;
  int *years;   /* ascending; the year in which the season begins */
  int left_out; /* of from_year..to_year, for want of a month */
};

struct isw_backtest {
  char *station; /* whose record it is */
  double away_km;
  int from_year, to_year;
  int n_seasons, n_results;            /* the plan's */
  struct isw_backtest_season *seasons; /* chosen ones */
  struct isw_backtest_result *results; /* as isw_growth_result_index says */
};

enum {
  ISW_TREND_YEARS_LEAST = 40, /* with fewer nothing is said */
  ISW_TREND_RECENT_YEARS = 15
};

/* The twelve months from the month before day `begins_day` (0..364) on which a season begins in
 * `year`, put into calendar order, so that the wrap lies before the season; false: one is missing.
 */
bool isw_survey_real_year(const struct isw_station_record *station, int year, int begins_day,
                          struct isw_normals *out);

/* results: the place's, of the normals, as isw_growth_result_index says. New, to be freed. */
struct isw_backtest *isw_survey_new_backtest(const struct isw_plan *plan, bool south,
                                             const struct isw_result *results,
                                             const struct isw_site_record *record);
void isw_survey_free_backtest(struct isw_backtest *backtest); /* takes NULL */

/* What went wrong by how often: codes in *faults, their years in *counts, most frequent first, then
 * by code. Returns how many, at most ISW_FAULTS_MAX. */
enum { ISW_FAULTS_MAX = 2 * ISW_STAGES_MAX + 5 };
int isw_survey_count_faults(const struct isw_backtest_season *season,
                            const struct isw_backtest_result *result, int faults[ISW_FAULTS_MAX],
                            int counts[ISW_FAULTS_MAX]);

#endif

/* Ten equally likely years, the plain way: every shifted year's sums in double precision, and each
 * sowing day followed through its stages there (method, equation 13).
 * The reference of the program's own years; it shares no code with them. */
#ifndef ISW_TEST_REFERENCE_YEARS_H
#define ISW_TEST_REFERENCE_YEARS_H

#include "plain_path.h"

/* z of the first to fifth year of the warm side; the cold side's are their negatives: the middles
 * of the ten tenths of the standard normal distribution. */
enum { REFERENCE_SIDE_YEARS = 5 };
extern const double reference_year_z[REFERENCE_SIDE_YEARS];

/* What a season needs to know of a sowing day. */
struct reference_day {
  int tenths;           /* in the normal year */
  int growing_days;     /* 0: never matures in the normal year */
  int transplant_after; /* days; 0: direct or none */
  double least_fit;     /* min over stages, rounded to 1e-6 */
  int years;            /* 0..10; 0 throughout where years are not counted */
  bool cut_outside;     /* matures, but not to be cut within --cut */
  bool good;            /* in the normal year, in enough years, and cut within --cut */
};

/* Years of one side (0..5), asked from outside: good[i] is the answer in year i of the side, in
 * which 0 lies nearest to the normal year. Never more by a worse answer. */
int reference_side_years(const bool good[REFERENCE_SIDE_YEARS]);

/* The plan's year spread, or the place's own. */
double reference_year_spread_K(const struct isw_plan *plan, const struct isw_normals *normals);

/* Whether a crop cut on this day of the year (0..364) is cut within --cut. */
bool reference_cut_within(const struct isw_conditions *conditions, int harvest_day);

struct reference_memory {
  struct isw_year year;
  struct plain_programme_sums sums; /* of the normal year, after reference_score_days */
  struct isw_scores scores;         /* the same */
  struct plain_programme_sums shifted;
};

/* All 365 sowing days of a programme at a place. */
void reference_score_days(const struct isw_plan *plan, const struct isw_programme *programme,
                          const struct isw_normals *normals, struct reference_memory *memory,
                          struct reference_day days[ISW_YEAR_DAYS]);

#endif

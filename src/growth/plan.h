/* What the growing model is asked to compute: a crop sheet, a choice of varieties and seasons, and
 * the conditions. Made once, then read by every worker; it owns nothing but points into the sheet.
 */
#ifndef ISW_GROWTH_PLAN_H
#define ISW_GROWTH_PLAN_H

#include "base/dates.h"
#include "crop/sheet.h"

/* Conditions that are not in the sheet (design: shared options). */
struct isw_conditions {
  double good_score;    /* 0..100, default 70 */
  int least_years;      /* of ten, that a good day needs; 0..10, default 7; 0: years not counted */
  double spread_K;      /* standard deviation of single days about their normal, > 0, default 2.5 */
  double year_spread_K; /* standard deviation of whole years about the normal, >= 0, default 1.3;
                           a place's own comes first */
  bool own_year_spread; /* a raster gives every place its own: only to be told to readers */
  double warmer_K;      /* added to every normal, default 0 */
  int grown_under;      /* shelter index or ISW_OPEN_GROUND */
  int start;            /* enum isw_start for every season, or -1: as the seasons say */
  bool has_cut;         /* only sowings that are cut from cut_from_day to cut_to_day count */
  int cut_from_day, cut_to_day; /* 0..364 inclusive; from > to: across New Year. Dates of the
                                   calendar: not shifted in the south */
};

/* One variety with one start under the same shelters: the unit for which sowing days are scored. */
struct isw_programme {
  int variety; /* index into the sheet */
  enum isw_start start;
  bool bolts;
  double bolts_safe, bolts_all;
  int transplant_stage; /* index, or -1 */
  struct isw_stage stages[ISW_STAGES_MAX];
};

enum { ISW_PROGRAMMES_MAX = ISW_WAYS_MAX };

struct isw_plan {
  const struct isw_sheet *sheet;
  struct isw_conditions conditions;
  bool among_others; /* results of several crops share a folder: their names say the crop */
  int n_varieties, n_seasons; /* chosen ones, in sheet order */
  int varieties[ISW_VARIETIES_MAX];
  int seasons[ISW_SEASONS_MAX];
  int n_programmes;
  struct isw_programme programmes[ISW_PROGRAMMES_MAX];
  /* programme of chosen variety v in chosen season s */
  int programme_of[ISW_VARIETIES_MAX][ISW_SEASONS_MAX];
};

/* Every field at the default that struct isw_conditions names. */
struct isw_conditions isw_growth_default_conditions(void);

/* varieties/seasons: sheet indexes in any order, or n = 0 for all; duplicates count once.
 * Cannot fail on indexes that are in range. sheet is borrowed by *out and must outlive it;
 * conditions are copied. */
void isw_growth_make_plan(const struct isw_sheet *sheet, const struct isw_conditions *conditions,
                          int n_varieties, const int *varieties, int n_seasons, const int *seasons,
                          struct isw_plan *out);

/* The plan for dates outside every season: the same choice, each variety from a nursery (unless the
 * conditions say how to start) and without shelters that the sheet keeps for some seasons. All
 * seasons of *out have the one programme of each variety. */
void isw_growth_make_plan_elsewhere(const struct isw_plan *plan, struct isw_plan *out);

/* Results of a cell are laid out [chosen variety][chosen season]. v: 0..n_varieties-1, s:
 * 0..n_seasons-1. */
static inline int isw_growth_result_index(const struct isw_plan *plan, int v, int s) {
  return v * plan->n_seasons + s;
}

/* Place of a sheet's variety among the chosen ones, or -1: not chosen. */
static inline int isw_growth_chosen_variety(const struct isw_plan *plan, int variety) {
  for (int v = 0; v < plan->n_varieties; v++)
    if (plan->varieties[v] == variety) return v;
  return -1;
}

#endif

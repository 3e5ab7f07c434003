/* One place's whole answer: what the rasters say there, and the detail behind it: every sowing day,
 * the stages of the best day, further windows, picks and spans. What `site`, its chart and its
 * calendar are made from. */
#ifndef ISW_SURVEY_PLACE_H
#define ISW_SURVEY_PLACE_H

#include <stdbool.h>

#include "growth/cell.h"
#include "growth/span.h"
#include "growth/windows.h"
#include "survey/backtest.h"
#include "survey/what_opens.h"

/* A place to be asked about. Strings are borrowed. */
struct isw_site {
  const char *name;
  const char *lat_text, *lon_text; /* as given */
  double lat_deg, lon_deg;
  bool south; /* southern seasons */
  struct isw_normals normals;
  const char *period; /* NULL: not stated */
  struct isw_site_record record;
  bool no_data; /* its normals cannot be right: the place is named, and nothing said of it */
};

enum { ISW_OTHER_WINDOWS_MAX = ISW_YEAR_DAYS / 2 }; /* runs of good days with a gap each */

/* One variety in one season. Days 0..364, -1: none. */
struct isw_place_result {
  struct isw_result result; /* isw_growth_cell's: what the rasters hold */
  int n_other_windows;      /* the season's further runs of good days */
  struct isw_window other_windows[ISW_OTHER_WINDOWS_MAX]; /* in season order */
  struct isw_sowing sowing; /* the best day in full; matures = false without a best day */
};

/* One season. */
struct isw_place_season {
  struct isw_window sowing_dates; /* the season's, in this hemisphere */
  struct isw_pick pick;
  struct isw_span span;
  struct isw_opening opening; /* without a window: what it would take */
};

struct isw_place {
  char *name, *lat_text, *lon_text, *period; /* period NULL: not stated */
  double lat_deg, lon_deg;
  bool south;
  struct isw_normals normals;             /* as given: without the plan's warmer_K */
  struct isw_year year;                   /* daily, with it */
  int n_results, n_seasons, n_programmes; /* the plan's */
  struct isw_place_result *results;       /* as isw_growth_result_index says */
  struct isw_place_season *seasons;       /* chosen seasons */
  struct isw_scores *scores;              /* every sowing day of the plan's programmes */
  struct isw_backtest *backtest;          /* NULL: no record */
  bool no_data;                           /* as the site: nothing here is to be told */
};

/* Everything about one place; new, to be freed. */
struct isw_place *isw_survey_new_place(const struct isw_plan *plan, const struct isw_site *site);
void isw_survey_free_place(struct isw_place *place); /* takes NULL */

/* Only the rasters' numbers of many sites, by `threads` (1..) threads, in order:
 * results[site][isw_growth_result_index]. */
void isw_survey_run_sites(const struct isw_plan *plan, int n_sites, const struct isw_site *sites,
                          int threads, struct isw_result *results);

/* The same in full: places[n_sites], new. brief: all that cards say, at a fraction of the cost: the
 * sowing days only of what the types to choose grow by, their years (and so `good`) only where
 * something is told of them; the rest is 0. */
void isw_survey_new_places(const struct isw_plan *plan, int n_sites, const struct isw_site *sites,
                           int threads, bool brief, struct isw_place **places);

#endif

/* Published local calendars against the model: how far do they agree? */
#ifndef ISW_SURVEY_PLACE_DATES_H
#define ISW_SURVEY_PLACE_DATES_H

#include "survey/place.h"

struct isw_published {
  char *name, *season_name;
  int season; /* index of the plan's chosen seasons, or -1 until matched */
  int site;   /* index of the sites, or -1 until matched */
  struct isw_window window;
  int line; /* in the file */
};

struct isw_published_list {
  int count;
  struct isw_published *items;
};

/* Read name,season,sow_from,sow_to (columns by name, dates MM-DD, any order, further columns
 * ignored) and match names with the sites and the plan's seasons. ISW_INPUT_FILE; ISW_INPUT_CONTENT
 * "file:line: ...": a missing column, a date that does not exist, an unknown station or season.
 * *out is to be freed. */
enum isw_status isw_survey_read_published(const char *path, const struct isw_plan *plan,
                                          int n_sites, const struct isw_site *sites,
                                          struct isw_published_list *out, struct isw_error *error);
/* Release the list's items; the list itself is the caller's. */
void isw_survey_free_published(struct isw_published_list *list);

enum isw_agreement { ISW_AGREES, ISW_AGREES_PARTLY, ISW_DIFFERS };
/* Shares of the published days that are good, from which they agree, or do partly (ours). */
#define ISW_AGREES_SHARE 0.8
#define ISW_AGREES_PARTLY_SHARE 0.3
/* share: 0..1. */
static inline enum isw_agreement isw_survey_judge_share(double share) {
  return share >= ISW_AGREES_SHARE          ? ISW_AGREES
         : share >= ISW_AGREES_PARTLY_SHARE ? ISW_AGREES_PARTLY
                                            : ISW_DIFFERS;
}

struct isw_date_agreement {
  int good_days; /* of the published days, good for any variety of the plan */
  double share;  /* of the published days, 0..1 */
  enum isw_agreement verdict;
  int variety;      /* the pick's, or without one the best's, chosen index; -1: none matures */
  int best_sow_day; /* its best day, or -1 */
  int days_off;     /* from the published window to it: 0 inside, negative before, else after */
};

/* How one published window (its season matched) agrees with the place's sowing days. */
void isw_survey_compare_dates(const struct isw_plan *plan, const struct isw_place *place,
                              const struct isw_published *published,
                              struct isw_date_agreement *out);

#endif

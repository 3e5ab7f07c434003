/* What it would take for a season without a window: a shelter over the field stages, another start,
 * or a year of other temperatures (method, equation 19). */
#ifndef ISW_SURVEY_WHAT_OPENS_H
#define ISW_SURVEY_WHAT_OPENS_H

#include "growth/cell.h"
#include "growth/pick.h"

enum isw_opener {
  ISW_OPENS_ITSELF,  /* the season has a window as it is */
  ISW_OPENS_SHELTER, /* under `shelter` */
  ISW_OPENS_START,   /* with `start` */
  ISW_OPENS_SHIFT,   /* with every normal `shift_K` warmer */
  ISW_OPENS_NOT      /* nothing that was tried */
};

struct isw_opening {
  enum isw_opener by;
  int shelter;          /* sheet index; of ISW_OPENS_SHELTER */
  enum isw_start start; /* of ISW_OPENS_START */
  double shift_K;       /* of ISW_OPENS_SHIFT; below 0: cooler */
  /* What can be sown then; of these three. */
  int variety;              /* sheet index of the type to choose */
  struct isw_result result; /* its, with a window */
};

/* The greatest shift that is tried, K. */
double isw_survey_greatest_shift_K(void);

struct isw_what_opens; /* of one plan, for one worker */

/* plan is borrowed and must outlive it. New, to be freed. */
struct isw_what_opens *isw_survey_new_what_opens(const struct isw_plan *plan);
void isw_survey_free_what_opens(struct isw_what_opens *opens); /* takes NULL */

/* Of chosen season s at a place; results: the place's, as isw_growth_result_index says; normals and
 * south as isw_growth_cell has them. */
void isw_survey_find_opening(struct isw_what_opens *opens, const struct isw_normals *normals,
                             bool south, int s, const struct isw_result *results,
                             struct isw_opening *out);

/* The plan under another condition: shelter over the field stages, ISW_OPEN_GROUND: none. New. */
struct isw_plan *isw_survey_new_sheltered_plan(const struct isw_plan *plan, int shelter);

#endif

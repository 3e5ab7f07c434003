/* The two sides of a comparison as the command line names them. */
#ifndef ISW_JOBS_COMPARE_SIDES_H
#define ISW_JOBS_COMPARE_SIDES_H

#include "jobs/run_inputs.h"

struct isw_compare_side {
  struct isw_sheet *sheet; /* ours; both sides' the same one where they name the same sheet */
  struct isw_plan *plan;   /* one variety, the seasons both have, in A's sheet order for A */
  char *label;             /* for file names */
  char *title;             /* for people */
};

struct isw_compare_sides {
  struct isw_compare_side a, b;
  int n_seasons;
  /* index into each plan's chosen seasons */
  int a_season[ISW_SEASONS_MAX], b_season[ISW_SEASONS_MAX];
};

/* "VARIETY" of --crop, or "SHEET:VARIETY". Seasons are matched by name; those that only one side
 * has are told to log and left out. ISW_USAGE for names, and for sides whose file names would
 * coincide; ISW_INPUT_*: a sheet. *out is new; free also after failure. */
enum isw_status isw_jobs_make_compare_sides(const struct isw_options *options, const char *a,
                                            const char *b, struct isw_log *log,
                                            struct isw_compare_sides *out, struct isw_error *error);
/* Release what sides holds; the struct is the caller's. */
void isw_jobs_free_compare_sides(struct isw_compare_sides *sides);

#endif

/* What `site` answers beside its card: what if I sow then, every sowing day, a planting plan. */
#ifndef ISW_JOBS_SITE_DAYS_H
#define ISW_JOBS_SITE_DAYS_H

#include "jobs/request.h"
#include "output/place_card.h"

struct isw_days_request {
  const struct isw_request *request;
  int n_crops;
  struct isw_plan *const *plans;
  int n_sites;
  const struct isw_site *sites;
  enum isw_site_format format;
  struct isw_card_options card; /* for text */
};

/* Options that do not go together, and a table that is there: ISW_USAGE, ISW_USAGE_EXISTS. */
enum isw_status isw_jobs_check_days_options(const struct isw_options *options,
                                            enum isw_site_format format, struct isw_error *error);

/* --days: the table of every site. ISW_OUTPUT; nothing is left then. */
enum isw_status isw_jobs_write_days(const struct isw_days_request *days, struct isw_error *error);

/* --sow: every site, as text, JSON or rows. Of several crops the text says first what of each can
 * be sown on that date. */
enum isw_status isw_jobs_answer_sowing(const struct isw_days_request *days,
                                       struct isw_error *error);

/* --cut with --every: the one site, a plan for each crop. ISW_USAGE: there are several. */
enum isw_status isw_jobs_answer_planting_plan(const struct isw_days_request *days,
                                              struct isw_error *error);

#endif

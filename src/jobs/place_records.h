/* The records of a guide's named places, from --record; and what is said about them. */
#ifndef ISW_JOBS_PLACE_RECORDS_H
#define ISW_JOBS_PLACE_RECORDS_H

#include "jobs/options.h"
#include "regions/place_list.h"
#include "survey/backtest.h"

struct isw_place_records {
  struct isw_record *record;      /* NULL: none is asked for */
  struct isw_site_record *places; /* as the list has them; station NULL: none */
};

/* *out is to be freed, also after failure. ISW_USAGE: no places, years that run backwards, a record
 * that has no station for any of them; ISW_INPUT_*: the record. */
enum isw_status isw_jobs_open_place_records(const struct isw_options *options,
                                            const struct isw_place_list *places,
                                            struct isw_log *log, struct isw_place_records *out,
                                            struct isw_error *error);
/* Release what records holds; the struct is the caller's. */
void isw_jobs_free_place_records(struct isw_place_records *records);

#endif

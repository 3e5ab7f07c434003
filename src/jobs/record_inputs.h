/* A record of stations and what of it counts, from options; and what is said about it. */
#ifndef ISW_JOBS_RECORD_INPUTS_H
#define ISW_JOBS_RECORD_INPUTS_H

#include "jobs/options.h"
#include "survey/record_normals.h"

/* The record, with --station only that station of it (ISW_USAGE: it is not there), and the period
 * and rules for its normals; a year that is not given is the record's first or last. *record is
 * new, isw_climate_free_record. ISW_USAGE, ISW_INPUT_*. */
enum isw_status isw_jobs_read_record(const struct isw_options *options, struct isw_log *log,
                                     struct isw_record **record, struct isw_record_request *rules,
                                     struct isw_error *error);

/* The station that --station means: its id, or its name as isw_jobs_find_station has it. NULL with
 * a message (ISW_USAGE) for none or several. */
const struct isw_station_record *isw_jobs_find_record_station(const struct isw_record *record,
                                                              const char *wanted,
                                                              struct isw_error *error);

/* "1961-1990"; new. */
char *isw_jobs_record_period(const struct isw_record_request *rules);

/* Whether a place at this latitude has southern seasons. */
bool isw_jobs_is_south(const struct isw_options *options, double lat_deg);

/* Normals of all stations: [record->count], new, g_free. Says what the period is called, which
 * stations lack months or year spread. ISW_INPUT_CONTENT: no station has normals. */
enum isw_status isw_jobs_make_record_normals(const struct isw_options *options,
                                             const struct isw_record *record,
                                             const struct isw_record_request *rules,
                                             struct isw_log *log, struct isw_record_normals **out,
                                             struct isw_error *error);

#endif

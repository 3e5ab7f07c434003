/* run.json: what was run on what, and the checksum of everything it made. */
#ifndef ISW_OUTPUT_RUN_RECORD_H
#define ISW_OUTPUT_RUN_RECORD_H

#include "climate/climate.h"
#include "crop/sheet.h"
#include "output/run_facts.h"

struct isw_run_option {
  const char *name, *value;
};

/* Cells with a window, of one variety in one season. */
struct isw_run_window_count {
  const char *variety, *season;
  long long cells;
};

struct isw_run_record {
  const char *command_name; /* "map" */
  int argc;
  const char *const *argv; /* the command line as typed */
  const struct isw_climate *climate;
  const struct isw_run_facts *facts; /* instead of climate; NULL: noted from it */
  const struct isw_sheet *sheet;
  const char *districts;  /* vector source that is drawn or counted, NULL: none */
  const char *drawn_with; /* libraries that drew the pages and their versions, NULL: no pages */
  int n_options;          /* what was in force, defaults included, threads left out */
  const struct isw_run_option *options;
  struct isw_climate_counts counts;
  int n_window_counts;
  const struct isw_run_window_count *window_counts;
  int n_results; /* names as given to isw_output_temporary_path */
  const char *const *results;
  int threads;
  double wall_seconds;
};

/* Write the record into the folder's temporary place, under "run.json". ISW_OUTPUT; ISW_INPUT_FILE
 * when an input cannot be read for its checksum. */
enum isw_status isw_output_write_run_record(const struct isw_run_record *record,
                                            struct isw_folder *folder, struct isw_error *error);

/* An earlier run in a results folder beside one that is about to start. */
enum isw_run_match_kind {
  ISW_RUN_NONE,    /* there is no record */
  ISW_RUN_OTHER,   /* its inputs, options, versions or results are others; what: the record's member
                    */
  ISW_RUN_DAMAGED, /* the same run, but a result is missing or has changed; what: says which */
  ISW_RUN_SAME     /* the same run, and every result has the checksum recorded */
};
struct isw_run_match {
  enum isw_run_match_kind kind;
  char what[256];
};

/* Compare what decides the results' bytes with DIR's run.json, then the results with their recorded
 * checksums. Of record, what only a finished run knows (counts, time) is not read. Reads every
 * input once. ISW_INPUT_FILE. */
enum isw_status isw_output_match_run_record(const struct isw_run_record *record, const char *dir,
                                            struct isw_run_match *out, struct isw_error *error);

#endif

/* Is the run that is about to start the one whose results are there? */
#ifndef ISW_OUTPUT_RUN_MATCH_H
#define ISW_OUTPUT_RUN_MATCH_H

#include "output/run_decisions.h"

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

/* Compare what decides the results' bytes with DIR's run.json, then the n results named, in the
 * record's order, with their recorded checksums, on up to `threads` threads. A record that is too
 * deep, too long or no JSON is that of another run. ISW_INPUT_FILE: districts cannot be read. */
enum isw_status isw_output_match_run_record(const struct isw_run_decisions *run, int n_results,
                                            const char *const *results, const char *dir,
                                            int threads, struct isw_run_match *out,
                                            struct isw_error *error);

#endif

/* run.json: what was run on what, and the checksum of everything it made. */
#ifndef ISW_OUTPUT_RUN_RECORD_H
#define ISW_OUTPUT_RUN_RECORD_H

#include "climate/climate.h"
#include "output/folder.h"
#include "output/run_decisions.h"

/* Cells with a window, of one variety in one season. */
struct isw_run_window_count {
  const char *crop; /* NULL: of the only crop */
  const char *variety, *season;
  long long cells;
};

struct isw_run_record {
  struct isw_run_decisions decisions;
  int argc;
  const char *const *argv; /* the command line as typed */
  struct isw_climate_counts counts;
  long long kept_cells; /* of those computed, which count in the mask; 0: there is none */
  int n_window_counts;
  const struct isw_run_window_count *window_counts;
  int n_results; /* names as given to isw_output_temporary_path */
  const char *const *results;
  int threads;
  double wall_seconds;
};

/* Write the record into the folder's temporary place, under "run.json". ISW_OUTPUT; ISW_INPUT_FILE
 * when districts or a result cannot be read for their checksum. */
enum isw_status isw_output_write_run_record(const struct isw_run_record *record,
                                            struct isw_folder *folder, struct isw_error *error);

#endif

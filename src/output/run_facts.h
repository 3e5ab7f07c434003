/* What a run read and understood, in the form run.json states it: noted from an open climate, or
 * brought along by part files. */
#ifndef ISW_OUTPUT_RUN_FACTS_H
#define ISW_OUTPUT_RUN_FACTS_H

#include "climate/climate.h"
#include "output/checksum.h"

struct isw_run_input {
  char *file; /* as it was given */
  long long size;
  char sha256[ISW_CHECKSUM_SIZE];
};

struct isw_run_facts {
  struct isw_grid grid;
  char *period; /* NULL: not stated */
  int n_inputs;
  struct isw_run_input *inputs;
  int n_understood;
  char **understood; /* one line per source */
};

/* What climate has read and understood. Reads every input file once for its checksum, several at a
 * time with several threads. *out is new, to be cleared. ISW_INPUT_FILE. */
enum isw_status isw_output_note_facts(const struct isw_climate *climate, int threads,
                                      struct isw_run_facts *out, struct isw_error *error);
void isw_output_clear_facts(struct isw_run_facts *facts); /* takes all zeros */

#endif

/* The members of run.json that decide what the results' bytes are. Room-internal: written with
 * every record, and compared by output/run_match.c. */
#ifndef ISW_OUTPUT_RUN_DECISIONS_H
#define ISW_OUTPUT_RUN_DECISIONS_H

#include <json-glib/json-glib.h>

#include "output/run_record.h"

/* Into the object that is open in builder. Reads districts for their checksums. ISW_INPUT_FILE. */
enum isw_status isw_output_add_run_decisions(JsonBuilder *builder,
                                             const struct isw_run_record *record,
                                             const struct isw_run_facts *facts,
                                             struct isw_error *error);

#endif

/* What normals made from series are of: normals.json, the same bytes for any number of threads; and
 * the folder's run.json, which vouches for the results. */
#ifndef ISW_OUTPUT_NORMALS_RECORD_H
#define ISW_OUTPUT_NORMALS_RECORD_H

#include "output/folder.h"
#include "survey/series_normals.h"

struct isw_normals_record {
  const struct isw_series *tmin, *tmax;
  const struct isw_record_request *rules;
  const struct isw_series_counts *counts;
  int argc;
  const char *const *argv; /* the command line as typed */
  int n_results;           /* normals.json among them */
  const char *const *results;
  int threads;
  double wall_seconds;
};

extern const char isw_output_normals_name[]; /* "normals.json" */

/* Both into the folder's temporary place; every other result is there. Reads all inputs and results
 * for their checksums. ISW_OUTPUT, ISW_INPUT_FILE. */
enum isw_status isw_output_write_normals_record(const struct isw_normals_record *record,
                                                struct isw_folder *folder, struct isw_error *error);

#endif

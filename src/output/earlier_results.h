/* What lies in a results folder before a run puts its own there: what of it may be replaced, what
 * must stay. */
#ifndef ISW_OUTPUT_EARLIER_RESULTS_H
#define ISW_OUTPUT_EARLIER_RESULTS_H

#include <glib.h>
#include <stdbool.h>

#include "base/status.h"
#include "output/file_identity.h"

/* run.json, the last result to be put in place. */
extern const char isw_output_record_name[];

/* A result that a record lists. */
struct isw_listed_result {
  char *name;   /* a plain name: no way out of the folder */
  char *sha256; /* lower-case hex */
};

/* The results listed in a record file (struct isw_listed_result each); empty without a record that
 * can be read. New, g_ptr_array_unref. */
GPtrArray *isw_output_list_recorded(const char *record_path);

/* Whether folder dir holds, under their names, the very bytes that are listed: a flag per result,
 * new, g_free. Reads them all, on up to `threads` threads. */
bool *isw_output_find_unchanged(const char *dir, const GPtrArray *listed, int threads);

/* How far a run may go with what is in its way. */
enum isw_replace {
  ISW_REPLACE_NOTHING,
  ISW_REPLACE_RESULTS, /* what its maker's record vouches for, links, and what no record lists */
  ISW_REPLACE_DAMAGED  /* also results that were changed since they were made */
};

/* Files in dir that may make room: name -> struct isw_file_identity *, as found now. Made of the
 * names that the run will make, run.json, and what an earlier record lists and still vouches for;
 * a file that was changed since, or that is one of the run's inputs, never makes room. */
struct isw_earlier_request {
  const char *dir;
  enum isw_replace replace;
  bool no_record; /* the run makes no run.json: it adds to a folder, and replaces only its own names
                   */
  int n_names;
  const char *const *names;
  int n_inputs;
  const char *const *inputs; /* paths */
  int threads;
};

/* *out is new, g_hash_table_unref. ISW_USAGE: a file with the name of one of the run's results must
 * not be replaced; the message names it and says why. ISW_OUTPUT: a file there cannot be read. */
enum isw_status isw_output_find_replaceable(const struct isw_earlier_request *request,
                                            GHashTable **out, struct isw_error *error);

#endif

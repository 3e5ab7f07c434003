/* The run that parts belong to, as text inside every part: all that joining needs, so that the
 * inputs need not be there any more, and the run's fingerprint: parts with the same text belong
 * together. */
#ifndef ISW_OUTPUT_PART_RUN_H
#define ISW_OUTPUT_PART_RUN_H

#include "output/run_facts.h"

/* An option in force; a list is several with one name. */
struct isw_part_option {
  char *name, *value;
};

struct isw_part_run {
  char *isosow, *gdal; /* versions */
  struct isw_run_facts facts;
  char *source_line;
  char *sheet_origin, *sheet_text;
  int n_options;
  struct isw_part_option *options;
};

/* New text, g_free. The same run gives the same bytes. */
char *isw_output_write_part_run(const struct isw_part_run *run);

/* *out is to be cleared. ISW_INPUT_CONTENT: not such a text; name is put in front of the message.
 */
enum isw_status isw_output_read_part_run(const char *text, const char *name,
                                         struct isw_part_run *out, struct isw_error *error);
void isw_output_clear_part_run(struct isw_part_run *run); /* takes all zeros */

/* NULL when both texts are one run; else what differs first ("inputs", "option good"); new. */
char *isw_output_compare_part_runs(const char *a, const char *b);

#endif

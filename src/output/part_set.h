/* The parts of a run in their folder: are they all there, each once, and of one run? */
#ifndef ISW_OUTPUT_PART_SET_H
#define ISW_OUTPUT_PART_SET_H

#include "output/part_file.h"

/* Where the parts of a results folder lie: "DIR/parts"; new, g_free. */
char *isw_output_parts_folder(const char *dir);

struct isw_part_set {
  int n_parts;
  char **paths; /* in order */
  char *run;    /* the run's text */
};

/* Look at every part in the folder. ISW_INPUT_FILE: there is none, or some are missing (named).
 * ISW_INPUT_CONTENT: one is cut, doubled, of another run, or of another number of parts; the
 * message names it and what differs. *out is to be cleared. */
enum isw_status isw_output_find_parts(const char *dir, struct isw_part_set *out,
                                      struct isw_error *error);
void isw_output_clear_parts(struct isw_part_set *set); /* takes all zeros */

#endif

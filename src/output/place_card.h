/* The window card: a place's answer as text of 80 columns for a grower, the answer first. */
#ifndef ISW_OUTPUT_PLACE_CARD_H
#define ISW_OUTPUT_PLACE_CARD_H

#include <glib.h>

#include "survey/place.h"

enum { ISW_CARD_COLUMNS = 80 };

struct isw_card_options {
  bool fahrenheit;
  bool bold;        /* headings, for a terminal */
  int this_year;    /* by which normals are called old: words/cautions.h */
  const char *note; /* a remark on the place, or NULL */
};

/* Append the whole card. */
void isw_output_append_place_card(GString *out, const struct isw_plan *plan,
                                  const struct isw_place *place,
                                  const struct isw_card_options *options);

#endif

/* How a text card is set. */
#ifndef ISW_OUTPUT_CARD_OPTIONS_H
#define ISW_OUTPUT_CARD_OPTIONS_H

#include <stdbool.h>

enum { ISW_CARD_COLUMNS = 80 };

struct isw_card_options {
  bool fahrenheit;
  bool bold;        /* headings, for a terminal */
  int this_year;    /* by which normals are called old: words/cautions.h */
  const char *note; /* a remark on the place, or NULL */
};

#endif

/* What was asked for beside the usual, in words, so that no printed page hides it. */
#ifndef ISW_WORDS_CONDITION_WORDS_H
#define ISW_WORDS_CONDITION_WORDS_H

#include <glib.h>

#include "growth/plan.h"

/* Append a sentence, each with a space before it, for every condition of the plan that is not the
 * default; nothing for NULL. Differences in degF when `fahrenheit`. */
void isw_words_append_conditions(GString *out, const struct isw_plan *plan, bool fahrenheit);

#endif

/* Plain words for what the model says about a place: how good, how risky, what limits it. They are
 * made from limit codes and stage names, so they serve any sheet; stages that many crops have get
 * better words. */
#ifndef ISW_OUTPUT_PLACE_WORDS_H
#define ISW_OUTPUT_PLACE_WORDS_H

#include <glib.h>

#include "survey/place.h"

/* "hearts form in too much heat", "may bolt after a cold spring", ...; "" for nothing. New. */
char *isw_output_limit_words(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct isw_place *place, const struct isw_place_result *result);

/* "start seed indoors", "... in the shade", "sow in place": by the first stage's shelter and what
 * it does on those days. New. */
char *isw_output_start_words(const struct isw_plan *plan, const struct isw_programme *programme,
                             const struct isw_place *place, const struct isw_place_result *result);

/* Append text in lines of at most `width` columns (East Asian wide characters count 2), the first
 * continuing at column `at`, further ones indented; ends with a line break. Words longer than a
 * line stay whole. */
void isw_output_append_wrapped(GString *out, const char *text, int at, int indent, int width);
int isw_output_columns(const char *text);

/* The year a period ends in ("1991-2020": 2020), or 0. */
int isw_output_period_end(const char *period);

#endif

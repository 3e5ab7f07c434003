/* A place's calendar as iCalendar (RFC 5545): for each crop a yearly all-day event for the sowing
 * window, with an alarm a week before, for each task, and for the cut; where no season has a crop,
 * a journal entry that says so. UIDs depend on crop sheet, place, season, variety and task only, so
 * that importing again replaces instead of doubling. */
#ifndef ISW_OUTPUT_PLACE_ICS_H
#define ISW_OUTPUT_PLACE_ICS_H

#include <glib.h>

#include "survey/place.h"

/* A calendar: start, place by place, end. */
void isw_output_append_ics_start(GString *out);

/* now: seconds since 1970, the events' DTSTAMP; its year is that of each crop's first sowing day.
 */
void isw_output_append_ics_place(GString *out, const struct isw_plan *plan,
                                 const struct isw_place *place, gint64 now);
void isw_output_append_ics_end(GString *out);

/* Room-internal, for its tests: one content line, text already escaped, folded at 75 octets
 * without splitting a character. */
void isw_output_append_ics_line(GString *out, const char *name, const char *value);

/* A text value escaped: backslash, semicolon, comma, line break; control characters go. New. */
char *isw_output_escape_ics(const char *text);

#endif

/* A place's calendar as iCalendar (RFC 5545): for each crop that is not risky yearly all-day events
 * for the sowing window and the cut (on their ends where they are longer than six weeks) and for
 * each task; an alarm the evening before the best day, transplanting, the first test and the cut;
 * where no season has a crop, a journal entry that says so. The guide's page makes the same bytes
 * (calendarFile in page.js). UIDs depend on crop sheet, place, season, variety and task only, so
 * that importing again replaces instead of doubling. Of several crops every event names its own. */
#ifndef ISW_OUTPUT_PLACE_ICS_H
#define ISW_OUTPUT_PLACE_ICS_H

#include <glib.h>

#include "survey/place.h"

/* A calendar: start, place by place, end. */
void isw_output_append_ics_start(GString *out);

/* now: seconds since 1970, the events' DTSTAMP; its year is that of each crop's best
 * sowing day. */
void isw_output_append_ics_place(GString *out, const struct isw_plan *plan,
                                 const struct isw_place *place, gint64 now, bool several_crops);
void isw_output_append_ics_end(GString *out);

/* Room-internal, for its tests: one content line, text already escaped, folded at 75 octets
 * without splitting a character. */
void isw_output_append_ics_line(GString *out, const char *name, const char *value);

/* A text value escaped: backslash, semicolon, comma, line break; control characters go. New. */
char *isw_output_escape_ics(const char *text);

#endif

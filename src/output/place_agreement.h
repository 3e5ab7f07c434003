/* How far published calendars and the model agree, a row each and a summary. */
#ifndef ISW_OUTPUT_PLACE_AGREEMENT_H
#define ISW_OUTPUT_PLACE_AGREEMENT_H

#include <glib.h>

#include "survey/place_dates.h"

/* Append the head, and a row: as CSV, or (csv false) as text for people. CSV:
 * name,season,sow_from,sow_to,published_days,good_days,share,verdict,variety,best_sow,days_off
 */
void isw_output_append_agreement_header(GString *out, bool csv);
void isw_output_append_agreement_row(GString *out, bool csv, const struct isw_plan *plan,
                                     const struct isw_published *published,
                                     const struct isw_date_agreement *agreement);

/* A few lines of text over all rows. */
void isw_output_append_agreement_summary(GString *out, int count,
                                         const struct isw_date_agreement *agreements);

#endif

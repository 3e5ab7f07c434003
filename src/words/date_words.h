/* Dates as readers see them. Files and scripts get base/dates.h's. */
#ifndef ISW_WORDS_DATE_WORDS_H
#define ISW_WORDS_DATE_WORDS_H

#include "base/dates.h"

/* Each writes into out (ISW_DATE_SIZE) and returns it. day: any integer, wrapped; period: 0..35. */
const char *isw_words_short_date(int day, char *out); /* "5 Aug" */
const char *isw_words_long_date(int day, char *out);  /* "5 August" */
const char *isw_words_period(int period, char *out);  /* "early Aug" */

/* "August" and "Aug" of month 0..11. Not to be freed. */
const char *isw_words_month(int month);
const char *isw_words_short_month(int month);

#endif

/* Dates as readers see them. Files and scripts get base/dates.h's. */
#ifndef ISW_WORDS_DATE_WORDS_H
#define ISW_WORDS_DATE_WORDS_H

#include <stdbool.h>

#include "base/dates.h"
#include "words/sentences.h"

/* How dates are written: "15 Apr", "Apr 15", "15.4.". */
enum isw_date_style { ISW_DATES_DAY_FIRST, ISW_DATES_MONTH_FIRST, ISW_DATES_NUMBERS };

/* Of this process from now on, as its language is: to be set before any thread writes dates. Day
 * first until then. */
void isw_words_set_date_style(enum isw_date_style style);
enum isw_date_style isw_words_date_style(void);

/* The sentence that writes a short or long date in that style, with the day of the month and the
 * month's name, or where dates are numbers its number: for who fills templates elsewhere. */
enum isw_sentence isw_words_date_form(bool long_date);

/* Each writes into out (ISW_DATE_SIZE) and returns it. day: any integer, wrapped; period: 0..35. */
const char *isw_words_short_date(int day, char *out); /* "5 Aug" */
const char *isw_words_long_date(int day, char *out);  /* "5 August" */
const char *isw_words_period(int period, char *out);  /* "early Aug" */

/* "August" and "Aug" of month 0..11. Not to be freed. */
const char *isw_words_month(int month);
const char *isw_words_short_month(int month);

#endif

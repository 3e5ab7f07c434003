/* Days of the 365-day year: day 0 is 1 January, day 364 is 31 December; 29 February does not exist.
 * Outside dates are day of year 1-365 or "MM-DD"; what readers see is words/date_words.h's. */
#ifndef ISW_BASE_DATES_H
#define ISW_BASE_DATES_H

#include <stdbool.h>
#include <stddef.h>

enum { ISW_YEAR_DAYS = 365, ISW_YEAR_MONTHS = 12, ISW_TEN_DAY_PERIODS = 36 };
enum { ISW_HALF_YEAR_DAYS = 182 }; /* what the southern hemisphere's seasons are shifted by */
enum { ISW_DATE_SIZE = 64 };       /* room for a date as text, in any language, with its NUL */

/* Days in month 0..11, and the day (0..364) on which month 0..12 starts (month 12: 365). */
extern const int isw_base_month_days[ISW_YEAR_MONTHS];
extern const int isw_base_month_start[ISW_YEAR_MONTHS + 1];

/* Any integer brought into 0..364. */
int isw_base_wrap_day(int day);

/* Days from `from` forward to `to`, 0..364, both any integer. */
int isw_base_days_forward(int from, int to);

/* Month 1..12 and day of month 1..31 to day 0..364; -1 for a date that does not exist. */
int isw_base_day_of_date(int month, int day_of_month);

/* Day (any integer, wrapped) to month 1..12 and day of month 1..31. */
void isw_base_date_of_day(int day, int *month, int *day_of_month);

/* Ten-day period 0..35 of a day: early (1-10), mid (11-20), late (21-end) of each month. */
int isw_base_ten_day_period(int day);

/* "MM-DD" to day 0..364; -1 when it is not such a date. */
int isw_base_parse_month_day(const char *text);

/* Writes "08-05" into out (ISW_DATE_SIZE) and returns it. */
const char *isw_base_format_month_day(int day, char *out);

/* "August" and "Aug" of month 0..11, as inputs and messages about them have it. */
const char *isw_base_month_name(int month);
const char *isw_base_month_abbreviation(int month);

#endif

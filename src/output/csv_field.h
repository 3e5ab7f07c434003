/* Fields of CSV files (RFC 4180). */
#ifndef ISW_OUTPUT_CSV_FIELD_H
#define ISW_OUTPUT_CSV_FIELD_H

#include <glib.h>

/* Append a text, quoted where it needs to be. */
void isw_output_append_csv_text(GString *line, const char *text);

/* The same of a name from outside in a table that people open in a spreadsheet: one that begins
 * with = + - @, a tab or a carriage return would be computed there, and gets an apostrophe in front
 * (OWASP, CSV injection). */
void isw_output_append_csv_name(GString *line, const char *name);

/* What stands before all else in a table of several crops: in its header, and, the crop's id, in a
 * row. */
extern const char isw_output_crop_column[];
void isw_output_append_csv_crop(GString *line, const char *crop);

/* Append a comma and: day 0..364 as "MM-DD" (nothing for -1); tenths as "86.6"; years 0..10
 * (nothing for -1). */
void isw_output_append_csv_date(GString *line, int day);
void isw_output_append_csv_tenths(GString *line, int tenths);
void isw_output_append_csv_years(GString *line, int years);

#endif

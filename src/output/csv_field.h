/* Fields of CSV files (RFC 4180). */
#ifndef ISW_OUTPUT_CSV_FIELD_H
#define ISW_OUTPUT_CSV_FIELD_H

#include <glib.h>

/* Append a text, quoted where it needs to be. */
void isw_output_append_csv_text(GString *line, const char *text);

#endif

/* Single fields of a CSV table, with errors that name file, line, column and value. */
#ifndef ISW_DOCUMENTS_CSV_FIELDS_H
#define ISW_DOCUMENTS_CSV_FIELDS_H

#include "base/status.h"

/* A decimal number and nothing else, blanks around it allowed. what: the column's name.
 * ISW_INPUT_CONTENT "name:line: ...": empty, or no such number. */
enum isw_status isw_documents_read_csv_number(const char *name, int line, const char *what,
                                              const char *text, double *out,
                                              struct isw_error *error);

/* Columns lat [-90..90] and lon [-180..360], degrees. ISW_INPUT_CONTENT. */
enum isw_status isw_documents_read_csv_position(const char *name, int line, const char *lat_text,
                                                const char *lon_text, double *lat_deg,
                                                double *lon_deg, struct isw_error *error);

#endif

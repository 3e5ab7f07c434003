/* Values of JSON as the answers of `site` hold them. */
#ifndef ISW_OUTPUT_JSON_VALUES_H
#define ISW_OUTPUT_JSON_VALUES_H

#include <glib.h>

/* A string, quoted and escaped; null for NULL. What is not UTF-8 is made so. */
void isw_output_append_json_text(GString *out, const char *text);

/* "key": with a blank behind */
void isw_output_append_json_key(GString *out, const char *key);

/* "key": "MM-DD", or null for day -1 */
void isw_output_append_json_date(GString *out, const char *key, int day);

/* A number with so many decimals, rounded half up; never -0. */
void isw_output_append_json_number(GString *out, double value, int decimals);

/* "key": 0..10, or null for -1 (not counted) */
void isw_output_append_json_years(GString *out, const char *key, int years);

#endif

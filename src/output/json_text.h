/* JSON that was brought along: by an earlier run's record, by a part. It may come from anybody, and
 * the library's parser calls itself once per bracket; so size and depth are looked at first. */
#ifndef ISW_OUTPUT_JSON_TEXT_H
#define ISW_OUTPUT_JSON_TEXT_H

#include <json-glib/json-glib.h>
#include <stdbool.h>

enum {
  ISW_JSON_DEPTH_MOST = 32,       /* brackets within brackets; our own texts have 4 */
  ISW_JSON_BYTES_MOST = 64 << 20, /* a record of 100,000 results has 20 MB */
};

/* Whether a text of `size` bytes nests no deeper than [ISW_JSON_DEPTH_MOST] and has, outside its
 * strings, no letter that JSON (RFC 8259, section 2) does not have; else the parser might see other
 * brackets than those counted here. Says nothing else about it. */
bool isw_output_json_is_shallow(const char *text, size_t size);

/* The object that a text is; NULL: it is none, or deeper or longer than allowed. New,
 * json_object_unref. */
JsonObject *isw_output_parse_json(const char *text, size_t size);

/* The same of a file; NULL also when it cannot be read, or is not a plain file. */
JsonObject *isw_output_read_json(const char *path);

/* A member that is a list, a whole number, a text; NULL, or otherwise, when it is not. */
JsonArray *isw_output_json_list(JsonObject *object, const char *name);
long long isw_output_json_number(JsonObject *object, const char *name, long long otherwise);
const char *isw_output_json_words(JsonObject *object, const char *name, const char *otherwise);

#endif

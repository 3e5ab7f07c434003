/* Typed reading from the document tree, with errors that name file, line, key and value.
 *
 * Every function that can fail returns true when it went well and false after it has filled the
 * reader's error; callers chain them with &&. A key that is absent leaves *out as it was, unless
 * the function says that it is required. */
#ifndef ISW_DOCUMENTS_YAML_READER_H
#define ISW_DOCUMENTS_YAML_READER_H

#include <stdbool.h>
#include <stddef.h>
#include <yaml.h>

#include "base/status.h"
#include "documents/yaml_document.h"

enum { ISW_YAML_ID_MAX = 64 };
enum { ISW_YAML_WHAT_SIZE = 192, ISW_YAML_VALUE_SIZE = 200 };

struct isw_yaml_reader {
  const struct isw_yaml_kind *kind;
  const char *origin; /* the file, for messages */
  yaml_document_t *document;
  struct isw_error *error;
};

/* A group of keys with the name that messages give it: "stage 'rosette'"; "" is the
 * document. */
struct isw_yaml_map {
  const yaml_node_t *node;
  size_t line; /* 1-based */
  char what[ISW_YAML_WHAT_SIZE];
};

struct isw_yaml_entry {
  const yaml_node_t *value; /* NULL: the key is absent */
  size_t line;              /* of the key */
};

struct isw_yaml_list {
  const yaml_node_t *node;
  size_t line;
  int count;
};

/* Bounds that are allowed values themselves, unless above_low says that low is not. */
struct isw_yaml_range {
  double low, high;
  bool above_low;
};

size_t isw_documents_node_line(const yaml_node_t *node);

/* "origin:line: what: ..."; map may be NULL. Always false. */
bool isw_documents_fail_at(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                           size_t line, const char *format, ...) ISW_PRINTF(4, 5);

/* A value as messages show it: quoted, cut, without unprintable characters. Returns out. */
const char *isw_documents_show_value(const yaml_node_t *node, char out[ISW_YAML_VALUE_SIZE]);

/* Check that node is a group of keys, all known, none twice. keys ends with NULL. The group is
 * named "KIND 'VALUE OF keys[0]'", after "OUTER, " where there is an outer group; kind NULL leaves
 * it without a name. */
bool isw_documents_enter_map(const struct isw_yaml_reader *reader, const yaml_node_t *node,
                             const struct isw_yaml_map *outer, const char *kind,
                             const char *const *keys, struct isw_yaml_map *out);

struct isw_yaml_entry isw_documents_find_entry(const struct isw_yaml_reader *reader,
                                               const struct isw_yaml_map *map, const char *key);

/* The line of a key, or of the group where the key is absent. */
size_t isw_documents_entry_line(const struct isw_yaml_reader *reader,
                                const struct isw_yaml_map *map, const char *key);

/* Fails unless the key is there; example is what to write. */
bool isw_documents_require_key(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                               const char *key, const char *example);

/* Text of a plain or quoted value that is neither empty nor null; NULL after failing. It is the
 * document's. */
const char *isw_documents_read_word(const struct isw_yaml_reader *reader,
                                    const struct isw_yaml_map *map, const char *key, size_t line,
                                    const yaml_node_t *value);

/* [a-z0-9-]+ of up to ISW_YAML_ID_MAX characters; required. *out is new (g_free). */
bool isw_documents_read_id(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                           const char *key, char **out);

/* Prose without control characters; runs of blanks and line ends become one blank. Up to max
 * characters. *out is new (g_free); what it held is not freed. */
bool isw_documents_read_text(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                             const char *key, int max, char **out);
bool isw_documents_clean_text(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                              const char *key, size_t line, const yaml_node_t *value, int max,
                              char **out);

bool isw_documents_read_number(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                               const char *key, struct isw_yaml_range range, double *out);
bool isw_documents_read_whole(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                              const char *key, int low, int high, int *out);
bool isw_documents_read_flag(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                             const char *key, bool *out);

/* Exactly n numbers in brackets; example is what to write. */
bool isw_documents_read_numbers(const struct isw_yaml_reader *reader,
                                const struct isw_yaml_map *map, const char *key, int n,
                                const char *example, struct isw_yaml_range range, double *out);

/* A list of 0..max entries; absent: count 0. */
bool isw_documents_read_list(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                             const char *key, int max, struct isw_yaml_list *out);
const yaml_node_t *isw_documents_list_item(const struct isw_yaml_reader *reader,
                                           const struct isw_yaml_list *list, int index);

/* "KEY 'VALUE' is not among the NOUN's KINDS ..." with what is there and the nearest; value is one
 * word. Always false. */
bool isw_documents_fail_reference(const struct isw_yaml_reader *reader,
                                  const struct isw_yaml_map *map, size_t line, const char *key,
                                  const yaml_node_t *value, const char *kinds, int n,
                                  const char *const *names);

#endif

#include "documents/yaml_reader.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "documents/nearest_word.h"

enum { SHOWN_CHARACTERS = 40 };

size_t isw_documents_node_line(const yaml_node_t *node) {
  return node->start_mark.line + 1;
}

bool isw_documents_fail_at(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                           size_t line, const char *format, ...) {
  va_list args;
  va_start(args, format);
  char *text = g_strdup_vprintf(format, args);
  va_end(args);
  bool named = map != NULL && map->what[0] != '\0';
  isw_base_fail(reader->error, ISW_INPUT_CONTENT, "%s:%zu: %s%s%s", reader->origin, line,
                named ? map->what : "", named ? ": " : "", text);
  g_free(text);
  return false;
}

static const char *scalar_text(const yaml_node_t *node) {
  return (const char *)node->data.scalar.value;
}

static bool is_null(const yaml_node_t *node) {
  if (node->type != YAML_SCALAR_NODE || node->data.scalar.style != YAML_PLAIN_SCALAR_STYLE)
    return false;
  static const char *const nulls[] = {"", "~", "null", "Null", "NULL"};
  for (size_t i = 0; i < G_N_ELEMENTS(nulls); i++)
    if (strcmp(scalar_text(node), nulls[i]) == 0) return true;
  return false;
}

const char *isw_documents_show_value(const yaml_node_t *node, char out[ISW_YAML_VALUE_SIZE]) {
  const char *fixed = node->type == YAML_SEQUENCE_NODE  ? "a list"
                      : node->type == YAML_MAPPING_NODE ? "a group of keys"
                      : is_null(node)                   ? "empty"
                                                        : NULL;
  if (fixed != NULL) {
    g_strlcpy(out, fixed, ISW_YAML_VALUE_SIZE);
    return out;
  }
  char *at = out;
  *at++ = '\'';
  int shown = 0;
  for (const char *c = scalar_text(node); *c != '\0'; c = g_utf8_next_char(c)) {
    if (shown++ == SHOWN_CHARACTERS) {
      memcpy(at, "...", 3);
      at += 3;
      break;
    }
    gunichar character = g_utf8_get_char(c);
    if (g_unichar_isprint(character))
      at += g_unichar_to_utf8(character, at);
    else
      *at++ = '?';
  }
  *at++ = '\'';
  *at = '\0';
  return out;
}

/* "; did you mean 'x'?" or "" */
static char *suggest(const char *word, int n, const char *const *words) {
  const char *nearest = isw_documents_nearest_word(word, n, words);
  return nearest == NULL ? g_strdup("") : g_strdup_printf("; did you mean '%s'?", nearest);
}

static char *join_words(int n, const char *const *words) {
  GString *all = g_string_new(NULL);
  for (int i = 0; i < n; i++) g_string_append_printf(all, "%s%s", i == 0 ? "" : ", ", words[i]);
  return g_string_free(all, FALSE);
}

bool isw_documents_fail_reference(const struct isw_yaml_reader *reader,
                                  const struct isw_yaml_map *map, size_t line, const char *key,
                                  const yaml_node_t *value, const char *kinds, int n,
                                  const char *const *names) {
  char shown[ISW_YAML_VALUE_SIZE];
  char *near = suggest(scalar_text(value), n, names);
  char *all = join_words(n, names);
  isw_documents_fail_at(reader, map, line, "%s %s is not among the %s's %s%s%s %s%s", key,
                        isw_documents_show_value(value, shown), reader->kind->noun, kinds, near,
                        near[0] == '\0' ? ";" : "", n == 0 ? "there are none" : "known: ", all);
  g_free(near);
  g_free(all);
  return false;
}

/* ---- groups of keys ---- */

static const yaml_node_t *node_at(const struct isw_yaml_reader *reader, int index) {
  return yaml_document_get_node(reader->document, index);
}

struct isw_yaml_entry isw_documents_find_entry(const struct isw_yaml_reader *reader,
                                               const struct isw_yaml_map *map, const char *key) {
  const yaml_node_t *node = map->node;
  for (const yaml_node_pair_t *pair = node->data.mapping.pairs.start;
       pair < node->data.mapping.pairs.top; pair++) {
    const yaml_node_t *name = node_at(reader, pair->key);
    if (name->type == YAML_SCALAR_NODE && strcmp(scalar_text(name), key) == 0)
      return (struct isw_yaml_entry){node_at(reader, pair->value), isw_documents_node_line(name)};
  }
  return (struct isw_yaml_entry){NULL, 0};
}

size_t isw_documents_entry_line(const struct isw_yaml_reader *reader,
                                const struct isw_yaml_map *map, const char *key) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  return entry.value == NULL ? map->line : entry.line;
}

/* The index of a name among the keys, or -1 after failing. */
static int find_key(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                    const yaml_node_t *name, int n_keys, const char *const *keys) {
  size_t line = isw_documents_node_line(name);
  char shown[ISW_YAML_VALUE_SIZE];
  isw_documents_show_value(name, shown);
  if (name->type != YAML_SCALAR_NODE) {
    isw_documents_fail_at(reader, map, line, "%s stands where a key should; write 'key: value'",
                          shown);
    return -1;
  }
  for (int k = 0; k < n_keys; k++)
    if (strcmp(scalar_text(name), keys[k]) == 0) return k;
  char *near = suggest(scalar_text(name), n_keys, keys);
  char *all = join_words(n_keys, keys);
  isw_documents_fail_at(reader, map, line, "unknown key %s%s%s keys here: %s", shown, near,
                        near[0] == '\0' ? ";" : "", all);
  g_free(near);
  g_free(all);
  return -1;
}

static bool check_keys(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                       const char *const *keys) {
  int n_keys = 0;
  while (keys[n_keys] != NULL) n_keys++;
  size_t *seen_line = g_new0(size_t, (size_t)n_keys + 1);
  bool fine = true;
  const yaml_node_t *node = map->node;
  for (const yaml_node_pair_t *pair = node->data.mapping.pairs.start;
       fine && pair < node->data.mapping.pairs.top; pair++) {
    const yaml_node_t *name = node_at(reader, pair->key);
    size_t line = isw_documents_node_line(name);
    int k = find_key(reader, map, name, n_keys, keys);
    fine = k >= 0;
    if (fine && seen_line[k] != 0)
      fine = isw_documents_fail_at(reader, map, line,
                                   "key '%s' is given twice, first in line %zu; keep one", keys[k],
                                   seen_line[k]);
    if (fine) seen_line[k] = line;
  }
  g_free(seen_line);
  return fine;
}

bool isw_documents_enter_map(const struct isw_yaml_reader *reader, const yaml_node_t *node,
                             const struct isw_yaml_map *outer, const char *kind,
                             const char *const *keys, struct isw_yaml_map *out) {
  memset(out, 0, sizeof *out);
  out->node = node;
  out->line = isw_documents_node_line(node);
  if (outer != NULL) g_strlcpy(out->what, outer->what, sizeof out->what);
  char shown[ISW_YAML_VALUE_SIZE];
  if (node->type != YAML_MAPPING_NODE)
    return isw_documents_fail_at(reader, out, out->line, "%s%s is %s; give a group of keys: %s ...",
                                 kind == NULL ? "the " : "",
                                 kind == NULL ? reader->kind->noun : kind,
                                 isw_documents_show_value(node, shown), keys[0]);
  if (kind != NULL) {
    const char *separator = out->what[0] == '\0' ? "" : ", ";
    struct isw_yaml_entry id = isw_documents_find_entry(reader, out, keys[0]);
    char *name = id.value == NULL || is_null(id.value) || id.value->type != YAML_SCALAR_NODE
                     ? g_strdup_printf("%s%s%s", out->what, separator, kind)
                     : g_strdup_printf("%s%s%s %s", out->what, separator, kind,
                                       isw_documents_show_value(id.value, shown));
    if (g_strlcpy(out->what, name, sizeof out->what) >= sizeof out->what) {
      char *end = NULL;
      if (!g_utf8_validate(out->what, -1, (const char **)&end)) *end = '\0';
    }
    g_free(name);
  }
  return check_keys(reader, out, keys);
}

bool isw_documents_require_key(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                               const char *key, const char *example) {
  if (isw_documents_find_entry(reader, map, key).value != NULL) return true;
  return isw_documents_fail_at(reader, map, map->line,
                               "'%s' is missing; add it, for instance '%s: %s'", key, key, example);
}

/* ---- words and prose ---- */

const char *isw_documents_read_word(const struct isw_yaml_reader *reader,
                                    const struct isw_yaml_map *map, const char *key, size_t line,
                                    const yaml_node_t *value) {
  char shown[ISW_YAML_VALUE_SIZE];
  if (value->type != YAML_SCALAR_NODE || is_null(value) || value->data.scalar.length == 0) {
    isw_documents_fail_at(
        reader, map, line, "%s is %s; give one word or text", key,
        value->type == YAML_SCALAR_NODE ? "empty" : isw_documents_show_value(value, shown));
    return NULL;
  }
  if (strlen(scalar_text(value)) != value->data.scalar.length) {
    isw_documents_fail_at(reader, map, line, "%s holds a NUL character; remove it", key);
    return NULL;
  }
  return scalar_text(value);
}

bool isw_documents_read_id(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                           const char *key, char **out) {
  if (!isw_documents_require_key(reader, map, key, "a-name")) return false;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  const char *word = isw_documents_read_word(reader, map, key, entry.line, entry.value);
  if (word == NULL) return false;
  size_t length = strlen(word);
  char shown[ISW_YAML_VALUE_SIZE];
  if (strspn(word, "abcdefghijklmnopqrstuvwxyz0123456789-") != length)
    return isw_documents_fail_at(reader, map, entry.line,
                                 "%s is %s; file names are made of it: use only a-z, 0-9 and -",
                                 key, isw_documents_show_value(entry.value, shown));
  if (length > ISW_YAML_ID_MAX)
    return isw_documents_fail_at(
        reader, map, entry.line,
        "%s is %s with %zu characters; file names are made of it: use at most "
        "%d",
        key, isw_documents_show_value(entry.value, shown), length, (int)ISW_YAML_ID_MAX);
  *out = g_strdup(word);
  return true;
}

bool isw_documents_clean_text(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                              const char *key, size_t line, const yaml_node_t *value, int max,
                              char **out) {
  const char *word = isw_documents_read_word(reader, map, key, line, value);
  if (word == NULL) return false;
  GString *clean = g_string_new(NULL);
  bool blank = false, printable = true;
  for (const char *c = word; *c != '\0' && printable; c = g_utf8_next_char(c)) {
    gunichar character = g_utf8_get_char(c);
    if (character == ' ' || character == '\n' || character == '\r' || character == '\t') {
      blank = true;
      continue;
    }
    if (g_unichar_iscntrl(character)) printable = false;
    if (blank && clean->len > 0) g_string_append_c(clean, ' ');
    blank = false;
    g_string_append_unichar(clean, character);
  }
  long characters = g_utf8_strlen(clean->str, -1);
  bool fine = printable && characters > 0 && characters <= max;
  if (!printable)
    isw_documents_fail_at(reader, map, line, "%s holds a control character; remove it", key);
  else if (characters == 0)
    isw_documents_fail_at(reader, map, line, "%s is empty; give a text", key);
  else if (characters > max)
    isw_documents_fail_at(reader, map, line, "%s has %ld characters; shorten it to %d", key,
                          characters, max);
  *out = g_string_free(clean, !fine);
  return fine;
}

bool isw_documents_read_text(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                             const char *key, int max, char **out) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  if (entry.value == NULL) return true;
  return isw_documents_clean_text(reader, map, key, entry.line, entry.value, max, out);
}

/* ---- numbers ---- */

static bool parse_number(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                         const char *key, size_t line, const yaml_node_t *value, double *out) {
  char shown[ISW_YAML_VALUE_SIZE];
  isw_documents_show_value(value, shown);
  if (value->type != YAML_SCALAR_NODE || is_null(value))
    return isw_documents_fail_at(reader, map, line, "%s is %s; give a number", key, shown);
  const char *text = scalar_text(value);
  if (value->data.scalar.style != YAML_PLAIN_SCALAR_STYLE)
    return isw_documents_fail_at(reader, map, line,
                                 "%s is the text %s; give a number, without quotes", key, shown);
  if (strchr(text, ',') != NULL)
    return isw_documents_fail_at(reader, map, line, "%s is %s; give a number, with a decimal point",
                                 key, shown);
  /* Only what strtod and YAML read alike: no hex, no octal, no inf, no nan. */
  char *end = NULL;
  double number = 0;
  bool fine = text[strspn(text, "+-.0123456789eE")] == '\0' && strpbrk(text, "0123456789") != NULL;
  if (fine) {
    number = g_ascii_strtod(text, &end);
    fine = *end == '\0' && isfinite(number);
  }
  if (!fine) return isw_documents_fail_at(reader, map, line, "%s is %s; give a number", key, shown);
  *out = number;
  return true;
}

static bool check_range(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                        const char *key, size_t line, double number, struct isw_yaml_range range) {
  bool low = range.above_low ? number <= range.low : number < range.low;
  if (!low && number <= range.high) return true;
  return isw_documents_fail_at(reader, map, line, "%s is %g; give a number %s %g and up to %g", key,
                               number, range.above_low ? "above" : "from", range.low, range.high);
}

bool isw_documents_read_number(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                               const char *key, struct isw_yaml_range range, double *out) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  if (entry.value == NULL) return true;
  double number = 0;
  if (!parse_number(reader, map, key, entry.line, entry.value, &number)) return false;
  if (!check_range(reader, map, key, entry.line, number, range)) return false;
  *out = number;
  return true;
}

bool isw_documents_read_whole(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                              const char *key, int low, int high, int *out) {
  double number = *out;
  if (!isw_documents_read_number(reader, map, key, (struct isw_yaml_range){low, high, false},
                                 &number))
    return false;
  if (number != floor(number))
    return isw_documents_fail_at(reader, map, isw_documents_entry_line(reader, map, key),
                                 "%s is %g; give a whole number", key, number);
  *out = (int)number;
  return true;
}

bool isw_documents_read_flag(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                             const char *key, bool *out) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  if (entry.value == NULL) return true;
  bool plain = entry.value->type == YAML_SCALAR_NODE &&
               entry.value->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
  bool yes = plain && strcmp(scalar_text(entry.value), "true") == 0;
  if (!yes && !(plain && strcmp(scalar_text(entry.value), "false") == 0)) {
    char shown[ISW_YAML_VALUE_SIZE];
    return isw_documents_fail_at(reader, map, entry.line, "%s is %s; write true or false", key,
                                 isw_documents_show_value(entry.value, shown));
  }
  *out = yes;
  return true;
}

/* ---- lists ---- */

static int count_items(const yaml_node_t *node) {
  return (int)(node->data.sequence.items.top - node->data.sequence.items.start);
}

const yaml_node_t *isw_documents_list_item(const struct isw_yaml_reader *reader,
                                           const struct isw_yaml_list *list, int index) {
  return node_at(reader, list->node->data.sequence.items.start[index]);
}

bool isw_documents_read_list(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                             const char *key, int max, struct isw_yaml_list *out) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  *out = (struct isw_yaml_list){entry.value, entry.line, 0};
  if (entry.value == NULL) return true;
  char shown[ISW_YAML_VALUE_SIZE];
  if (entry.value->type != YAML_SEQUENCE_NODE)
    return isw_documents_fail_at(reader, map, entry.line,
                                 "%s is %s; give a list: lines that begin with '- ', or [a, b]",
                                 key, isw_documents_show_value(entry.value, shown));
  out->count = count_items(entry.value);
  if (out->count > max)
    return isw_documents_fail_at(reader, map, entry.line,
                                 "%s has %d entries; at most %d are possible", key, out->count,
                                 max);
  return true;
}

bool isw_documents_read_numbers(const struct isw_yaml_reader *reader,
                                const struct isw_yaml_map *map, const char *key, int n,
                                const char *example, struct isw_yaml_range range, double *out) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, key);
  if (entry.value == NULL) return true;
  char shown[ISW_YAML_VALUE_SIZE];
  if (entry.value->type != YAML_SEQUENCE_NODE)
    return isw_documents_fail_at(reader, map, entry.line, "%s is %s; give %d numbers: %s", key,
                                 isw_documents_show_value(entry.value, shown), n, example);
  if (count_items(entry.value) != n)
    return isw_documents_fail_at(reader, map, entry.line, "%s has %d entries; give %d numbers: %s",
                                 key, count_items(entry.value), n, example);
  struct isw_yaml_list list = {entry.value, entry.line, n};
  for (int i = 0; i < n; i++) {
    const yaml_node_t *item = isw_documents_list_item(reader, &list, i);
    size_t line = isw_documents_node_line(item);
    if (!parse_number(reader, map, key, line, item, &out[i])) return false;
    if (!check_range(reader, map, key, line, out[i], range)) return false;
  }
  return true;
}

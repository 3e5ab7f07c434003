#define _XOPEN_SOURCE 700

#include "output/json_text.h"

#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bool isw_output_json_is_shallow(const char *text, size_t size) {
  static const char letters[] = "{}[]:,+-. \t\r\n";
  int depth = 0;
  bool in_string = false;
  for (size_t i = 0; i < size; i++) {
    char c = text[i];
    if (in_string) {
      if (c == '\\')
        i++;
      else
        in_string = c != '"';
      continue;
    }
    in_string = c == '"';
    if (in_string) continue;
    if (c == '\0' || (strchr(letters, c) == NULL && !g_ascii_isalnum(c))) return false;
    if (c == '[' || c == '{') depth++;
    if (c == ']' || c == '}') depth--;
    if (depth > ISW_JSON_DEPTH_MOST || depth < 0) return false;
  }
  return true;
}

JsonObject *isw_output_parse_json(const char *text, size_t size) {
  if (text == NULL || size > ISW_JSON_BYTES_MOST || !isw_output_json_is_shallow(text, size))
    return NULL;
  JsonParser *parser = json_parser_new();
  JsonNode *root = json_parser_load_from_data(parser, text, (gssize)size, NULL)
                       ? json_parser_get_root(parser)
                       : NULL;
  JsonObject *object =
      root != NULL && JSON_NODE_HOLDS_OBJECT(root) ? json_node_dup_object(root) : NULL;
  g_object_unref(parser);
  return object;
}

/* The bytes of a plain file that is not too long; new. A pipe of that name must not make us wait.
 */
static char *read_plain_file(const char *path, size_t *size) {
  int file = g_open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC, 0);
  if (file < 0) return NULL;
  struct stat facts;
  char *text = NULL;
  *size = 0;
  if (fstat(file, &facts) == 0 && S_ISREG(facts.st_mode) && facts.st_size <= ISW_JSON_BYTES_MOST)
    text = g_try_malloc((gsize)facts.st_size + 1);
  ssize_t got = 1;
  while (text != NULL && got > 0 && *size < (size_t)facts.st_size) {
    got = read(file, text + *size, (size_t)facts.st_size - *size);
    if (got > 0) *size += (size_t)got;
  }
  close(file);
  if (text != NULL && got >= 0) return text;
  g_free(text);
  return NULL;
}

JsonObject *isw_output_read_json(const char *path) {
  size_t size;
  char *text = read_plain_file(path, &size);
  JsonObject *object = isw_output_parse_json(text, text != NULL ? size : 0);
  g_free(text);
  return object;
}

JsonArray *isw_output_json_list(JsonObject *object, const char *name) {
  JsonNode *node = json_object_get_member(object, name);
  return node != NULL && JSON_NODE_HOLDS_ARRAY(node) ? json_node_get_array(node) : NULL;
}

static JsonNode *value_of(JsonObject *object, const char *name) {
  JsonNode *node = json_object_get_member(object, name);
  return node != NULL && JSON_NODE_HOLDS_VALUE(node) ? node : NULL;
}

long long isw_output_json_number(JsonObject *object, const char *name, long long otherwise) {
  JsonNode *node = value_of(object, name);
  return node != NULL && json_node_get_value_type(node) == G_TYPE_INT64 ? json_node_get_int(node)
                                                                        : otherwise;
}

const char *isw_output_json_words(JsonObject *object, const char *name, const char *otherwise) {
  JsonNode *node = value_of(object, name);
  return node != NULL && json_node_get_value_type(node) == G_TYPE_STRING
             ? json_node_get_string(node)
             : otherwise;
}

#include "jobs/region_file.h"

#include <string.h>

#include "documents/text_file.h"
#include "documents/yaml_reader.h"

enum { OPTIONS_MAX = 128, LIST_MAX = 64 };

struct region_file {
  struct isw_yaml_reader reader;
  struct isw_yaml_map top;
  char *dir;
  struct isw_options *options;
};

/* Not a path of ours to complete: absolute, or another kind of source ("NETCDF:...", "PG:..."). */
static bool stands_alone(const char *path) {
  if (g_path_is_absolute(path)) return true;
  size_t letters = strspn(path, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_");
  return letters >= 2 && path[letters] == ':';
}

static bool is_number(const char *text) {
  char *end;
  g_ascii_strtod(text, &end);
  return end != text && *end == '\0';
}

static bool is_path(const struct isw_option *option, const char *word) {
  switch (option->kind) {
    case ISW_OPTION_PATH: return true;
    case ISW_OPTION_NUMBER_OR_PATH: return !is_number(word);
    case ISW_OPTION_SHEETS:
      return strchr(word, '/') != NULL || g_str_has_suffix(word, ".yaml") ||
             g_str_has_suffix(word, ".yml");
    default: return false;
  }
}

static bool set_word(struct region_file *file, const struct isw_option *option, size_t line,
                     const char *word) {
  bool completed = is_path(option, word) && !stands_alone(word);
  char *value = completed ? g_build_filename(file->dir, word, NULL) : g_strdup(word);
  struct isw_error reason;
  enum isw_status status = isw_jobs_set_option(file->options, option, value, &reason);
  g_free(value);
  return status == ISW_OK ||
         isw_documents_fail_at(&file->reader, &file->top, line, "%s: '%.60s' %s", option->name,
                               word, reason.text);
}

static bool read_list(struct region_file *file, const struct isw_option *option, size_t line) {
  struct isw_yaml_list list;
  if (!isw_documents_read_list(&file->reader, &file->top, option->name, LIST_MAX, &list))
    return false;
  GString *joined = g_string_new(NULL);
  bool fine = true;
  for (int i = 0; i < list.count && fine; i++) {
    const yaml_node_t *item = isw_documents_list_item(&file->reader, &list, i);
    size_t item_line = isw_documents_node_line(item);
    const char *word =
        isw_documents_read_word(&file->reader, &file->top, option->name, item_line, item);
    fine = word != NULL;
    if (fine && isw_jobs_is_list(option))
      fine = set_word(file, option, item_line, word);
    else if (fine)
      g_string_append_printf(joined, "%s%s", i > 0 ? "," : "", word);
  }
  if (fine && option->kind == ISW_OPTION_NUMBERS && list.count > 0)
    fine = set_word(file, option, line, joined->str);
  g_string_free(joined, TRUE);
  return fine;
}

/* A text, or a list of texts as paragraphs, with NAME= in front; a new string. NULL: failed. */
static char *pair_text(struct region_file *file, const struct isw_option *option, size_t line,
                       const char *name, const yaml_node_t *value) {
  GString *text = g_string_new(name);
  g_string_append_c(text, '=');
  if (value->type != YAML_SEQUENCE_NODE) {
    const char *word =
        isw_documents_read_word(&file->reader, &file->top, option->name, line, value);
    if (word == NULL) return g_string_free(text, TRUE);
    g_string_append(text, word);
    return g_string_free(text, FALSE);
  }
  for (const yaml_node_item_t *item = value->data.sequence.items.start;
       item < value->data.sequence.items.top; item++) {
    const char *word =
        isw_documents_read_word(&file->reader, &file->top, option->name, line,
                                yaml_document_get_node(file->reader.document, *item));
    if (word == NULL) return g_string_free(text, TRUE);
    g_string_append_printf(text, "\n\n%s", word);
  }
  return g_string_free(text, FALSE);
}

static bool read_pairs(struct region_file *file, const struct isw_option *option,
                       struct isw_yaml_entry entry) {
  const yaml_node_t *map = entry.value;
  if (map->type != YAML_MAPPING_NODE)
    return isw_documents_fail_at(&file->reader, &file->top, entry.line,
                                 "%s: is no group of names with a text each, such as {%s: ...}",
                                 option->name, option->name[0] == 's' ? "autumn" : "NAME");
  GHashTable *seen = g_hash_table_new(g_str_hash, g_str_equal);
  bool fine = true;
  for (const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
       pair < map->data.mapping.pairs.top && fine; pair++) {
    const yaml_node_t *key = yaml_document_get_node(file->reader.document, pair->key);
    size_t line = isw_documents_node_line(key);
    const char *name = isw_documents_read_word(&file->reader, &file->top, option->name, line, key);
    if (name == NULL) fine = false;
    if (fine && !g_hash_table_add(seen, (char *)name))
      fine = isw_documents_fail_at(&file->reader, &file->top, line, "%s: '%.60s' is there twice",
                                   option->name, name);
    if (!fine) break;
    char *text = pair_text(file, option, line, name,
                           yaml_document_get_node(file->reader.document, pair->value));
    fine = text != NULL && set_word(file, option, line, text);
    g_free(text);
  }
  g_hash_table_unref(seen);
  return fine;
}

static bool read_one(struct region_file *file, const struct isw_option *option) {
  struct isw_yaml_entry entry = isw_documents_find_entry(&file->reader, &file->top, option->name);
  if (entry.value == NULL) return true;
  if (option->kind == ISW_OPTION_FLAG) {
    bool flag = false;
    return isw_documents_read_flag(&file->reader, &file->top, option->name, &flag) &&
           set_word(file, option, entry.line, flag ? "yes" : "no");
  }
  if (option->kind == ISW_OPTION_PAIRS) return read_pairs(file, option, entry);
  bool list = isw_jobs_is_list(option) || option->kind == ISW_OPTION_NUMBERS;
  if (list && entry.value->type == YAML_SEQUENCE_NODE) return read_list(file, option, entry.line);
  const char *word =
      isw_documents_read_word(&file->reader, &file->top, option->name, entry.line, entry.value);
  return word != NULL && set_word(file, option, entry.line, word);
}

static bool read_all(struct region_file *file) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  const struct isw_option *known[OPTIONS_MAX];
  const char *keys[OPTIONS_MAX + 1] = {NULL};
  size_t n = 0;
  for (size_t i = 0; i < count && n < OPTIONS_MAX; i++) {
    if ((table[i].commands & ISW_COMMAND_GUIDE) == 0) continue;
    known[n] = &table[i];
    keys[n++] = table[i].name;
  }
  if (!isw_documents_enter_map(&file->reader, yaml_document_get_root_node(file->reader.document),
                               NULL, NULL, keys, &file->top))
    return false;
  for (size_t i = 0; i < n; i++)
    if (!read_one(file, known[i])) return false;
  return true;
}

enum isw_status isw_jobs_read_region_file(const char *path, struct isw_options *options,
                                          struct isw_error *error) {
  static const struct isw_yaml_kind kind = {"region file",
                                            "the options of `guide`: tmin, tmax, crop, out ..."};
  char *text = NULL;
  size_t size = 0;
  g_free(options->region_file);
  options->region_file = g_strdup(path);
  enum isw_status status = isw_documents_read_file(path, ISW_YAML_BYTES_MAX, &text, &size, error);
  if (status != ISW_OK) return status;
  yaml_document_t document;
  status = isw_documents_open_yaml(&kind, text, size, path, &document, error);
  if (status == ISW_OK) {
    struct region_file file = {.reader = {&kind, path, &document, error},
                               .dir = g_path_get_dirname(path),
                               .options = options};
    if (!read_all(&file)) status = ISW_INPUT_CONTENT;
    g_free(file.dir);
    yaml_document_delete(&document);
  }
  g_free(text);
  return status;
}

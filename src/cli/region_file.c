#include "cli/region_file.h"

#include <string.h>

#include "documents/text_file.h"
#include "documents/yaml_reader.h"

enum value_kind {
  VALUE_TEXT,
  VALUE_PATH,
  VALUE_NUMBER,
  VALUE_NUMBER_OR_PATH,
  VALUE_CROP, /* a built-in name, or a path */
  VALUE_LIST, /* the option once for each */
  VALUE_NUMBERS,
  VALUE_FLAG
};

static const struct {
  const char *key;
  enum value_kind kind;
} known[] = {
    {"tmin", VALUE_PATH},       {"tmax", VALUE_PATH},
    {"mean", VALUE_PATH},       {"range", VALUE_NUMBER_OR_PATH},
    {"var", VALUE_TEXT},        {"unit", VALUE_TEXT},
    {"period", VALUE_TEXT},     {"crs", VALUE_TEXT},
    {"elevation", VALUE_PATH},  {"normals-elevation", VALUE_PATH},
    {"lapse", VALUE_NUMBER},    {"lapse-monthly", VALUE_NUMBERS},
    {"hemisphere", VALUE_TEXT}, {"crop", VALUE_CROP},
    {"variety", VALUE_LIST},    {"season", VALUE_LIST},
    {"good", VALUE_NUMBER},     {"spread", VALUE_NUMBER},
    {"warmer", VALUE_NUMBER},   {"grown-under", VALUE_TEXT},
    {"start", VALUE_TEXT},      {"threads", VALUE_NUMBER},
    {"memory", VALUE_NUMBER},   {"quiet", VALUE_FLAG},
    {"maps", VALUE_TEXT},       {"size", VALUE_TEXT},
    {"dpi", VALUE_NUMBER},      {"title", VALUE_TEXT},
    {"districts", VALUE_PATH},  {"district-name", VALUE_TEXT},
    {"out", VALUE_PATH},        {"overwrite", VALUE_FLAG},
};

struct region_file {
  struct isw_yaml_reader reader;
  struct isw_yaml_map top;
  char *dir;
  GPtrArray *words;
};

/* Not a path of ours to complete: absolute, or another kind of source ("NETCDF:...", "PG:..."). */
static bool stands_alone(const char *path) {
  if (g_path_is_absolute(path)) return true;
  size_t letters = strspn(path, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_");
  return letters >= 2 && path[letters] == ':';
}

static char *complete_path(const struct region_file *file, const char *path) {
  return stands_alone(path) ? g_strdup(path) : g_build_filename(file->dir, path, NULL);
}

static void add_word(struct region_file *file, const char *key, const char *value) {
  g_ptr_array_add(file->words, g_strdup_printf("--%s=%s", key, value));
}

static bool is_number(const char *text) {
  char *end;
  g_ascii_strtod(text, &end);
  return end != text && *end == '\0';
}

static bool read_list(struct region_file *file, const char *key, struct isw_yaml_entry entry,
                      bool numbers) {
  enum { LIST_MAX = 64 };
  struct isw_yaml_list list;
  if (!isw_documents_read_list(&file->reader, &file->top, key, LIST_MAX, &list)) return false;
  GString *joined = g_string_new(NULL);
  bool fine = true;
  for (int i = 0; i < list.count && fine; i++) {
    const yaml_node_t *item = isw_documents_list_item(&file->reader, &list, i);
    const char *word = isw_documents_read_word(&file->reader, &file->top, key,
                                               isw_documents_node_line(item), item);
    fine = word != NULL;
    if (fine && numbers && !is_number(word))
      fine = isw_documents_fail_at(&file->reader, &file->top, isw_documents_node_line(item),
                                   "%s: '%.60s' is not a number", key, word);
    if (!fine) continue;
    if (numbers)
      g_string_append_printf(joined, "%s%s", i > 0 ? "," : "", word);
    else
      add_word(file, key, word);
  }
  if (fine && numbers && list.count > 0) add_word(file, key, joined->str);
  g_string_free(joined, TRUE);
  (void)entry;
  return fine;
}

static bool read_one(struct region_file *file, size_t index) {
  const char *key = known[index].key;
  enum value_kind kind = known[index].kind;
  struct isw_yaml_entry entry = isw_documents_find_entry(&file->reader, &file->top, key);
  if (entry.value == NULL) return true;
  if (kind == VALUE_FLAG) {
    bool flag = false;
    if (!isw_documents_read_flag(&file->reader, &file->top, key, &flag)) return false;
    if (flag) g_ptr_array_add(file->words, g_strdup_printf("--%s", key));
    return true;
  }
  if ((kind == VALUE_LIST || kind == VALUE_NUMBERS) && entry.value->type == YAML_SEQUENCE_NODE)
    return read_list(file, key, entry, kind == VALUE_NUMBERS);
  const char *word =
      isw_documents_read_word(&file->reader, &file->top, key, entry.line, entry.value);
  if (word == NULL) return false;
  if (kind == VALUE_NUMBER && !is_number(word))
    return isw_documents_fail_at(&file->reader, &file->top, entry.line,
                                 "%s: '%.60s' is not a number", key, word);
  bool is_path =
      kind == VALUE_PATH || (kind == VALUE_NUMBER_OR_PATH && !is_number(word)) ||
      (kind == VALUE_CROP && (strchr(word, '/') != NULL || g_str_has_suffix(word, ".yaml") ||
                              g_str_has_suffix(word, ".yml")));
  char *value = is_path ? complete_path(file, word) : g_strdup(word);
  add_word(file, key, value);
  g_free(value);
  return true;
}

static bool read_all(struct region_file *file) {
  const char *keys[G_N_ELEMENTS(known) + 1] = {NULL};
  for (size_t i = 0; i < G_N_ELEMENTS(known); i++) keys[i] = known[i].key;
  if (!isw_documents_enter_map(&file->reader, yaml_document_get_root_node(file->reader.document),
                               NULL, NULL, keys, &file->top))
    return false;
  for (size_t i = 0; i < G_N_ELEMENTS(known); i++)
    if (!read_one(file, i)) return false;
  return true;
}

enum isw_status isw_cli_read_region_file(const char *path, GPtrArray *words,
                                         struct isw_error *error) {
  static const struct isw_yaml_kind kind = {"region file",
                                            "the options of `guide`: tmin, tmax, crop, out ..."};
  char *text = NULL;
  size_t size = 0;
  enum isw_status status = isw_documents_read_file(path, ISW_YAML_BYTES_MAX, &text, &size, error);
  if (status != ISW_OK) return status;
  yaml_document_t document;
  status = isw_documents_open_yaml(&kind, text, size, path, &document, error);
  if (status == ISW_OK) {
    struct region_file file = {
        .reader = {&kind, path, &document, error}, .dir = g_path_get_dirname(path), .words = words};
    if (!read_all(&file)) status = ISW_INPUT_CONTENT;
    g_free(file.dir);
    yaml_document_delete(&document);
  }
  g_free(text);
  return status;
}

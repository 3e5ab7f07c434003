#include "output/part_run.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "output/json_text.h"
#include "output/record_members.h"

/* ---- to text ---- */

static void add_grid(JsonBuilder *builder, const struct isw_grid *grid) {
  json_builder_set_member_name(builder, "grid");
  json_builder_begin_object(builder);
  json_builder_set_member_name(builder, "width");
  json_builder_add_int_value(builder, grid->width);
  json_builder_set_member_name(builder, "height");
  json_builder_add_int_value(builder, grid->height);
  json_builder_set_member_name(builder, "geographic");
  json_builder_add_boolean_value(builder, grid->geographic);
  json_builder_set_member_name(builder, "transform");
  json_builder_begin_array(builder);
  for (int i = 0; i < 6; i++) {
    /* As text, in the shortest form that gives every bit back. */
    char number[G_ASCII_DTOSTR_BUF_SIZE];
    isw_output_add_text(builder, NULL, g_ascii_dtostr(number, sizeof number, grid->transform[i]));
  }
  json_builder_end_array(builder);
  isw_output_add_text(builder, "crs", grid->wkt);
  json_builder_end_object(builder);
}

static void add_inputs(JsonBuilder *builder, const struct isw_run_facts *facts) {
  json_builder_set_member_name(builder, "inputs");
  json_builder_begin_array(builder);
  for (int i = 0; i < facts->n_inputs; i++) {
    json_builder_begin_object(builder);
    isw_output_add_text(builder, "file", facts->inputs[i].file);
    json_builder_set_member_name(builder, "size");
    json_builder_add_int_value(builder, facts->inputs[i].size);
    isw_output_add_text(builder, "sha256", facts->inputs[i].sha256);
    json_builder_end_object(builder);
  }
  json_builder_end_array(builder);
  json_builder_set_member_name(builder, "understood");
  json_builder_begin_array(builder);
  for (int i = 0; i < facts->n_understood; i++)
    isw_output_add_text(builder, NULL, facts->understood[i]);
  json_builder_end_array(builder);
}

static void add_options(JsonBuilder *builder, const struct isw_part_run *run) {
  json_builder_set_member_name(builder, "options");
  json_builder_begin_array(builder);
  for (int i = 0; i < run->n_options; i++) {
    json_builder_begin_array(builder);
    isw_output_add_text(builder, NULL, run->options[i].name);
    isw_output_add_text(builder, NULL, run->options[i].value);
    json_builder_end_array(builder);
  }
  json_builder_end_array(builder);
}

char *isw_output_write_part_run(const struct isw_part_run *run) {
  JsonBuilder *builder = json_builder_new();
  json_builder_begin_object(builder);
  isw_output_add_text(builder, "isosow", run->isosow);
  isw_output_add_text(builder, "gdal", run->gdal);
  add_inputs(builder, &run->facts);
  isw_output_add_text(builder, "period", run->facts.period);
  isw_output_add_text(builder, "source_line", run->source_line);
  isw_output_add_text(builder, "sheet_origin", run->sheet_origin);
  isw_output_add_text(builder, "sheet", run->sheet_text);
  add_options(builder, run);
  add_grid(builder, &run->facts.grid);
  json_builder_end_object(builder);
  JsonNode *root = json_builder_get_root(builder);
  char *text = json_to_string(root, FALSE);
  json_node_unref(root);
  g_object_unref(builder);
  return text;
}

/* ---- from text ---- */

static char *text_of(JsonObject *object, const char *name) {
  return g_strdup(isw_output_json_words(object, name, NULL));
}

/* A member that is an array, or an empty one. */
static JsonArray *array_of(JsonObject *object, const char *name, JsonArray *none) {
  JsonArray *list = isw_output_json_list(object, name);
  return list != NULL ? list : none;
}

static char *text_at(JsonArray *array, guint i) {
  JsonNode *node = i < json_array_get_length(array) ? json_array_get_element(array, i) : NULL;
  bool words = node != NULL && JSON_NODE_HOLDS_VALUE(node) &&
               json_node_get_value_type(node) == G_TYPE_STRING;
  return words ? json_node_dup_string(node) : NULL;
}

static bool read_grid(JsonObject *object, JsonArray *none, struct isw_grid *grid) {
  JsonNode *node = json_object_get_member(object, "grid");
  if (node == NULL || !JSON_NODE_HOLDS_OBJECT(node)) return false;
  JsonObject *from = json_node_get_object(node);
  long long width = isw_output_json_number(from, "width", 0);
  long long height = isw_output_json_number(from, "height", 0);
  if (width < 1 || width > G_MAXINT || height < 1 || height > G_MAXINT) return false;
  grid->width = (int)width;
  grid->height = (int)height;
  JsonNode *geographic = json_object_get_member(from, "geographic");
  grid->geographic =
      geographic != NULL && JSON_NODE_HOLDS_VALUE(geographic) && json_node_get_boolean(geographic);
  grid->wkt = text_of(from, "crs");
  JsonArray *transform = array_of(from, "transform", none);
  for (guint i = 0; i < 6; i++) {
    char *number = text_at(transform, i);
    if (number == NULL) return false;
    grid->transform[i] = g_ascii_strtod(number, NULL);
    g_free(number);
    if (!isfinite(grid->transform[i])) return false;
  }
  return grid->wkt != NULL;
}

static bool read_inputs(JsonArray *inputs, struct isw_run_facts *facts) {
  guint n = json_array_get_length(inputs);
  facts->inputs = g_new0(struct isw_run_input, n);
  for (guint i = 0; i < n; i++) {
    JsonNode *node = json_array_get_element(inputs, i);
    if (!JSON_NODE_HOLDS_OBJECT(node)) return false;
    JsonObject *from = json_node_get_object(node);
    struct isw_run_input *input = &facts->inputs[facts->n_inputs++];
    input->file = text_of(from, "file");
    input->size = isw_output_json_number(from, "size", 0);
    g_strlcpy(input->sha256, isw_output_json_words(from, "sha256", ""), sizeof input->sha256);
    if (input->file == NULL) return false;
  }
  return true;
}

static bool read_options(JsonArray *options, struct isw_part_run *run) {
  guint n = json_array_get_length(options);
  run->options = g_new0(struct isw_part_option, n);
  for (guint i = 0; i < n; i++) {
    JsonNode *node = json_array_get_element(options, i);
    if (!JSON_NODE_HOLDS_ARRAY(node)) return false;
    struct isw_part_option *option = &run->options[run->n_options++];
    option->name = text_at(json_node_get_array(node), 0);
    option->value = text_at(json_node_get_array(node), 1);
    if (option->name == NULL) return false;
  }
  return true;
}

static bool read_run(JsonObject *object, struct isw_part_run *run) {
  run->isosow = text_of(object, "isosow");
  run->gdal = text_of(object, "gdal");
  run->source_line = text_of(object, "source_line");
  run->sheet_origin = text_of(object, "sheet_origin");
  run->sheet_text = text_of(object, "sheet");
  run->facts.period = text_of(object, "period");
  JsonArray *none = json_array_new();
  JsonArray *understood = array_of(object, "understood", none);
  guint lines = json_array_get_length(understood);
  run->facts.understood = g_new0(char *, lines + 1);
  bool sound = true;
  for (guint i = 0; i < lines && sound; i++) {
    run->facts.understood[i] = text_at(understood, i);
    sound = run->facts.understood[i] != NULL;
    if (sound) run->facts.n_understood++;
  }
  sound = sound && read_inputs(array_of(object, "inputs", none), &run->facts) &&
          read_options(array_of(object, "options", none), run) &&
          read_grid(object, none, &run->facts.grid);
  json_array_unref(none);
  return sound && run->isosow != NULL && run->source_line != NULL && run->sheet_origin != NULL &&
         run->sheet_text != NULL;
}

enum isw_status isw_output_read_part_run(const char *text, const char *name,
                                         struct isw_part_run *out, struct isw_error *error) {
  struct isw_part_run run = {.n_options = 0};
  JsonObject *object = isw_output_parse_json(text, strlen(text));
  bool sound = object != NULL && read_run(object, &run);
  if (object != NULL) json_object_unref(object);
  if (sound) {
    *out = run;
    return ISW_OK;
  }
  isw_output_clear_part_run(&run);
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s: does not say which run it is of; was it made by another version of "
                       "isosow? Compute the parts again with this one",
                       name);
}

void isw_output_clear_part_run(struct isw_part_run *run) {
  isw_output_clear_facts(&run->facts);
  g_free(run->isosow);
  g_free(run->gdal);
  g_free(run->source_line);
  g_free(run->sheet_origin);
  g_free(run->sheet_text);
  for (int i = 0; i < run->n_options; i++) {
    g_free(run->options[i].name);
    g_free(run->options[i].value);
  }
  g_free(run->options);
  *run = (struct isw_part_run){.n_options = 0};
}

/* ---- what differs ---- */

static char *member_text(JsonObject *object, const char *name) {
  JsonNode *node = object != NULL ? json_object_get_member(object, name) : NULL;
  return node != NULL ? json_to_string(node, FALSE) : g_strdup("");
}

static bool same_member(JsonObject *a, JsonObject *b, const char *name) {
  char *in_a = member_text(a, name), *in_b = member_text(b, name);
  bool same = strcmp(in_a, in_b) == 0;
  g_free(in_a);
  g_free(in_b);
  return same;
}

/* The name of an option as a part carries it, "of no name" where it has none. New. */
static char *option_name(JsonNode *option) {
  char *name = JSON_NODE_HOLDS_ARRAY(option) ? text_at(json_node_get_array(option), 0) : NULL;
  return name != NULL ? name : g_strdup("of no name");
}

static void free_texts(gpointer texts) {
  g_string_free(texts, TRUE);
}

/* Name -> all that stands under it (GString), in order. New. */
static GHashTable *texts_by_name(JsonArray *options) {
  GHashTable *table = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, free_texts);
  for (guint i = 0; i < json_array_get_length(options); i++) {
    JsonNode *option = json_array_get_element(options, i);
    char *name = option_name(option), *text = json_to_string(option, FALSE);
    GString *texts = g_hash_table_lookup(table, name);
    if (texts == NULL) {
      texts = g_string_new(NULL);
      g_hash_table_insert(table, g_strdup(name), texts);
    }
    g_string_append(texts, text);
    g_free(text);
    g_free(name);
  }
  return table;
}

/* The first option of `from` that the other side has otherwise, or not; by name: what only one side
 * has does not shift the rest. */
static char *option_only_in(JsonArray *from, GHashTable *texts, GHashTable *other) {
  char *difference = NULL;
  for (guint i = 0; i < json_array_get_length(from) && difference == NULL; i++) {
    char *name = option_name(json_array_get_element(from, i));
    const GString *here = g_hash_table_lookup(texts, name);
    const GString *there = g_hash_table_lookup(other, name);
    if (there == NULL || !g_string_equal(here, there))
      difference = g_strdup_printf("option %s", name);
    g_free(name);
  }
  return difference;
}

static char *differing_option(JsonObject *a, JsonObject *b) {
  JsonArray *none = json_array_new();
  JsonArray *in_a = array_of(a, "options", none), *in_b = array_of(b, "options", none);
  GHashTable *texts_a = texts_by_name(in_a), *texts_b = texts_by_name(in_b);
  char *difference = option_only_in(in_a, texts_a, texts_b);
  if (difference == NULL) difference = option_only_in(in_b, texts_b, texts_a);
  g_hash_table_unref(texts_a);
  g_hash_table_unref(texts_b);
  json_array_unref(none);
  return difference;
}

char *isw_output_compare_part_runs(const char *a, const char *b) {
  static const struct {
    const char *member, *words;
  } members[] = {{"isosow", "version of isosow"},
                 {"gdal", "version of GDAL"},
                 {"sheet", "crop sheet"},
                 {"sheet_origin", "crop sheet"},
                 {"grid", "grid"},
                 {"inputs", "inputs"},
                 {"period", "period"},
                 {"understood", "understanding of the inputs"}};
  if (strcmp(a, b) == 0) return NULL;
  JsonObject *in_a = isw_output_parse_json(a, strlen(a));
  JsonObject *in_b = isw_output_parse_json(b, strlen(b));
  char *difference = NULL;
  for (size_t i = 0; i < G_N_ELEMENTS(members) && difference == NULL; i++)
    if (!same_member(in_a, in_b, members[i].member)) difference = g_strdup(members[i].words);
  if (difference == NULL && in_a != NULL && in_b != NULL) difference = differing_option(in_a, in_b);
  if (in_a != NULL) json_object_unref(in_a);
  if (in_b != NULL) json_object_unref(in_b);
  return difference != NULL ? difference : g_strdup("description of the run");
}

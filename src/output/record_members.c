#include "output/record_members.h"

void isw_output_add_text(JsonBuilder *builder, const char *name, const char *value) {
  if (name != NULL) json_builder_set_member_name(builder, name);
  if (value == NULL) {
    json_builder_add_null_value(builder);
    return;
  }
  /* Command lines and paths are bytes; JSON is UTF-8. */
  char *text = g_utf8_make_valid(value, -1);
  json_builder_add_string_value(builder, text);
  g_free(text);
}

void isw_output_add_count(JsonBuilder *builder, const char *name, long long value) {
  json_builder_set_member_name(builder, name);
  json_builder_add_int_value(builder, value);
}

void isw_output_add_extent(JsonBuilder *builder, const struct isw_grid *grid) {
  isw_output_add_count(builder, "width", grid->width);
  isw_output_add_count(builder, "height", grid->height);
  json_builder_set_member_name(builder, "transform");
  json_builder_begin_array(builder);
  for (int i = 0; i < 6; i++) json_builder_add_double_value(builder, grid->transform[i]);
  json_builder_end_array(builder);
}

void isw_output_add_checked_file(JsonBuilder *builder, const char *name, long long size,
                                 const char *sha256) {
  json_builder_begin_object(builder);
  isw_output_add_text(builder, "file", name);
  isw_output_add_count(builder, "size", size);
  isw_output_add_text(builder, "sha256", sha256);
  json_builder_end_object(builder);
}

enum isw_status isw_output_write_members(JsonBuilder *builder, const char *path,
                                         struct isw_error *error) {
  JsonNode *root = json_builder_get_root(builder);
  JsonGenerator *generator = json_generator_new();
  json_generator_set_root(generator, root);
  json_generator_set_pretty(generator, TRUE);
  GError *failure = NULL;
  enum isw_status status = ISW_OK;
  if (!json_generator_to_file(generator, path, &failure)) {
    status = isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path, failure->message);
    g_error_free(failure);
  }
  g_object_unref(generator);
  json_node_unref(root);
  return status;
}

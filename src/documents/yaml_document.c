/* DESIGN: two passes. The first walks libyaml's events, which stream, so that a hostile text is
 * refused where its trouble begins and nothing is built from it; only events still show anchors,
 * aliases and tags. The second builds the tree, whose nodes know their lines. */
#include "documents/yaml_document.h"

#include <glib.h>
#include <stdbool.h>

enum { DEPTH_MAX = 16 };

static size_t line_of_offset(const char *text, size_t offset) {
  size_t line = 1;
  for (size_t i = 0; i < offset; i++)
    if (text[i] == '\n') line++;
  return line;
}

static enum isw_status check_bytes(const struct isw_yaml_kind *kind, const char *text, size_t size,
                                   const char *origin, struct isw_error *error) {
  if (size > ISW_YAML_BYTES_MAX)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "%s: larger than %d bytes; a %s is a page or two of text: is this the right "
        "file?",
        origin, (int)ISW_YAML_BYTES_MAX, kind->noun);
  const char *end = NULL;
  if (!g_utf8_validate(text, (gssize)size, &end))
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s:%zu: not UTF-8 text; save the %s as UTF-8 without NUL bytes", origin,
                         line_of_offset(text, (size_t)(end - text)), kind->noun);
  return ISW_OK;
}

static enum isw_status fail_yaml(const yaml_parser_t *parser, const char *text, const char *origin,
                                 struct isw_error *error) {
  const char *problem = parser->problem == NULL ? "unreadable" : parser->problem;
  if (parser->error == YAML_MEMORY_ERROR)
    return isw_base_fail(error, ISW_RESOURCES, "%s: out of memory while reading", origin);
  if (parser->error == YAML_READER_ERROR)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT, "%s:%zu: %s; remove the character with code %d there", origin,
        line_of_offset(text, parser->problem_offset), problem, parser->problem_value);
  size_t line = parser->problem_mark.line + 1;
  size_t since = parser->context_mark.line + 1;
  if (parser->context != NULL && since < line)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s:%zu: not valid YAML: %s, %s that began in line %zu; check brackets, "
                         "quotes, and that lines are indented with blanks",
                         origin, line, problem, parser->context, since);
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%zu: not valid YAML: %s; check brackets, quotes, and that lines are "
                       "indented with blanks",
                       origin, line, problem);
}

struct walk {
  int depth, documents;
};

/* NULL, or why the event has no place in a document. */
static const char *refuse_event(const yaml_event_t *event, struct walk *walk) {
  const yaml_char_t *anchor = NULL, *tag = NULL;
  switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
      if (++walk->documents > 1) return "a second document begins; give each a file of its own";
      break;
    case YAML_ALIAS_EVENT:
      return "an alias (*name); anchors and aliases are not taken: write the value out";
    case YAML_SCALAR_EVENT:
      anchor = event->data.scalar.anchor;
      tag = event->data.scalar.tag;
      break;
    case YAML_SEQUENCE_START_EVENT:
      anchor = event->data.sequence_start.anchor;
      tag = event->data.sequence_start.tag;
      walk->depth++;
      break;
    case YAML_MAPPING_START_EVENT:
      anchor = event->data.mapping_start.anchor;
      tag = event->data.mapping_start.tag;
      walk->depth++;
      break;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT: walk->depth--; break;
    default: break;
  }
  if (walk->depth > DEPTH_MAX) return "nested too deeply; check the brackets";
  if (anchor != NULL)
    return "an anchor (&name); anchors and aliases are not taken: write the value out";
  if (tag != NULL) return "a tag (!name); tags are not taken: remove it";
  return NULL;
}

static enum isw_status check_events(const char *text, size_t size, const char *origin,
                                    struct isw_error *error) {
  yaml_parser_t parser;
  if (!yaml_parser_initialize(&parser))
    return isw_base_fail(error, ISW_RESOURCES, "%s: out of memory while reading", origin);
  yaml_parser_set_input_string(&parser, (const unsigned char *)text, size);
  struct walk walk = {0, 0};
  enum isw_status status = ISW_OK;
  bool at_end = false;
  while (status == ISW_OK && !at_end) {
    yaml_event_t event;
    if (!yaml_parser_parse(&parser, &event)) {
      status = fail_yaml(&parser, text, origin, error);
      break;
    }
    const char *why = refuse_event(&event, &walk);
    if (why != NULL)
      status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%zu: %s", origin,
                             event.start_mark.line + 1, why);
    at_end = event.type == YAML_STREAM_END_EVENT;
    yaml_event_delete(&event);
  }
  yaml_parser_delete(&parser);
  return status;
}

enum isw_status isw_documents_open_yaml(const struct isw_yaml_kind *kind, const char *text,
                                        size_t size, const char *origin, yaml_document_t *out,
                                        struct isw_error *error) {
  enum isw_status status = check_bytes(kind, text, size, origin, error);
  if (status == ISW_OK) status = check_events(text, size, origin, error);
  if (status != ISW_OK) return status;
  yaml_parser_t parser;
  if (!yaml_parser_initialize(&parser))
    return isw_base_fail(error, ISW_RESOURCES, "%s: out of memory while reading", origin);
  yaml_parser_set_input_string(&parser, (const unsigned char *)text, size);
  if (!yaml_parser_load(&parser, out)) {
    status = fail_yaml(&parser, text, origin, error);
  } else if (yaml_document_get_root_node(out) == NULL) {
    yaml_document_delete(out);
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: empty; a %s needs %s", origin, kind->noun,
                           kind->needs);
  }
  yaml_parser_delete(&parser);
  return status;
}

/* A YAML text as libyaml's document tree, after everything was refused that no document of ours has
 * a use for: several documents, anchors and aliases, tags, deep nesting, text that is not UTF-8. */
#ifndef ISW_DOCUMENTS_YAML_DOCUMENT_H
#define ISW_DOCUMENTS_YAML_DOCUMENT_H

#include <stddef.h>
#include <yaml.h>

#include "base/status.h"

enum { ISW_YAML_BYTES_MAX = 1000000 };

/* What messages call the document, and what an empty one is told it needs: {"crop sheet", "crop,
 * unit, ..."}. */
struct isw_yaml_kind {
  const char *noun, *needs;
};

/* *out is to be deleted with yaml_document_delete, but only after ISW_OK; it then has a root node.
 * text: size bytes of any kind. ISW_INPUT_CONTENT: "origin:line: ..."; ISW_RESOURCES. */
enum isw_status isw_documents_open_yaml(const struct isw_yaml_kind *kind, const char *text,
                                        size_t size, const char *origin, yaml_document_t *out,
                                        struct isw_error *error);

#endif

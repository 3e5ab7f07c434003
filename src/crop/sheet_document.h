/* The text of a sheet as libyaml's document tree, after everything was refused that a sheet has no
 * use for: several documents, anchors and aliases, tags, deep nesting, text that is not UTF-8. */
#ifndef ISW_CROP_SHEET_DOCUMENT_H
#define ISW_CROP_SHEET_DOCUMENT_H

#include <stddef.h>
#include <yaml.h>

#include "base/status.h"

enum { ISW_SHEET_BYTES_MAX = 1000000 };

/* *out is to be deleted with yaml_document_delete, but only after ISW_OK; it then has a root node.
 * ISW_INPUT_CONTENT: "origin:line: ...". */
enum isw_status isw_crop_open_document(const char *text, size_t size, const char *origin,
                                       yaml_document_t *out, struct isw_error *error);

#endif

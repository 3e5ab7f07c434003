/* Members of JSON objects, as run.json and the answers of `inspect` and `parts` have them. */
#ifndef ISW_OUTPUT_RECORD_MEMBERS_H
#define ISW_OUTPUT_RECORD_MEMBERS_H

#include <json-glib/json-glib.h>

#include "base/status.h"
#include "climate/grid.h"

/* Into the object that is open in builder, or with name NULL into the open array. value: any bytes;
 * what is no UTF-8 is replaced; NULL gives null. */
void isw_output_add_text(JsonBuilder *builder, const char *name, const char *value);

/* A whole number, into the open object. */
void isw_output_add_count(JsonBuilder *builder, const char *name, long long value);

/* width, height (cells) and transform (GDAL's six numbers) of a grid, into the open object. */
void isw_output_add_extent(JsonBuilder *builder, const struct isw_grid *grid);

/* An object of file, size (bytes) and sha256 (lower-case hex, or NULL), into the open array. */
void isw_output_add_checked_file(JsonBuilder *builder, const char *name, long long size,
                                 const char *sha256);

/* The object that was closed in builder, as a file. ISW_OUTPUT. */
enum isw_status isw_output_write_members(JsonBuilder *builder, const char *path,
                                         struct isw_error *error);

#endif

#include "regions/json_tail.h"

#include <cpl_vsi.h>
#include <string.h>

struct scan {
  long long line;
  int depth;
  bool begun, in_string, escaped;
};

/* true: byte stands behind the object. */
static bool take(struct scan *scan, char byte) {
  if (byte == '\n') scan->line++;
  if (scan->begun && scan->depth == 0) return strchr(" \t\r\n", byte) == NULL;
  if (scan->in_string) {
    bool ends = byte == '"' && !scan->escaped;
    scan->escaped = byte == '\\' && !scan->escaped;
    scan->in_string = !ends;
  } else if (byte == '"') {
    scan->in_string = true;
  } else if (byte == '{' || byte == '[') {
    scan->begun = true;
    scan->depth++;
  } else if (byte == '}' || byte == ']') {
    scan->depth--;
  }
  return false;
}

long long isw_regions_find_json_tail(const char *path) {
  VSILFILE *file = VSIFOpenL(path, "rb");
  if (file == NULL) return 0;
  struct scan scan = {.line = 1};
  char chunk[16384];
  size_t got;
  long long found = 0;
  while (found == 0 && (got = VSIFReadL(chunk, 1, sizeof chunk, file)) > 0)
    for (size_t i = 0; i < got && found == 0; i++)
      if (take(&scan, chunk[i])) found = scan.line;
  VSIFCloseL(file);
  return found;
}

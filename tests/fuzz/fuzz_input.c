#include "fuzz_input.h"

#include <glib.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

_Noreturn void fuzz_broken(const char *what, const char *file, int line) {
  fprintf(stderr, "%s:%d: broken: %s\n", file, line, what);
  abort();
}

void fuzz_expect_told(enum isw_status status, const struct isw_error *error) {
  FUZZ_EXPECT(status == ISW_USAGE || status == ISW_INPUT_FILE || status == ISW_INPUT_CONTENT ||
              status == ISW_INPUT_DOUBT);
  FUZZ_EXPECT(error->status == status);
  FUZZ_EXPECT(error->text[0] != '\0');
  FUZZ_EXPECT(g_utf8_validate(error->text, -1, NULL));
}

char *fuzz_next_line(struct fuzz_lines *lines) {
  size_t left = (size_t)(lines->end - lines->at);
  const uint8_t *line_end = left > 0 ? memchr(lines->at, '\n', left) : NULL;
  size_t length = line_end != NULL ? (size_t)(line_end - lines->at) : left;
  char *line = malloc(length + 1);
  if (line == NULL) abort();
  if (length > 0) memcpy(line, lines->at, length);
  line[length] = '\0';
  lines->at = line_end != NULL ? line_end + 1 : lines->end;
  return line;
}

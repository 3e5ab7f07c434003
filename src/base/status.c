#include "base/status.h"

#include <stdio.h>
#include <string.h>

#include "base/interrupt.h"

/* Bytes of the well-formed UTF-8 character at text, 0 where there is none (Unicode, table 3-7). */
static size_t character_size(const unsigned char *text) {
  static const struct {
    unsigned char first, last, second_from, second_to;
    size_t size;
  } rows[] = {
      {0x00, 0x7f, 0x00, 0x00, 1}, {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3},
      {0xe1, 0xec, 0x80, 0xbf, 3}, {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3},
      {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4}, {0xf4, 0xf4, 0x80, 0x8f, 4}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    if (text[0] < rows[i].first || text[0] > rows[i].last) continue;
    if (rows[i].size > 1 && (text[1] < rows[i].second_from || text[1] > rows[i].second_to))
      return 0;
    for (size_t k = 2; k < rows[i].size; k++)
      if (text[k] < 0x80 || text[k] > 0xbf) return 0;
    return rows[i].size;
  }
  return 0;
}

/* File names and values come as bytes, and long ones are cut anywhere: what is no character is
 * shown as "?". The NUL ends every sequence that it cuts. */
static void make_characters(char *text) {
  while (*text != '\0') {
    size_t size = character_size((const unsigned char *)text);
    if (size == 0) *text = '?';
    text += size == 0 ? 1 : size;
  }
}

enum isw_status isw_base_fail(struct isw_error *error, enum isw_status status, const char *format,
                              ...) {
  if (error == NULL) return status;
  va_list args;
  va_start(args, format);
  error->status = status;
  vsnprintf(error->text, sizeof error->text, format, args);
  va_end(args);
  make_characters(error->text);
  return status;
}

void isw_base_prefix_error(struct isw_error *error, const char *format, ...) {
  if (error == NULL) return;
  char old[ISW_ERROR_TEXT_SIZE];
  memcpy(old, error->text, sizeof old);
  va_list args;
  va_start(args, format);
  int used = vsnprintf(error->text, sizeof error->text, format, args);
  va_end(args);
  if (used >= 0 && (size_t)used < sizeof error->text)
    snprintf(error->text + used, sizeof error->text - (size_t)used, "%s", old);
  make_characters(error->text);
}

int isw_base_exit_code(enum isw_status status) {
  enum { EXIT_DONE = 0, EXIT_OTHER = 1, EXIT_USAGE = 2, EXIT_INPUT = 3, EXIT_OUTPUT = 4 };
  enum { EXIT_SIGNAL_BASE = 128, SIGNAL_INTERRUPT = 2 };
  int signal_number = isw_base_interrupted_by();
  switch ((int)status / 1000) {
    case 0: return EXIT_DONE;
    case 1: return EXIT_USAGE;
    case 2:
    case 3: return EXIT_INPUT;
    case 4: return EXIT_OUTPUT;
    case 7: return EXIT_SIGNAL_BASE + (signal_number ? signal_number : SIGNAL_INTERRUPT);
    default: return EXIT_OTHER;
  }
}

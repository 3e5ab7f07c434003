#include "base/status.h"

#include <stdio.h>
#include <string.h>

#include "base/interrupt.h"

/* A text that filled its room may end within a character: take that one away. */
static void mend_end(char text[ISW_ERROR_TEXT_SIZE]) {
  size_t length = strlen(text), tail = 0;
  if (length + 1 < ISW_ERROR_TEXT_SIZE) return;
  while (tail < 4 && tail < length && ((unsigned char)text[length - 1 - tail] & 0xc0) == 0x80)
    tail++;
  if (tail == length) return;
  const unsigned char lead = (unsigned char)text[length - 1 - tail];
  const size_t follow = lead >= 0xf0 ? 3 : lead >= 0xe0 ? 2 : lead >= 0xc0 ? 1 : 0;
  if (tail < follow) text[length - 1 - tail] = '\0';
}

enum isw_status isw_base_fail(struct isw_error *error, enum isw_status status, const char *format,
                              ...) {
  if (error == NULL) return status;
  va_list args;
  va_start(args, format);
  error->status = status;
  vsnprintf(error->text, sizeof error->text, format, args);
  va_end(args);
  mend_end(error->text);
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
  mend_end(error->text);
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

#include "base/status.h"

#include <stdio.h>
#include <string.h>

#include "base/interrupt.h"
#include "base/plain_text.h"

enum isw_status isw_base_fail(struct isw_error *error, enum isw_status status, const char *format,
                              ...) {
  if (error == NULL) return status;
  va_list args;
  va_start(args, format);
  error->status = status;
  vsnprintf(error->text, sizeof error->text, format, args);
  va_end(args);
  isw_base_make_plain(error->text, false);
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
  isw_base_make_plain(error->text, false);
}

void isw_base_append_error(struct isw_error *error, const char *format, ...) {
  if (error == NULL) return;
  size_t used = strlen(error->text);
  va_list args;
  va_start(args, format);
  vsnprintf(error->text + used, sizeof error->text - used, format, args);
  va_end(args);
  isw_base_make_plain(error->text, false);
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

#include "base/log.h"

#include <stdarg.h>

#include "base/plain_text.h"
#include "base/setting.h"

enum { TEXT_SIZE = 8192 }; /* what is longer is cut */
enum { PROGRESS_STEPS = 40, STEPS_PER_NUMBER = 4, PERCENT_PER_NUMBER = 10 };

struct isw_log isw_base_log_make(FILE *stream, bool quiet) {
  return (struct isw_log){.stream = stream, .quiet = quiet, .progress_shown = -1};
}

static void say(struct isw_log *log, const char *kind, const char *format, va_list args) {
  if (log->progress_shown >= 0) {
    fputc('\n', log->stream);
    log->progress_shown = -1;
  }
  char text[TEXT_SIZE];
  vsnprintf(text, sizeof text, format, args);
  isw_base_make_plain_line(text);
  isw_base_show_settings(text);
  fprintf(log->stream, "isosow: %s%s\n", kind, text);
}

void isw_base_notice(struct isw_log *log, const char *format, ...) {
  if (log == NULL || log->stream == NULL || log->quiet) return;
  va_list args;
  va_start(args, format);
  say(log, "", format, args);
  va_end(args);
}

void isw_base_warn(struct isw_log *log, const char *format, ...) {
  if (log == NULL || log->stream == NULL) return;
  va_list args;
  va_start(args, format);
  say(log, "warning: ", format, args);
  va_end(args);
}

void isw_base_progress(struct isw_log *log, long long done, long long total) {
  if (log == NULL || log->stream == NULL || log->quiet || total <= 0) return;
  int reached = (int)(done * PROGRESS_STEPS / total);
  if (log->progress_shown < 0 && done >= total) return;
  while (log->progress_shown < reached) {
    int step = ++log->progress_shown;
    if (step % STEPS_PER_NUMBER == 0)
      fprintf(log->stream, "%d", step / STEPS_PER_NUMBER * PERCENT_PER_NUMBER);
    else
      fputc('.', log->stream);
  }
  if (reached >= PROGRESS_STEPS) {
    fputs(" - done.\n", log->stream);
    log->progress_shown = -1;
  }
  fflush(log->stream);
}

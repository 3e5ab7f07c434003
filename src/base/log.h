/* What the user is told while the program works: notices, warnings, progress; all on one stream. */
#ifndef ISW_BASE_LOG_H
#define ISW_BASE_LOG_H

#include <stdbool.h>
#include <stdio.h>

#include "base/status.h"

struct isw_log {
  FILE *stream;       /* stderr; NULL is silent */
  bool quiet;         /* notices and progress off; warnings stay */
  int progress_shown; /* last 2.5 % step drawn, in the open progress line; -1: no line is open */
};

/* A log on stream with no progress line open. */
struct isw_log isw_base_log_make(FILE *stream, bool quiet);

/* "isosow: ..." lines, made plain (base/plain_text.h). log may be NULL (silent). */
void isw_base_notice(struct isw_log *log, const char *format, ...) ISW_PRINTF(2, 3);
void isw_base_warn(struct isw_log *log, const char *format, ...) ISW_PRINTF(2, 3);

/* Draw "0...10...20... 100 - done." as done goes from 0 to total (total > 0). One thread only. */
void isw_base_progress(struct isw_log *log, long long done, long long total);

#endif

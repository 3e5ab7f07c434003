/* Status codes and the one message a failure carries to the user.
 *
 * Functions that can fail return an enum isw_status and fill a struct
 * isw_error whose text says what happened, where, and what to do. Warnings
 * ("computed, but doubtful") never travel here; they go to the log. */
#ifndef ISW_BASE_STATUS_H
#define ISW_BASE_STATUS_H

#include <stdarg.h>

#if defined(__GNUC__)
#define ISW_PRINTF(format_at, first_at) __attribute__((format(printf, format_at, first_at)))
#else
#define ISW_PRINTF(format_at, first_at)
#endif

/* The thousands are the range: 1 usage, 2 input file, 3 input content, 4 output, 5 resources,
 * 6 internal, 7 interrupted. */
enum isw_status {
  ISW_OK = 0,
  ISW_USAGE = 1000,         /* an option, a name or a value is wrong */
  ISW_USAGE_EXISTS = 1001,  /* results exist and --overwrite was not given */
  ISW_INPUT_FILE = 2000,    /* an input is missing or unreadable */
  ISW_INPUT_CONTENT = 3000, /* an input is wrong */
  ISW_INPUT_DOUBT = 3001,   /* an input is doubtful and is not guessed at */
  ISW_OUTPUT = 4000,        /* cannot write, disk full */
  ISW_RESOURCES = 5000,     /* out of memory, no thread */
  ISW_INTERNAL = 6000,      /* a mistake of ours */
  ISW_INTERRUPTED = 7000    /* SIGINT or SIGTERM */
};

enum { ISW_ERROR_TEXT_SIZE = 2048 };

struct isw_error {
  enum isw_status status;
  char text[ISW_ERROR_TEXT_SIZE]; /* plain UTF-8, one or more lines, no final newline */
};

/* Fill *error (may be NULL) and return status, so that callers write
 * `return isw_base_fail(error, ISW_OUTPUT, "...", ...)`. Over-long text is cut, and made plain
 * (base/plain_text.h): it may quote anything. */
enum isw_status isw_base_fail(struct isw_error *error, enum isw_status status, const char *format,
                              ...) ISW_PRINTF(3, 4);

/* Put "prefix" in front of the text already in *error; the status stays. */
void isw_base_prefix_error(struct isw_error *error, const char *format, ...) ISW_PRINTF(2, 3);

/* The same behind it: what a room does not know about what to do, such as an option. */
void isw_base_append_error(struct isw_error *error, const char *format, ...) ISW_PRINTF(2, 3);

/* The program's exit code: 0 ok, 2 usage, 3 input, 4 output, 130/143 interrupted (by the signal
 * that isw_base_interrupted_by reports), 1 anything else. */
int isw_base_exit_code(enum isw_status status);

#endif

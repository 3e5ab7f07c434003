/* A fuzzer's input as texts: what every harness needs, and one entry for libFuzzer and for the
 * plain replay driver alike. */
#ifndef ISW_TEST_FUZZ_INPUT_H
#define ISW_TEST_FUZZ_INPUT_H

#include <stddef.h>
#include <stdint.h>

#include "base/status.h"

/* libFuzzer's entry, which each harness defines. Always 0. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* What a harness found out is broken: says so and aborts, which both drivers report with the input
 * that caused it. */
#define FUZZ_EXPECT(condition) ((condition) ? (void)0 : fuzz_broken(#condition, __FILE__, __LINE__))
_Noreturn void fuzz_broken(const char *what, const char *file, int line);

/* A failure is told in words: one of the statuses for bad input, and a text that is UTF-8. */
void fuzz_expect_told(enum isw_status status, const struct isw_error *error);

/* The next line of an input, without its line end, as a new NUL-terminated string (free); empty
 * past the last. NULs inside end it for whoever reads it as a string. */
struct fuzz_lines {
  const uint8_t *at, *end;
};
char *fuzz_next_line(struct fuzz_lines *lines);

#endif

#include "base/clock.h"

#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <time.h>

static const char variable[] = "SOURCE_DATE_EPOCH";
static const long long last_second = 253402300799; /* of the year 9999 */

/* *seconds: -1 where it is not set. */
static bool read_fixed(long long *seconds) {
  const char *fixed = getenv(variable);
  *seconds = -1;
  if (fixed == NULL || fixed[0] == '\0') return true;
  char *end = NULL;
  errno = 0;
  long long value = fixed[0] >= '0' && fixed[0] <= '9' ? strtoll(fixed, &end, 10) : -1;
  if (end == NULL || *end != '\0' || errno != 0 || value > last_second) return false;
  *seconds = value;
  return true;
}

long long isw_base_now(void) {
  long long fixed;
  return read_fixed(&fixed) && fixed >= 0 ? fixed : (long long)time(NULL);
}

long long isw_base_stated_time(void) {
  long long fixed;
  return read_fixed(&fixed) && fixed >= 0 ? fixed : 0;
}

enum isw_status isw_base_check_clock(struct isw_error *error) {
  long long fixed;
  if (read_fixed(&fixed)) return ISW_OK;
  return isw_base_fail(
      error, ISW_USAGE,
      "%s=%s: must be whole seconds since 1970, up to the year 9999; set it right or "
      "unset it",
      variable, getenv(variable));
}

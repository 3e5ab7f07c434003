#include "base/clock.h"

#include <errno.h>
#include <stdlib.h>
#include <time.h>

long long isw_base_now(void) {
  const char *fixed = getenv("SOURCE_DATE_EPOCH");
  if (fixed != NULL && fixed[0] >= '0' && fixed[0] <= '9') {
    char *end;
    errno = 0;
    long long value = strtoll(fixed, &end, 10);
    if (*end == '\0' && errno == 0) return value;
  }
  return (long long)time(NULL);
}

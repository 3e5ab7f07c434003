/* A time coordinate: a line of units, a line of calendar (empty: none), a line with the number. */
#include <math.h>
#include <stdlib.h>

#include "climate/time_axis.h"
#include "fuzz_input.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  struct fuzz_lines lines = {data, data + size};
  char *units = fuzz_next_line(&lines), *calendar = fuzz_next_line(&lines);
  char *number = fuzz_next_line(&lines);
  struct isw_time_point point;
  bool is_time = isw_climate_is_time_units(units);
  if (isw_climate_parse_time(units, calendar[0] != '\0' ? calendar : NULL, strtod(number, NULL),
                             &point)) {
    FUZZ_EXPECT(is_time);
    FUZZ_EXPECT(point.month >= 0 && point.month < 12);
    FUZZ_EXPECT(point.day_of_month >= 1.0 && point.day_of_month < 32.0);
    FUZZ_EXPECT(point.year >= -5000 && point.year <= 10000);
  }
  free(units);
  free(calendar);
  free(number);
  return 0;
}

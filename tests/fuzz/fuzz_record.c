/* A record of stations from any bytes: refused in words, or years within the limits that
 * climate/station_record.h states. The first byte chooses the unit. */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "climate/limits.h"
#include "climate/station_record.h"
#include "fuzz_input.h"

static void expect_value(double value_C) {
  FUZZ_EXPECT(isnan(value_C) || (value_C >= ISW_COLDEST_C && value_C <= ISW_WARMEST_C));
}

static void expect_station(const struct isw_record *record,
                           const struct isw_station_record *station) {
  FUZZ_EXPECT(station->name[0] != '\0' && station->n_years > 0);
  FUZZ_EXPECT(station->lat_deg >= -90.0 && station->lat_deg <= 90.0);
  for (int y = 0; y < station->n_years; y++) {
    const struct isw_record_year *year = &station->years[y];
    FUZZ_EXPECT(year->year >= record->first_year && year->year <= record->last_year);
    FUZZ_EXPECT(y == 0 || year->year > station->years[y - 1].year);
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      expect_value(year->tmin_C[m]);
      expect_value(year->tmax_C[m]);
      FUZZ_EXPECT(!(year->tmin_C[m] - year->tmax_C[m] > ISW_MOST_INVERTED_K));
    }
  }
  const struct isw_station_record *found = isw_climate_find_record(record, station->name);
  FUZZ_EXPECT(found != NULL);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static const enum isw_unit units[] = {ISW_UNIT_UNKNOWN, ISW_UNIT_F,   ISW_UNIT_K,
                                        ISW_UNIT_C10,     ISW_UNIT_F10, ISW_UNIT_C};
  if (size == 0) return 0;
  struct isw_record *record = NULL;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status =
      isw_climate_parse_record("record.csv", (const char *)data + 1, size - 1,
                               units[data[0] % G_N_ELEMENTS(units)], NULL, &record, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  for (int i = 0; status == ISW_OK && i < record->count; i++)
    expect_station(record, &record->stations[i]);
  isw_climate_free_record(record);
  return 0;
}

/* A table of stations from any bytes: refused in words, or stations within the limits that
 * climate/stations.h states. The first byte chooses the unit. */
#include <glib.h>
#include <math.h>

#include "climate/limits.h"
#include "climate/stations.h"
#include "fuzz_input.h"

static void expect_station(const struct isw_station *station) {
  FUZZ_EXPECT(station->name[0] != '\0');
  FUZZ_EXPECT(station->lat_deg >= -90.0 && station->lat_deg <= 90.0);
  FUZZ_EXPECT(station->lon_deg >= -180.0 && station->lon_deg <= 360.0);
  FUZZ_EXPECT(station->line >= 2);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    double low = station->tmin_C[m], high = station->tmax_C[m];
    FUZZ_EXPECT(low >= ISW_COLDEST_C && low <= ISW_WARMEST_C);
    FUZZ_EXPECT(high >= ISW_COLDEST_C && high <= ISW_WARMEST_C);
    FUZZ_EXPECT(low - high <= ISW_MOST_INVERTED_K);
    FUZZ_EXPECT(low <= high || !station->valid);
  }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static const enum isw_unit units[] = {ISW_UNIT_UNKNOWN, ISW_UNIT_F,   ISW_UNIT_K,
                                        ISW_UNIT_C10,     ISW_UNIT_F10, ISW_UNIT_C};
  if (size == 0) return 0;
  struct isw_stations *stations = NULL;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_climate_parse_stations(
      "stations.csv", (const char *)data + 1, size - 1, units[data[0] % G_N_ELEMENTS(units)],
      data[0] >= 128, NULL, &stations, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  for (int i = 0; status == ISW_OK && i < stations->count; i++) expect_station(&stations->items[i]);
  isw_climate_free_stations(stations);
  return 0;
}

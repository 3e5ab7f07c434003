#include "survey/record_of_place.h"

#include <glib.h>
#include <math.h>

#include "growth/month_sums.h"
#include "survey/place_cell.h"

static bool is_same(const char *a, const char *b) {
  char *folded_a = g_utf8_casefold(a, -1), *folded_b = g_utf8_casefold(b, -1);
  const bool same = g_str_equal(folded_a, folded_b);
  g_free(folded_a);
  g_free(folded_b);
  return same;
}

/* By its name, its id, or the name it shares with others, behind which its id stands. */
static bool is_called(const struct isw_station_record *station, const char *name) {
  if (is_same(station->name, name)) return true;
  if (station->id == NULL) return false;
  char *with_id = g_strdup_printf("%s (%s)", name, station->id);
  const bool called = is_same(station->id, name) || is_same(station->name, with_id);
  g_free(with_id);
  return called;
}

struct isw_site_record isw_survey_find_place_record(const struct isw_record *record,
                                                    const char *name, double lat_deg,
                                                    double lon_deg, int from_year, int to_year,
                                                    double *namesake_km) {
  struct isw_site_record found = {.station = NULL, .away_km = INFINITY};
  bool by_name = false;
  double least_km = INFINITY; /* of stations of that name */
  for (int i = 0; i < record->count; i++) {
    const struct isw_station_record *station = &record->stations[i];
    const double km = isw_survey_distance_km(lat_deg, lon_deg, station->lat_deg, station->lon_deg);
    const bool called = is_called(station, name);
    if (called) least_km = fmin(least_km, km);
    if (km > ISW_RECORD_WITHIN_KM || called < by_name) continue;
    if (called == by_name && km >= found.away_km) continue;
    by_name = called;
    found.station = station;
    found.away_km = km;
  }
  *namesake_km = isfinite(least_km) && least_km > ISW_RECORD_WITHIN_KM ? least_km : 0.0;
  if (found.station == NULL) return (struct isw_site_record){.station = NULL};
  found.from_year = from_year > 0 ? from_year : found.station->years[0].year;
  found.to_year = to_year > 0 ? to_year : found.station->years[found.station->n_years - 1].year;
  if (found.from_year > found.to_year) found.station = NULL;
  return found;
}

double isw_survey_record_warmer_K(const struct isw_site_record *record,
                                  const struct isw_normals *normals) {
  double sum_K = 0.0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    struct isw_month_sums sums = {.n_tmin = 0};
    for (int y = 0; y < record->station->n_years; y++) {
      const struct isw_record_year *year = &record->station->years[y];
      if (year->year >= record->from_year && year->year <= record->to_year)
        isw_growth_add_month(&sums, year->tmin_C[m], year->tmax_C[m]);
    }
    sum_K += isw_growth_month_tmin_C(&sums, 1) - normals->tmin_C[m] +
             isw_growth_month_tmax_C(&sums, 1) - normals->tmax_C[m];
  }
  return sum_K / (2 * ISW_YEAR_MONTHS);
}

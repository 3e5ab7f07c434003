#include "jobs/place_records.h"

#include <glib.h>

#include "climate/station_record.h"
#include "survey/record_of_place.h"

enum isw_status isw_jobs_open_place_records(const struct isw_options *options,
                                            const struct isw_place_list *places,
                                            struct isw_log *log, struct isw_place_records *out,
                                            struct isw_error *error) {
  *out = (struct isw_place_records){.record = NULL};
  if (options->record == NULL) {
    if (options->from_year == 0 && options->to_year == 0) return ISW_OK;
    return isw_base_fail(error, ISW_USAGE, "--from and --to need --record FILE");
  }
  if (places == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--record tells how the years of named places went; name them with "
                         "--places FILE");
  if (options->from_year > 0 && options->to_year > 0 && options->from_year > options->to_year)
    return isw_base_fail(error, ISW_USAGE, "from %d to %d there is no year", options->from_year,
                         options->to_year);
  const enum isw_unit unit = (enum isw_unit)(options->record_unit + 1);
  enum isw_status status = isw_climate_read_record(options->record, unit, log, &out->record, error);
  if (status != ISW_OK) return status;
  out->places = g_new0(struct isw_site_record, (gsize)places->count);
  int found = 0;
  for (int i = 0; i < places->count; i++) {
    const struct isw_named_place *place = &places->items[i];
    double namesake_km;
    out->places[i] =
        isw_survey_find_place_record(out->record, place->name, place->lat_deg, place->lon_deg,
                                     options->from_year, options->to_year, &namesake_km);
    found += out->places[i].station != NULL;
    if (namesake_km > 0.0)
      isw_base_warn(log,
                    "%s: the station called %s is %.0f km from the place of that name; its record "
                    "is not taken for it",
                    options->record, place->name, namesake_km);
  }
  if (found == 0)
    return isw_base_fail(error, ISW_USAGE,
                         "%s: has no station within %d km of any place of %s, or none with years "
                         "that count",
                         options->record, ISW_RECORD_WITHIN_KM, options->places);
  isw_base_notice(log, "%s: records of %d of %d places", options->record, found, places->count);
  return ISW_OK;
}

void isw_jobs_free_place_records(struct isw_place_records *records) {
  isw_climate_free_record(records->record);
  g_free(records->places);
}

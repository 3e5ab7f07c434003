#include "jobs/site_inputs.h"

#include <math.h>
#include <string.h>

#include "jobs/record_inputs.h"
#include "jobs/station_name.h"
#include "regions/coordinates.h"
#include "survey/place_cell.h"

static struct isw_site station_site(const struct isw_options *options,
                                    const struct isw_station *station,
                                    enum isw_hemisphere hemisphere, int count) {
  struct isw_site site = {.name = station->name,
                          .lat_text = station->lat_text,
                          .lon_text = station->lon_text,
                          .lat_deg = station->lat_deg,
                          .lon_deg = station->lon_deg,
                          .south = hemisphere == ISW_HEMISPHERE_AUTO
                                       ? station->lat_deg < 0.0
                                       : hemisphere == ISW_HEMISPHERE_SOUTH,
                          .period = options->period != NULL ? options->period : station->period};
  if (options->place != NULL && count == 1) site.name = options->place;
  site.no_data = !station->valid;
  site.normals.has_year_spread = !isnan(station->year_spread_K);
  if (site.normals.has_year_spread) site.normals.year_spread_K = station->year_spread_K;
  memcpy(site.normals.tmin_C, station->tmin_C, sizeof site.normals.tmin_C);
  memcpy(site.normals.tmax_C, station->tmax_C, sizeof site.normals.tmax_C);
  return site;
}

/* The station that was asked for by name, or -1: all are. */
static enum isw_status find_wanted(const struct isw_options *options,
                                   const struct isw_stations *stations, int *wanted,
                                   struct isw_error *error) {
  *wanted = -1;
  if (options->station == NULL) return ISW_OK;
  const char **names = g_new(const char *, (gsize)stations->count);
  for (int i = 0; i < stations->count; i++) names[i] = stations->items[i].name;
  enum isw_status status = isw_jobs_find_station(options->station, stations->count, names,
                                                 options->stations, wanted, error);
  g_free(names);
  return status;
}

static enum isw_status take_stations(const struct isw_options *options,
                                     enum isw_hemisphere hemisphere, struct isw_log *log,
                                     struct isw_site_inputs *out, struct isw_error *error) {
  const struct isw_stations *stations = out->stations;
  int only;
  enum isw_status status = find_wanted(options, stations, &only, error);
  if (status != ISW_OK) return status;
  const int asked = only >= 0 ? 1 : stations->count;
  if (options->place != NULL && asked > 1)
    return isw_base_fail(error, ISW_USAGE,
                         "--place: there are %d stations; choose one with --station", asked);
  out->sites = g_new0(struct isw_site, (gsize)stations->count);
  int answered = 0;
  for (int i = 0; i < stations->count; i++)
    if (only < 0 || i == only) {
      out->sites[out->count++] = station_site(options, &stations->items[i], hemisphere, asked);
      answered += stations->items[i].valid;
    }
  if (answered == 0)
    return isw_base_fail(
        error, ISW_INPUT_CONTENT,
        "%s: no station has data: minimum above maximum in some month\nCorrect the "
        "rows named above",
        options->stations);
  if (asked > 1 && stations->refused > 0)
    isw_base_warn(log, "%s: %d stations answered, %d without data, %d rows refused",
                  options->stations, answered, asked - answered, stations->refused);
  else if (asked > answered)
    isw_base_warn(log, "%s: %d of %d stations without data; their rows are empty",
                  options->stations, asked - answered, asked);
  else if (asked > 1)
    isw_base_notice(log, "%s: %d stations", options->stations, answered);
  return ISW_OK;
}

static enum isw_status read_table(const struct isw_options *options,
                                  const struct isw_climate_request *request, struct isw_log *log,
                                  struct isw_site_inputs *out, struct isw_error *error) {
  if (options->at != NULL || options->tmin != NULL || options->tmax != NULL ||
      options->mean != NULL || options->range != NULL || options->elevation != NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--stations stands instead of --at and rasters; give one or the other");
  if (request->year_spread != NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "--year-spread %s: with --stations give a number, or a column year_spread",
                         request->year_spread);
  if (options->nearest)
    return isw_base_fail(error, ISW_USAGE, "--nearest belongs to --at, not to --stations");
  enum isw_status status = isw_climate_read_stations(options->stations, request->unit,
                                                     options->strict, log, &out->stations, error);
  if (status == ISW_OK) status = take_stations(options, request->hemisphere, log, out, error);
  return status;
}

static enum isw_status read_point(const struct isw_options *options,
                                  const struct isw_climate_request *request, struct isw_log *log,
                                  struct isw_site_inputs *out, struct isw_error *error) {
  if (options->station != NULL)
    return isw_base_fail(error, ISW_USAGE, "--station needs --stations FILE or --record FILE");
  if (options->at == NULL)
    return isw_base_fail(error, ISW_USAGE,
                         "which place? Give --at LAT,LON with rasters, or --stations FILE");
  struct isw_coordinates at = {0};
  enum isw_status status = isw_regions_read_coordinates(options->at, &at, error);
  if (status != ISW_OK) {
    isw_base_prefix_error(error, "--at %s: ", options->at);
    return status;
  }
  out->texts[1] = at.lat_text;
  out->texts[2] = at.lon_text;
  struct isw_climate *climate = NULL;
  status = isw_climate_open(request, log, &climate, error);
  if (status != ISW_OK) return status;
  struct isw_place_cell cell = {.away_km = 0};
  status =
      isw_survey_find_place_cell(climate, at.lat_deg, at.lon_deg, options->nearest, &cell, error);
  if (status == ISW_USAGE) isw_base_prefix_error(error, "--at ");
  if (status == ISW_USAGE && cell.away_km > 0) isw_base_append_error(error, " with --nearest");
  if (status == ISW_OK) {
    out->texts[0] = options->place != NULL
                        ? g_strdup(options->place)
                        : g_strdup_printf("%s, %s", out->texts[1], out->texts[2]);
    out->texts[3] = g_strdup(isw_climate_period(climate));
    out->count = 1;
    out->sites = g_new0(struct isw_site, 1);
    out->sites[0] = (struct isw_site){.name = out->texts[0],
                                      .lat_text = out->texts[1],
                                      .lon_text = out->texts[2],
                                      .lat_deg = at.lat_deg,
                                      .lon_deg = at.lon_deg,
                                      .south = cell.south,
                                      .normals = cell.normals,
                                      .period = out->texts[3]};
  }
  if (status == ISW_OK && cell.moved) {
    out->note = g_strdup_printf(
        "There are no data at this point; the answer is for the nearest cell that has them, %.1f "
        "km away at %.4f, %.4f.",
        cell.away_km, cell.lat_deg, cell.lon_deg);
    isw_base_notice(log,
                    "no data at %s; taking the nearest cell that has them, %.1f km away at "
                    "%.4f,%.4f",
                    options->at, cell.away_km, cell.lat_deg, cell.lon_deg);
  }
  isw_climate_free(climate);
  return status;
}

/* ---- places with a record ---- */

static struct isw_site record_site(const struct isw_options *options,
                                   const struct isw_station_record *station,
                                   const struct isw_record_normals *normals, const char *period) {
  return (struct isw_site){.name = station->name,
                           .lat_text = station->lat_text,
                           .lon_text = station->lon_text,
                           .lat_deg = station->lat_deg,
                           .lon_deg = station->lon_deg,
                           .south = isw_jobs_is_south(options, station->lat_deg),
                           .normals = normals->normals,
                           .period = options->period != NULL ? options->period : period};
}

/* The stations of the record, each with the normals of its own years. */
static enum isw_status take_record_stations(const struct isw_options *options,
                                            const struct isw_record_request *rules,
                                            struct isw_log *log, struct isw_site_inputs *out,
                                            struct isw_error *error) {
  const struct isw_record *record = out->record;
  struct isw_record_normals *normals = NULL;
  enum isw_status status =
      isw_jobs_make_record_normals(options, record, rules, log, &normals, error);
  if (status != ISW_OK) return status;
  out->sites = g_new0(struct isw_site, (gsize)record->count);
  for (int i = 0; i < record->count; i++)
    if (normals[i].valid)
      out->sites[out->count++] =
          record_site(options, &record->stations[i], &normals[i], out->record_period);
  g_free(normals);
  return ISW_OK;
}

/* Every place its years; those that have none are counted. */
static enum isw_status find_records(const struct isw_options *options,
                                    const struct isw_record_request *rules, struct isw_log *log,
                                    struct isw_site_inputs *out, struct isw_error *error) {
  int found = 0;
  struct isw_error unheard; /* a place without a record is counted below */
  for (int i = 0; i < out->count; i++) {
    /* one that --station names may have another name by --place */
    const struct isw_station_record *station =
        isw_climate_find_record(out->record, out->sites[i].name);
    if (station == NULL && options->station != NULL)
      station = isw_jobs_find_record_station(out->record, options->station, &unheard);
    out->sites[i].record = (struct isw_site_record){
        .station = station, .from_year = rules->from_year, .to_year = rules->to_year};
    found += station != NULL;
  }
  if (found == 0)
    return isw_base_fail(error, ISW_USAGE,
                         "%s: has none of the stations of %s\nThey are found by their names, or by "
                         "an id that is the other's name",
                         options->record, options->stations);
  if (found < out->count)
    isw_base_warn(log, "%s: no record of %d of %d stations", options->record, out->count - found,
                  out->count);
  return ISW_OK;
}

static enum isw_status read_record(const struct isw_options *options,
                                   const struct isw_climate_request *request, struct isw_log *log,
                                   struct isw_site_inputs *out, struct isw_error *error) {
  struct isw_record_request rules;
  if (options->at != NULL || options->tmin != NULL || options->tmax != NULL ||
      options->mean != NULL || options->elevation != NULL)
    return isw_base_fail(
        error, ISW_USAGE,
        "--record stands instead of --at and rasters: its stations have the normals "
        "of their own years, or those of --stations");
  enum isw_status status = isw_jobs_read_record(options, log, &out->record, &rules, error);
  if (status != ISW_OK) return status;
  out->record_period = isw_jobs_record_period(&rules);
  status = options->stations != NULL ? read_table(options, request, log, out, error)
                                     : take_record_stations(options, &rules, log, out, error);
  if (status == ISW_OK) status = find_records(options, &rules, log, out, error);
  if (status == ISW_OK && options->place != NULL && options->stations == NULL) {
    if (out->count > 1)
      return isw_base_fail(error, ISW_USAGE,
                           "--place: there are %d stations; choose one with --station", out->count);
    out->sites[0].name = options->place;
  }
  return status;
}

enum isw_status isw_jobs_read_sites(const struct isw_options *options, struct isw_log *log,
                                    struct isw_site_inputs *out, struct isw_error *error) {
  struct isw_climate_request request = isw_jobs_climate_request(options);
  enum isw_status status = ISW_OK;
  if (options->place != NULL && !g_utf8_validate(options->place, -1, NULL))
    status = isw_base_fail(error, ISW_USAGE, "--place: is not UTF-8");
  if (status != ISW_OK) return status;
  if (options->record != NULL) return read_record(options, &request, log, out, error);
  return options->stations != NULL ? read_table(options, &request, log, out, error)
                                   : read_point(options, &request, log, out, error);
}

void isw_jobs_free_sites(struct isw_site_inputs *inputs) {
  for (size_t i = 0; i < G_N_ELEMENTS(inputs->texts); i++) g_free(inputs->texts[i]);
  g_free(inputs->note);
  g_free(inputs->sites);
  isw_climate_free_stations(inputs->stations);
  isw_climate_free_record(inputs->record);
  g_free(inputs->record_period);
}

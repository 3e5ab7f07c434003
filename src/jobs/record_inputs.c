#include "jobs/record_inputs.h"

#include "climate/climate_request.h"
#include "growth/month_sums.h"
#include "jobs/station_name.h"

/* Stations named one by one in warnings; further ones are counted. */
enum { NAMED_MOST = 10 };

const struct isw_station_record *isw_jobs_find_record_station(const struct isw_record *record,
                                                              const char *wanted,
                                                              struct isw_error *error) {
  const struct isw_station_record *found = isw_climate_find_record(record, wanted);
  if (found != NULL) return found;
  const char **names = g_new(const char *, (gsize)record->count);
  for (int i = 0; i < record->count; i++) names[i] = record->stations[i].name;
  int index = -1;
  const enum isw_status status =
      isw_jobs_find_station(wanted, record->count, names, record->file, &index, error);
  g_free(names);
  return status == ISW_OK ? &record->stations[index] : NULL;
}

enum isw_status isw_jobs_read_record(const struct isw_options *options, struct isw_log *log,
                                     struct isw_record **record, struct isw_record_request *rules,
                                     struct isw_error *error) {
  enum isw_status status =
      isw_climate_read_record(options->record, isw_jobs_chosen_unit(options), log, record, error);
  if (status == ISW_OK && options->station != NULL && options->stations == NULL) {
    const struct isw_station_record *only =
        isw_jobs_find_record_station(*record, options->station, error);
    if (only == NULL) return ISW_USAGE;
    isw_climate_keep_record(*record, only);
  }
  if (status != ISW_OK) return status;
  *rules = (struct isw_record_request){
      .from_year = options->from_year > 0 ? options->from_year : (*record)->first_year,
      .to_year = options->to_year > 0 ? options->to_year : (*record)->last_year,
      .least_percent = options->least_percent,
      .from_month = options->months.from_month,
      .to_month = options->months.to_month};
  if (rules->from_year <= rules->to_year) return ISW_OK;
  return isw_base_fail(
      error, ISW_USAGE, "from %d to %d there is no year; the record runs from %d to %d",
      rules->from_year, rules->to_year, (*record)->first_year, (*record)->last_year);
}

char *isw_jobs_record_period(const struct isw_record_request *rules) {
  return g_strdup_printf("%d-%d", rules->from_year, rules->to_year);
}

bool isw_jobs_is_south(const struct isw_options *options, double lat_deg) {
  const enum isw_hemisphere hemisphere = (enum isw_hemisphere)options->hemisphere;
  return hemisphere == ISW_HEMISPHERE_AUTO ? lat_deg < 0.0 : hemisphere == ISW_HEMISPHERE_SOUTH;
}

static void warn_of_short(const struct isw_record *record, const struct isw_record_request *rules,
                          const struct isw_record_normals *normals, struct isw_log *log) {
  const int years = isw_survey_period_years(rules);
  int n = 0;
  for (int i = 0; i < record->count; i++) {
    const struct isw_record_normals *at = &normals[i];
    if (at->valid || n++ >= NAMED_MOST) continue;
    isw_base_warn(log,
                  "%s: %s is left out: %d of its 24 monthly normals have too few years; the worst, "
                  "%s of %s, has %d of %d, and %d are needed (--least %d)",
                  record->file, record->stations[i].name, at->short_months,
                  at->worst < ISW_YEAR_MONTHS ? "tmin" : "tmax",
                  isw_base_month_name(at->worst % ISW_YEAR_MONTHS), at->worst_years, years,
                  at->needed, rules->least_percent);
  }
  if (n > 0) isw_base_warn(log, "%s: %d of %d stations left out", record->file, n, record->count);
}

static void warn_without_spread(const struct isw_record *record,
                                const struct isw_record_normals *normals, struct isw_log *log) {
  int n = 0;
  const char *first = NULL;
  for (int i = 0; i < record->count; i++) {
    if (!normals[i].valid || normals[i].normals.has_year_spread) continue;
    if (n++ == 0) first = record->stations[i].name;
  }
  if (n > 0)
    isw_base_warn(log,
                  "%s: fewer than %d years for some month: normals without a year spread for %d of "
                  "%d stations, the first of them %s",
                  record->file, ISW_SPREAD_YEARS_LEAST, n, record->count, first);
}

static void tell_missing_years(const struct isw_record *record,
                               const struct isw_record_request *rules,
                               const struct isw_record_normals *normals, struct isw_log *log) {
  const int years = isw_survey_period_years(rules);
  int n = 0, worst = 0;
  for (int i = 0; i < record->count; i++) {
    if (normals[i].years >= years) continue;
    n++;
    if (normals[i].years < normals[worst].years) worst = i;
  }
  if (n > 0)
    isw_base_notice(
        log, "%s: %d of %d stations lack years of the period; the most, %s, has %d of %d",
        record->file, n, record->count, record->stations[worst].name, normals[worst].years, years);
}

enum isw_status isw_jobs_make_record_normals(const struct isw_options *options,
                                             const struct isw_record *record,
                                             const struct isw_record_request *rules,
                                             struct isw_log *log, struct isw_record_normals **out,
                                             struct isw_error *error) {
  const int years = isw_survey_period_years(rules);
  struct isw_record_normals *normals = g_new(struct isw_record_normals, (gsize)record->count);
  int valid = 0;
  for (int i = 0; i < record->count; i++) {
    const struct isw_station_record *station = &record->stations[i];
    isw_survey_record_normals(rules, station, isw_jobs_is_south(options, station->lat_deg),
                              &normals[i]);
    valid += normals[i].valid;
  }
  isw_base_notice(log, "%s: stations %d, years %d-%d: %s", record->file, record->count,
                  rules->from_year, rules->to_year,
                  isw_survey_is_standard_period(rules)
                      ? "standard normals (WMO-No. 1203)"
                      : "no standard normals, which are of 30 years to one ending in 0");
  tell_missing_years(record, rules, normals, log);
  warn_of_short(record, rules, normals, log);
  if (valid == 0) {
    g_free(normals);
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s: no station has %d %% of the %d years %d-%d for every month\nChoose "
                         "other years with --from and --to, or ask for fewer with --least",
                         record->file, rules->least_percent, years, rules->from_year,
                         rules->to_year);
  }
  warn_without_spread(record, normals, log);
  *out = normals;
  return ISW_OK;
}

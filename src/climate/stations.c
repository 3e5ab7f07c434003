#include "climate/stations.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "climate/annual_cycle.h"
#include "climate/limits.h"
#include "climate/period.h"
#include "climate/station_fields.h"
#include "documents/csv_fields.h"
#include "documents/csv_table.h"

struct table {
  const char *file;
  enum isw_unit unit;
  struct isw_station_columns columns;
  GArray *stations;    /* struct isw_station */
  GHashTable *line_of; /* name -> line */
  bool strict;
  GPtrArray *refusals;      /* a message for each refused row */
  struct isw_error refusal; /* the first */
  GHashTable *doubled;      /* names that several rows have */
  struct isw_log *log;
};

static enum isw_status read_header(void *into, const GPtrArray *fields, int line,
                                   struct isw_error *error) {
  struct table *table = into;
  return isw_climate_find_station_columns(table->file, fields, line, false, &table->columns, error);
}

/* Empty, or no such column: not given. */
static enum isw_status read_year_spread(const struct isw_station_row *row,
                                        struct isw_station *station, struct isw_error *error) {
  char *text = isw_climate_station_field(row, row->columns->year_spread);
  station->year_spread_K = NAN;
  if (text == NULL) return ISW_OK;
  double value;
  enum isw_status status =
      isw_documents_read_csv_number(row->file, row->line, "year_spread", text, &value, error);
  g_free(text);
  if (status != ISW_OK) return status;
  station->year_spread_K = isw_base_difference_to_kelvin(value, row->unit);
  if (station->year_spread_K >= 0.0 && station->year_spread_K <= ISW_WIDEST_YEAR_SPREAD_K)
    return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: year_spread is %g, that is %.1f K, outside 0..%g K", row->file,
                       row->line, value, station->year_spread_K, ISW_WIDEST_YEAR_SPREAD_K);
}

static enum isw_status read_normals(const struct isw_station_row *row, struct isw_station *station,
                                    struct isw_error *error) {
  double months_C[ISW_CELL_NORMALS], above_K = 0.0;
  enum isw_status status = isw_climate_read_station_months(row, false, months_C, error);
  if (status == ISW_OK)
    status = isw_climate_check_station_months(row, station->name, months_C, &above_K, error);
  if (status != ISW_OK) return status;
  station->valid = above_K <= 0.0;
  memcpy(station->tmin_C, months_C, sizeof station->tmin_C);
  memcpy(station->tmax_C, months_C + ISW_YEAR_MONTHS, sizeof station->tmax_C);
  return ISW_OK;
}

/* The years of its normals, where a column has them. */
static void read_period(const struct isw_station_row *row, struct isw_station *station) {
  station->period = isw_climate_station_field(row, row->columns->period);
  if (station->period != NULL && !isw_climate_is_period(station->period))
    g_clear_pointer(&station->period, g_free);
}

static void clear_station(struct isw_station *station) {
  g_free(station->name);
  g_free(station->lat_text);
  g_free(station->lon_text);
  g_free(station->period);
}

static enum isw_status read_one(struct table *table, const GPtrArray *fields, int line,
                                struct isw_error *error) {
  const struct isw_station_row row = {table->file, table->unit, &table->columns, fields, line};
  struct isw_station_place place;
  gpointer before;
  enum isw_status status = isw_climate_read_station_place(&row, &place, error);
  struct isw_station station = {.line = line,
                                .name = place.name,
                                .lat_text = place.lat_text,
                                .lon_text = place.lon_text,
                                .lat_deg = place.lat_deg,
                                .lon_deg = place.lon_deg,
                                .elevation_m = place.elevation_m};
  if (status == ISW_OK &&
      g_hash_table_lookup_extended(table->line_of, station.name, NULL, &before)) {
    g_hash_table_add(table->doubled, g_strdup(station.name));
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: station %s is already in line %d\nGive each its own name",
                           table->file, line, station.name, GPOINTER_TO_INT(before));
  }
  if (status == ISW_OK) status = read_year_spread(&row, &station, error);
  if (status == ISW_OK) status = read_normals(&row, &station, error);
  if (status != ISW_OK) {
    clear_station(&station);
    return status;
  }
  read_period(&row, &station);
  if (!station.valid)
    isw_base_warn(
        table->log,
        "%s:%d: %s: minimum above maximum by up to 0.5 K in a month; it counts as no data",
        table->file, line, station.name);
  g_hash_table_insert(table->line_of, station.name, GINT_TO_POINTER(line));
  g_array_append_val(table->stations, station);
  return ISW_OK;
}

/* A row that is wrong is named and left out; strict: it refuses the table. */
static enum isw_status read_station(void *into, const GPtrArray *fields, int line,
                                    struct isw_error *error) {
  struct table *table = into;
  struct isw_error wrong;
  enum isw_status status = read_one(table, fields, line, &wrong);
  if (status == ISW_OK) return ISW_OK;
  if (table->strict || status != ISW_INPUT_CONTENT) {
    if (error != NULL) *error = wrong;
    return status;
  }
  if (table->refusals->len == 0) table->refusal = wrong;
  g_ptr_array_add(table->refusals, g_strndup(wrong.text, strcspn(wrong.text, "\n")));
  return ISW_OK;
}

/* Of a name that stands on several rows nobody knows which is right: all of them go. */
static void drop_doubled(struct table *table) {
  guint kept = 0;
  for (guint i = 0; i < table->stations->len; i++) {
    struct isw_station *station = &g_array_index(table->stations, struct isw_station, i);
    if (g_hash_table_contains(table->doubled, station->name)) {
      g_ptr_array_add(table->refusals, g_strdup_printf("%s:%d: station %s comes again", table->file,
                                                       station->line, station->name));
      clear_station(station);
    } else {
      g_array_index(table->stations, struct isw_station, kept++) = *station;
    }
  }
  g_array_set_size(table->stations, kept);
}

static void warn_of_refusals(const struct table *table) {
  enum { NAMED_MOST = 10 };
  for (guint i = 0; i < table->refusals->len && i < NAMED_MOST; i++)
    isw_base_warn(table->log, "%s; the row is refused",
                  (const char *)g_ptr_array_index(table->refusals, i));
  if (table->refusals->len > NAMED_MOST)
    isw_base_warn(table->log, "%s: %u more rows are refused", table->file,
                  table->refusals->len - NAMED_MOST);
}

/* What makes a station doubtful, and how often that was seen. */
enum doubt { AGAINST_HEMISPHERE, ROUGH, SHIFTED, DOUBTS };
static const char *const doubt_words[DOUBTS] = {
    "colder in summer than in winter; does the table begin in July, or lack a latitude its minus?",
    "temperatures go up and down more than once a year; are the months in order?",
    ("the year of its maximum runs a month or more before or behind that of its minimum; are the "
     "months of both in the same order?")};

static bool has_doubt(const struct isw_station *station, enum doubt doubt) {
  double mean_C[ISW_YEAR_MONTHS];
  for (int m = 0; m < ISW_YEAR_MONTHS; m++)
    mean_C[m] = (station->tmin_C[m] + station->tmax_C[m]) / 2;
  switch (doubt) {
    case AGAINST_HEMISPHERE:
      return isw_climate_is_against_hemisphere(
          isw_climate_summer_contrast_K(mean_C, station->lat_deg < 0));
    case ROUGH:
      return isw_climate_is_rough(station->tmin_C) || isw_climate_is_rough(station->tmax_C);
    case SHIFTED: return isw_climate_months_behind(station->tmin_C, station->tmax_C) != 0;
    case DOUBTS: break;
  }
  return false;
}

/* As of rasters: what is only odd is warned of, the first station by name. */
static void doubt_cycles(const struct table *table) {
  for (int doubt = 0; doubt < DOUBTS; doubt++) {
    int seen = 0;
    const struct isw_station *first = NULL;
    for (guint i = 0; i < table->stations->len; i++) {
      const struct isw_station *station = &g_array_index(table->stations, struct isw_station, i);
      if (fabs(station->lat_deg) < ISW_OUTSIDE_TROPICS_DEG ||
          !has_doubt(station, (enum doubt)doubt))
        continue;
      if (seen++ == 0) first = station;
    }
    if (seen == 0) continue;
    char *more = seen > 1 ? g_strdup_printf(" (and %d more of %u)", seen - 1, table->stations->len)
                          : g_strdup("");
    isw_base_warn(table->log, "%s:%d: %s%s: %s", table->file, first->line, first->name, more,
                  doubt_words[doubt]);
    g_free(more);
  }
}

enum isw_status isw_climate_parse_stations(const char *name, const char *text, size_t length,
                                           enum isw_unit unit, bool strict, struct isw_log *log,
                                           struct isw_stations **out, struct isw_error *error) {
  struct table table = {.file = name,
                        .unit = unit,
                        .strict = strict,
                        .refusals = g_ptr_array_new_with_free_func(g_free),
                        .doubled = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL),
                        .log = log,
                        .stations = g_array_new(FALSE, FALSE, sizeof(struct isw_station)),
                        .line_of = g_hash_table_new(g_str_hash, g_str_equal)};
  enum isw_status status =
      isw_documents_read_table(name, text, length, read_header, read_station, &table, error);
  drop_doubled(&table);
  g_hash_table_destroy(table.doubled);
  if (status == ISW_OK && table.stations->len == 0 && table.refusals->len > 0) {
    status = table.refusal.status; /* what is wrong with all of them */
    if (error != NULL) *error = table.refusal;
  } else if (status == ISW_OK && table.stations->len == 0) {
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: no station in it", name);
  } else if (status == ISW_OK) {
    warn_of_refusals(&table);
  }
  if (status == ISW_OK) doubt_cycles(&table);
  struct isw_stations *stations = g_new0(struct isw_stations, 1);
  stations->count = (int)table.stations->len;
  stations->refused = (int)table.refusals->len;
  g_ptr_array_unref(table.refusals);
  stations->items = (struct isw_station *)(void *)g_array_free(table.stations, FALSE);
  g_hash_table_destroy(table.line_of);
  if (status != ISW_OK) {
    isw_climate_free_stations(stations);
    return status;
  }
  *out = stations;
  return ISW_OK;
}

enum isw_status isw_climate_read_stations(const char *path, enum isw_unit unit, bool strict,
                                          struct isw_log *log, struct isw_stations **out,
                                          struct isw_error *error) {
  char *text = NULL;
  size_t length = 0;
  enum isw_status read = isw_documents_load_table(path, &text, &length, error);
  if (read != ISW_OK) return read;
  enum isw_status status =
      isw_climate_parse_stations(path, text, length, unit, strict, log, out, error);
  g_free(text);
  return status;
}

void isw_climate_free_stations(struct isw_stations *stations) {
  if (stations == NULL) return;
  for (int i = 0; i < stations->count; i++) clear_station(&stations->items[i]);
  g_free(stations->items);
  g_free(stations);
}

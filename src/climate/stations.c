#include "climate/stations.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "climate/annual_cycle.h"
#include "climate/limits.h"
#include "documents/csv_fields.h"
#include "documents/csv_table.h"

static const double coldest_C = ISW_COLDEST_C, warmest_C = ISW_WARMEST_C, warmest_mean_C = 35.0;
static const double most_inverted_K = ISW_MOST_INVERTED_K;

/* Fields by what they hold: index of the column, or -1. */
struct columns {
  int name, lat, lon, elevation, year_spread;
  int tmin[ISW_YEAR_MONTHS], tmax[ISW_YEAR_MONTHS];
};

struct table {
  const char *file;
  enum isw_unit unit;
  struct columns columns;
  GArray *stations;    /* struct isw_station */
  GHashTable *line_of; /* name -> line */
  struct isw_log *log;
};

static int *column_slot(void *into, const char *header) {
  struct columns *columns = into;
  static const struct {
    const char *prefix;
    size_t offset;
  } monthly[] = {{"tmin_", offsetof(struct columns, tmin)},
                 {"tmax_", offsetof(struct columns, tmax)}};
  if (strcmp(header, "name") == 0) return &columns->name;
  if (strcmp(header, "lat") == 0) return &columns->lat;
  if (strcmp(header, "lon") == 0) return &columns->lon;
  if (strcmp(header, "elev") == 0) return &columns->elevation;
  if (strcmp(header, "year_spread") == 0) return &columns->year_spread;
  for (size_t i = 0; i < G_N_ELEMENTS(monthly); i++) {
    if (!g_str_has_prefix(header, monthly[i].prefix)) continue;
    const char *digits = header + strlen(monthly[i].prefix);
    char *end;
    guint64 month = g_ascii_strtoull(digits, &end, 10);
    if (!g_ascii_isdigit(digits[0]) || *end != '\0' || month < 1 || month > ISW_YEAR_MONTHS)
      continue;
    return (int *)(void *)((char *)columns + monthly[i].offset) + (month - 1);
  }
  return NULL;
}

static enum isw_status read_header(void *into, const GPtrArray *fields, int line,
                                   struct isw_error *error) {
  struct table *table = into;
  struct columns *columns = &table->columns;
  int *slots = (int *)(void *)columns;
  for (size_t i = 0; i < sizeof *columns / sizeof(int); i++) slots[i] = -1;
  enum isw_status status =
      isw_documents_find_columns(table->file, fields, line, column_slot, columns, error);
  if (status != ISW_OK) return status;
  const char *missing = columns->name < 0  ? "name"
                        : columns->lat < 0 ? "lat"
                        : columns->lon < 0 ? "lon"
                                           : NULL;
  char monthly[16];
  for (int k = 0; k < ISW_CELL_NORMALS && missing == NULL; k++) {
    int month = k % ISW_YEAR_MONTHS;
    bool upper = k >= ISW_YEAR_MONTHS;
    if ((upper ? columns->tmax : columns->tmin)[month] >= 0) continue;
    g_snprintf(monthly, sizeof monthly, "%s_%d", upper ? "tmax" : "tmin", month + 1);
    missing = monthly;
  }
  if (missing == NULL) return ISW_OK;
  const char *first = fields->len > 0 ? g_ptr_array_index(fields, 0) : "";
  const char *hint = fields->len == 1 && strchr(first, ';') != NULL
                         ? "; its fields are parted by semicolons, save it with commas"
                         : "";
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: no column %s%s\nThe first line names the columns: "
                       "name,lat,lon[,elev][,year_spread],tmin_1..tmin_12,tmax_1..tmax_12",
                       table->file, line, missing, hint);
}

static enum isw_status read_number(const struct table *table, const GPtrArray *fields, int column,
                                   const char *what, int line, double *out,
                                   struct isw_error *error) {
  return isw_documents_read_csv_number(table->file, line, what,
                                       g_ptr_array_index(fields, (guint)column), out, error);
}

static bool is_blank(const char *text) {
  return text[strspn(text, " \t")] == '\0';
}

static enum isw_status read_place(const struct table *table, const GPtrArray *fields, int line,
                                  struct isw_station *station, struct isw_error *error) {
  const struct columns *columns = &table->columns;
  enum isw_status status =
      isw_documents_read_csv_position(table->file, line, station->lat_text, station->lon_text,
                                      &station->lat_deg, &station->lon_deg, error);
  if (status != ISW_OK) return status;
  station->elevation_m = NAN;
  if (columns->elevation < 0) return ISW_OK;
  if (is_blank(g_ptr_array_index(fields, (guint)columns->elevation))) return ISW_OK;
  return read_number(table, fields, columns->elevation, "elev", line, &station->elevation_m, error);
}

/* Empty, or no such column: not given. */
static enum isw_status read_year_spread(const struct table *table, const GPtrArray *fields,
                                        int line, struct isw_station *station,
                                        struct isw_error *error) {
  const int column = table->columns.year_spread;
  station->year_spread_K = NAN;
  if (column < 0 || is_blank(g_ptr_array_index(fields, (guint)column))) return ISW_OK;
  double value;
  enum isw_status status = read_number(table, fields, column, "year_spread", line, &value, error);
  if (status != ISW_OK) return status;
  station->year_spread_K = value * isw_base_unit_scale(table->unit).factor;
  if (station->year_spread_K >= 0.0 && station->year_spread_K <= ISW_WIDEST_YEAR_SPREAD_K)
    return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: year_spread is %g, that is %.1f K, outside 0..%g K", table->file,
                       line, value, station->year_spread_K, ISW_WIDEST_YEAR_SPREAD_K);
}

static enum isw_status read_normals(const struct table *table, const GPtrArray *fields, int line,
                                    struct isw_station *station, struct isw_error *error) {
  double sum_C = 0.0;
  char what[16];
  for (int k = 0; k < ISW_CELL_NORMALS; k++) {
    int month = k % ISW_YEAR_MONTHS;
    bool upper = k >= ISW_YEAR_MONTHS;
    double value;
    int column = (upper ? table->columns.tmax : table->columns.tmin)[month];
    g_snprintf(what, sizeof what, "%s_%d", upper ? "tmax" : "tmin", month + 1);
    enum isw_status status = read_number(table, fields, column, what, line, &value, error);
    if (status != ISW_OK) return status;
    double value_C = isw_base_to_celsius(value, table->unit);
    if (!(value_C >= coldest_C && value_C <= warmest_C))
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: %s is %g, that is %.1f degC, outside %g..%g degC\nIs the table "
                           "in another unit? Say it with --unit F or K",
                           table->file, line, what, value, value_C, coldest_C, warmest_C);
    (upper ? station->tmax_C : station->tmin_C)[month] = value_C;
    sum_C += value_C;
  }
  double mean_C = sum_C / ISW_CELL_NORMALS;
  if (mean_C > warmest_mean_C)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s:%d: the mean of the 24 values is %.1f degC, which no place on Earth "
                         "has\nIs the table in degF? Say it with --unit F",
                         table->file, line, mean_C);
  return ISW_OK;
}

static enum isw_status check_inversion(const struct table *table, struct isw_station *station,
                                       struct isw_error *error) {
  station->valid = true;
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) {
    double above_K = station->tmin_C[month] - station->tmax_C[month];
    if (above_K > most_inverted_K)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: %s: tmin_%d is above tmax_%d by %.1f K\nCorrect the row, or the "
                           "names of the columns if they are exchanged",
                           table->file, station->line, station->name, month + 1, month + 1,
                           above_K);
    if (above_K > 0.0) station->valid = false;
  }
  return ISW_OK;
}

static void clear_station(struct isw_station *station) {
  g_free(station->name);
  g_free(station->lat_text);
  g_free(station->lon_text);
}

static enum isw_status read_station(void *into, const GPtrArray *fields, int line,
                                    struct isw_error *error) {
  struct table *table = into;
  const struct columns *columns = &table->columns;
  const char *name = g_ptr_array_index(fields, (guint)columns->name);
  struct isw_station station = {
      .line = line,
      .name = g_strstrip(g_strdup(name)),
      .lat_text = g_strstrip(g_strdup(g_ptr_array_index(fields, (guint)columns->lat))),
      .lon_text = g_strstrip(g_strdup(g_ptr_array_index(fields, (guint)columns->lon)))};
  enum isw_status status = ISW_OK;
  gpointer before;
  if (station.name[0] == '\0')
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: no value for name", table->file, line);
  else if (g_hash_table_lookup_extended(table->line_of, station.name, NULL, &before))
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: station %s is already in line %d\nGive each its own name",
                           table->file, line, station.name, GPOINTER_TO_INT(before));
  if (status == ISW_OK) status = read_place(table, fields, line, &station, error);
  if (status == ISW_OK) status = read_year_spread(table, fields, line, &station, error);
  if (status == ISW_OK) status = read_normals(table, fields, line, &station, error);
  if (status == ISW_OK) status = check_inversion(table, &station, error);
  if (status != ISW_OK) {
    clear_station(&station);
    return status;
  }
  if (!station.valid)
    isw_base_warn(table->log,
                  "%s:%d: %s: minimum above maximum by up to 0.5 K in a month; it is left out",
                  table->file, line, station.name);
  g_hash_table_insert(table->line_of, station.name, GINT_TO_POINTER(line));
  g_array_append_val(table->stations, station);
  return ISW_OK;
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
                                           enum isw_unit unit, struct isw_log *log,
                                           struct isw_stations **out, struct isw_error *error) {
  struct table table = {.file = name,
                        .unit = unit,
                        .log = log,
                        .stations = g_array_new(FALSE, FALSE, sizeof(struct isw_station)),
                        .line_of = g_hash_table_new(g_str_hash, g_str_equal)};
  enum isw_status status =
      isw_documents_read_table(name, text, length, read_header, read_station, &table, error);
  if (status == ISW_OK && table.stations->len == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: no station in it", name);
  if (status == ISW_OK) doubt_cycles(&table);
  struct isw_stations *stations = g_new0(struct isw_stations, 1);
  stations->count = (int)table.stations->len;
  stations->items = (struct isw_station *)(void *)g_array_free(table.stations, FALSE);
  g_hash_table_destroy(table.line_of);
  if (status != ISW_OK) {
    isw_climate_free_stations(stations);
    return status;
  }
  *out = stations;
  return ISW_OK;
}

enum isw_status isw_climate_read_stations(const char *path, enum isw_unit unit, struct isw_log *log,
                                          struct isw_stations **out, struct isw_error *error) {
  char *text = NULL;
  size_t length = 0;
  enum isw_status read = isw_documents_load_table(path, &text, &length, error);
  if (read != ISW_OK) return read;
  enum isw_status status = isw_climate_parse_stations(path, text, length, unit, log, out, error);
  g_free(text);
  return status;
}

void isw_climate_free_stations(struct isw_stations *stations) {
  if (stations == NULL) return;
  for (int i = 0; i < stations->count; i++) clear_station(&stations->items[i]);
  g_free(stations->items);
  g_free(stations);
}

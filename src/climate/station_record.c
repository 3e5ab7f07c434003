#include "climate/station_record.h"

#include <glib.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "climate/station_fields.h"
#include "documents/csv_fields.h"
#include "documents/csv_table.h"

/* A station while its rows come in. */
struct growing_station {
  struct isw_station_record station;
  GArray *years; /* struct isw_record_year, as they come */
};

struct table {
  const char *file;
  enum isw_unit unit;
  struct isw_station_columns columns;
  GPtrArray *stations; /* struct growing_station * */
  GHashTable *of_key;  /* id or name -> struct growing_station * */
  struct isw_log *log;
};

static void free_growing(void *pointer) {
  struct growing_station *growing = pointer;
  g_free(growing->station.id);
  g_free(growing->station.name);
  g_free(growing->station.lat_text);
  g_free(growing->station.lon_text);
  g_array_unref(growing->years);
  g_free(growing);
}

static enum isw_status read_header(void *into, const GPtrArray *fields, int line,
                                   struct isw_error *error) {
  struct table *table = into;
  return isw_climate_find_station_columns(table->file, fields, line, true, &table->columns, error);
}

static enum isw_status read_year_number(const struct isw_station_row *row, int *out,
                                        struct isw_error *error) {
  double value;
  enum isw_status status = isw_documents_read_csv_number(
      row->file, row->line, "year", g_ptr_array_index(row->fields, (guint)row->columns->year),
      &value, error);
  if (status != ISW_OK) return status;
  if (value != floor(value) || value < ISW_RECORD_FIRST_YEAR || value > ISW_RECORD_LAST_YEAR)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s:%d: year is %g, which is no whole number from %d to %d", row->file,
                         row->line, value, ISW_RECORD_FIRST_YEAR, ISW_RECORD_LAST_YEAR);
  *out = (int)value;
  return ISW_OK;
}

/* One station has one name and one place: else two are taken for one. */
static enum isw_status check_same_place(const struct isw_station_row *row,
                                        const struct growing_station *growing,
                                        const struct isw_station_place *place,
                                        struct isw_error *error) {
  const struct isw_station_record *station = &growing->station;
  const int line = g_array_index(growing->years, struct isw_record_year, 0).line;
  if (strcmp(station->name, place->name) != 0)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "%s:%d: station %s is called %s, but in line %d %s\nGive each station its "
                         "own id",
                         row->file, row->line, station->id, place->name, line, station->name);
  if (station->lat_deg == place->lat_deg && station->lon_deg == place->lon_deg) return ISW_OK;
  return isw_base_fail(
      error, ISW_INPUT_CONTENT,
      "%s:%d: station %s lies at %s,%s, but in line %d at %s,%s\nGive each station "
      "its own %s",
      row->file, row->line, station->name, place->lat_text, place->lon_text, line,
      station->lat_text, station->lon_text,
      row->columns->id >= 0 ? "id" : "name, or an id in a column of that name");
}

static enum isw_status check_new_year(const struct isw_station_row *row,
                                      const struct growing_station *growing, int year,
                                      struct isw_error *error) {
  for (guint i = 0; i < growing->years->len; i++) {
    const struct isw_record_year *before =
        &g_array_index(growing->years, struct isw_record_year, i);
    if (before->year == year)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: station %s has the year %d already in line %d\nRemove one",
                           row->file, row->line, growing->station.name, year, before->line);
  }
  return ISW_OK;
}

static struct growing_station *find_or_add(struct table *table, const struct isw_station_row *row,
                                           const struct isw_station_place *place) {
  char *id = isw_climate_station_field(row, table->columns.id);
  const char *key = id != NULL ? id : place->name;
  struct growing_station *growing = g_hash_table_lookup(table->of_key, key);
  if (growing == NULL) {
    growing = g_new0(struct growing_station, 1);
    growing->station = (struct isw_station_record){.id = g_strdup(id),
                                                   .name = g_strdup(place->name),
                                                   .lat_text = g_strdup(place->lat_text),
                                                   .lon_text = g_strdup(place->lon_text),
                                                   .lat_deg = place->lat_deg,
                                                   .lon_deg = place->lon_deg,
                                                   .elevation_m = place->elevation_m};
    growing->years = g_array_new(FALSE, FALSE, sizeof(struct isw_record_year));
    g_ptr_array_add(table->stations, growing);
    g_hash_table_insert(table->of_key, g_strdup(key), growing);
  }
  g_free(id);
  return growing;
}

static enum isw_status read_months(const struct isw_station_row *row, const char *name,
                                   struct isw_record_year *out, struct isw_error *error) {
  double months_C[ISW_CELL_NORMALS], above_K;
  enum isw_status status = isw_climate_read_station_months(row, true, months_C, error);
  if (status != ISW_OK) return status;
  char *what = g_strdup_printf("%s, year %d", name, out->year);
  status = isw_climate_check_station_months(row, what, months_C, &above_K, error);
  g_free(what);
  memcpy(out->tmin_C, months_C, sizeof out->tmin_C);
  memcpy(out->tmax_C, months_C + ISW_YEAR_MONTHS, sizeof out->tmax_C);
  return status;
}

static enum isw_status read_row(void *into, const GPtrArray *fields, int line,
                                struct isw_error *error) {
  struct table *table = into;
  const struct isw_station_row row = {table->file, table->unit, &table->columns, fields, line};
  struct isw_station_place place;
  struct isw_record_year year = {.line = line};
  enum isw_status status = isw_climate_read_station_place(&row, &place, error);
  if (status == ISW_OK) status = read_year_number(&row, &year.year, error);
  if (status == ISW_OK) status = read_months(&row, place.name, &year, error);
  if (status == ISW_OK) {
    struct growing_station *growing = find_or_add(table, &row, &place);
    if (growing->years->len > 0) status = check_same_place(&row, growing, &place, error);
    if (status == ISW_OK) status = check_new_year(&row, growing, year.year, error);
    if (status == ISW_OK) g_array_append_val(growing->years, year);
  }
  isw_climate_clear_station_place(&place);
  return status;
}

/* ---- when all rows are there ---- */

static int by_year(const void *a, const void *b) {
  const struct isw_record_year *first = a, *second = b;
  return first->year - second->year;
}

static void warn_of_order(const struct table *table) {
  for (guint s = 0; s < table->stations->len; s++) {
    const struct growing_station *growing = g_ptr_array_index(table->stations, s);
    const struct isw_record_year *years = (const void *)growing->years->data;
    for (guint i = 1; i < growing->years->len; i++) {
      if (years[i].year > years[i - 1].year) continue;
      isw_base_warn(
          table->log, "%s:%d: station %s: %d stands behind %d; years are taken by their numbers",
          table->file, years[i].line, growing->station.name, years[i].year, years[i - 1].year);
      return; /* the first is enough */
    }
  }
}

/* Two stations of one name, told apart by their ids, are called "NAME (ID)". */
static void part_names(struct isw_record *record) {
  GHashTable *seen = g_hash_table_new(g_str_hash, g_str_equal);
  for (int i = 0; i < record->count; i++) {
    const char *name = record->stations[i].name;
    int n = GPOINTER_TO_INT(g_hash_table_lookup(seen, name));
    g_hash_table_insert(seen, (gpointer)(guintptr)name, GINT_TO_POINTER(n + 1));
  }
  char **names = g_new0(char *, (gsize)record->count);
  for (int i = 0; i < record->count; i++) {
    const struct isw_station_record *station = &record->stations[i];
    if (GPOINTER_TO_INT(g_hash_table_lookup(seen, station->name)) > 1 && station->id != NULL)
      names[i] = g_strdup_printf("%s (%s)", station->name, station->id);
  }
  g_hash_table_destroy(seen);
  for (int i = 0; i < record->count; i++) {
    if (names[i] == NULL) continue;
    g_free(record->stations[i].name);
    record->stations[i].name = names[i];
  }
  g_free(names);
}

static struct isw_record *take_stations(const struct table *table) {
  struct isw_record *record = g_new0(struct isw_record, 1);
  record->file = g_strdup(table->file);
  record->stations = g_new0(struct isw_station_record, table->stations->len);
  record->first_year = ISW_RECORD_LAST_YEAR;
  record->last_year = ISW_RECORD_FIRST_YEAR;
  for (guint i = 0; i < table->stations->len; i++) {
    struct growing_station *growing = g_ptr_array_index(table->stations, i);
    struct isw_station_record *station = &record->stations[record->count++];
    g_array_sort(growing->years, by_year);
    *station = growing->station;
    station->n_years = (int)growing->years->len;
    station->years =
        g_memdup2(growing->years->data, growing->years->len * sizeof(struct isw_record_year));
    growing->station = (struct isw_station_record){.id = NULL};
    record->first_year = MIN(record->first_year, station->years[0].year);
    record->last_year = MAX(record->last_year, station->years[station->n_years - 1].year);
  }
  part_names(record);
  return record;
}

enum isw_status isw_climate_parse_record(const char *name, const char *text, size_t length,
                                         enum isw_unit unit, struct isw_log *log,
                                         struct isw_record **out, struct isw_error *error) {
  struct table table = {.file = name,
                        .unit = unit,
                        .log = log,
                        .stations = g_ptr_array_new_with_free_func(free_growing),
                        .of_key = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL)};
  enum isw_status status =
      isw_documents_read_table(name, text, length, read_header, read_row, &table, error);
  if (status == ISW_OK && table.stations->len == 0)
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "%s: no year of any station in it", name);
  if (status == ISW_OK) {
    warn_of_order(&table);
    *out = take_stations(&table);
  }
  g_hash_table_destroy(table.of_key);
  g_ptr_array_unref(table.stations);
  return status;
}

enum isw_status isw_climate_read_record(const char *path, enum isw_unit unit, struct isw_log *log,
                                        struct isw_record **out, struct isw_error *error) {
  char *text = NULL;
  size_t length = 0;
  enum isw_status status = isw_documents_load_table(path, &text, &length, error);
  if (status != ISW_OK) return status;
  status = isw_climate_parse_record(path, text, length, unit, log, out, error);
  g_free(text);
  return status;
}

static void clear_record_station(struct isw_station_record *station) {
  g_free(station->id);
  g_free(station->name);
  g_free(station->lat_text);
  g_free(station->lon_text);
  g_free(station->years);
}

void isw_climate_free_record(struct isw_record *record) {
  if (record == NULL) return;
  for (int i = 0; i < record->count; i++) clear_record_station(&record->stations[i]);
  g_free(record->stations);
  g_free(record->file);
  g_free(record);
}

const struct isw_station_record *isw_climate_find_record(const struct isw_record *record,
                                                         const char *name) {
  for (int i = 0; i < record->count; i++)
    if (strcmp(record->stations[i].name, name) == 0 || g_strcmp0(record->stations[i].id, name) == 0)
      return &record->stations[i];
  return NULL;
}

void isw_climate_keep_record(struct isw_record *record, const struct isw_station_record *station) {
  const struct isw_station_record kept = *station;
  for (int i = 0; i < record->count; i++)
    if (&record->stations[i] != station) clear_record_station(&record->stations[i]);
  record->stations[0] = kept;
  record->count = 1;
  record->first_year = kept.years[0].year;
  record->last_year = kept.years[kept.n_years - 1].year;
}

static int compare_year(const void *key, const void *item) {
  const int *year = key;
  const struct isw_record_year *at = item;
  return *year - at->year;
}

bool isw_climate_record_month(const struct isw_station_record *station, int year, int ahead,
                              double *tmin_C, double *tmax_C) {
  int wanted = year + (int)floor((double)ahead / ISW_YEAR_MONTHS);
  int month = ahead - (wanted - year) * ISW_YEAR_MONTHS;
  const struct isw_record_year *found = bsearch(&wanted, station->years, (size_t)station->n_years,
                                                sizeof station->years[0], compare_year);
  *tmin_C = found != NULL ? found->tmin_C[month] : NAN;
  *tmax_C = found != NULL ? found->tmax_C[month] : NAN;
  return !isnan(*tmin_C) && !isnan(*tmax_C);
}

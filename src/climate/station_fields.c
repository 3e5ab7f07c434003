#include "climate/station_fields.h"

#include <math.h>
#include <string.h>

#include "climate/limits.h"
#include "documents/csv_fields.h"
#include "documents/csv_table.h"

static const double warmest_mean_C = 35.0;
static const char *const prefixes[] = {"tmin_", "tmax_"};

static int *column_slot(void *into, const char *header) {
  struct isw_station_columns *columns = into;
  const struct {
    const char *name;
    int *slot;
  } single[] = {{"id", &columns->id},
                {"name", &columns->name},
                {"lat", &columns->lat},
                {"lon", &columns->lon},
                {"elev", &columns->elevation},
                {"year", &columns->year},
                {"year_spread", &columns->year_spread},
                {"period", &columns->period}};
  for (size_t i = 0; i < G_N_ELEMENTS(single); i++)
    if (strcmp(header, single[i].name) == 0) return single[i].slot;
  for (size_t i = 0; i < G_N_ELEMENTS(prefixes); i++) {
    if (!g_str_has_prefix(header, prefixes[i])) continue;
    const char *digits = header + strlen(prefixes[i]);
    char *end;
    guint64 month = g_ascii_strtoull(digits, &end, 10);
    if (!g_ascii_isdigit(digits[0]) || *end != '\0' || month < 1 || month > ISW_YEAR_MONTHS)
      continue;
    return &columns->months[i * ISW_YEAR_MONTHS + (month - 1)];
  }
  return NULL;
}

/* "tmin_3" */
static const char *name_month(int k, char out[16]) {
  g_snprintf(out, 16, "%s%d", prefixes[k / ISW_YEAR_MONTHS], k % ISW_YEAR_MONTHS + 1);
  return out;
}

enum isw_status isw_climate_find_station_columns(const char *file, const GPtrArray *fields,
                                                 int line, bool record,
                                                 struct isw_station_columns *out,
                                                 struct isw_error *error) {
  int *slots = (int *)(void *)out;
  for (size_t i = 0; i < sizeof *out / sizeof(int); i++) slots[i] = -1;
  enum isw_status status = isw_documents_find_columns(file, fields, line, column_slot, out, error);
  if (status != ISW_OK) return status;
  const char *missing = out->name < 0             ? "name"
                        : out->lat < 0            ? "lat"
                        : out->lon < 0            ? "lon"
                        : record && out->year < 0 ? "year"
                                                  : NULL;
  char monthly[16];
  for (int k = 0; k < ISW_CELL_NORMALS && missing == NULL; k++)
    if (out->months[k] < 0) missing = name_month(k, monthly);
  if (missing == NULL) return ISW_OK;
  const char *first = fields->len > 0 ? g_ptr_array_index(fields, 0) : "";
  const char *hint = fields->len == 1 && strchr(first, ';') != NULL
                         ? "; its fields are parted by semicolons, save it with commas"
                         : "";
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: no column %s%s\nThe first line names the columns: "
                       "name,lat,lon[,elev]%s,tmin_1..tmin_12,tmax_1..tmax_12",
                       file, line, missing, hint, record ? ",year" : "[,year_spread]");
}

char *isw_climate_station_field(const struct isw_station_row *row, int column) {
  if (column < 0) return NULL;
  char *text = g_strstrip(g_strdup(g_ptr_array_index(row->fields, (guint)column)));
  if (text[0] == '\0') g_clear_pointer(&text, g_free);
  return text;
}

static bool is_empty(const struct isw_station_row *row, int column) {
  if (column < 0) return true;
  const char *text = g_ptr_array_index(row->fields, (guint)column);
  return text[strspn(text, " \t")] == '\0';
}

static enum isw_status read_number(const struct isw_station_row *row, int column, const char *what,
                                   double *out, struct isw_error *error) {
  return isw_documents_read_csv_number(row->file, row->line, what,
                                       g_ptr_array_index(row->fields, (guint)column), out, error);
}

enum isw_status isw_climate_read_station_place(const struct isw_station_row *row,
                                               struct isw_station_place *out,
                                               struct isw_error *error) {
  const struct isw_station_columns *columns = row->columns;
  *out = (struct isw_station_place){
      .name = isw_climate_station_field(row, columns->name),
      .lat_text = g_strstrip(g_strdup(g_ptr_array_index(row->fields, (guint)columns->lat))),
      .lon_text = g_strstrip(g_strdup(g_ptr_array_index(row->fields, (guint)columns->lon))),
      .elevation_m = NAN};
  if (out->name == NULL)
    return isw_base_fail(error, ISW_INPUT_CONTENT, "%s:%d: no value for name", row->file,
                         row->line);
  enum isw_status status = isw_documents_read_csv_position(
      row->file, row->line, out->lat_text, out->lon_text, &out->lat_deg, &out->lon_deg, error);
  if (status != ISW_OK || is_empty(row, columns->elevation)) return status;
  return read_number(row, columns->elevation, "elev", &out->elevation_m, error);
}

void isw_climate_clear_station_place(struct isw_station_place *place) {
  g_free(place->name);
  g_free(place->lat_text);
  g_free(place->lon_text);
}

enum isw_status isw_climate_read_station_months(const struct isw_station_row *row,
                                                bool may_be_empty, double out_C[ISW_CELL_NORMALS],
                                                struct isw_error *error) {
  double sum_C = 0.0;
  int n = 0;
  char what[16];
  for (int k = 0; k < ISW_CELL_NORMALS; k++) {
    const int column = row->columns->months[k];
    out_C[k] = NAN;
    if (may_be_empty && is_empty(row, column)) continue;
    double value;
    enum isw_status status = read_number(row, column, name_month(k, what), &value, error);
    if (status != ISW_OK) return status;
    out_C[k] = isw_base_to_celsius(value, row->unit);
    if (!(out_C[k] >= ISW_COLDEST_C && out_C[k] <= ISW_WARMEST_C))
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: %s is %g, that is %.1f degC, outside %g..%g degC\nIs the table "
                           "in another unit? Say it with ‹unit› F or K",
                           row->file, row->line, what, value, out_C[k], ISW_COLDEST_C,
                           ISW_WARMEST_C);
    sum_C += out_C[k];
    n++;
  }
  if (n < ISW_CELL_NORMALS || sum_C / n <= warmest_mean_C) return ISW_OK;
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s:%d: the mean of the 24 values is %.1f degC, which no place on Earth "
                       "has\nIs the table in degF? Say it with ‹unit› F",
                       row->file, row->line, sum_C / n);
}

enum isw_status isw_climate_check_station_months(const struct isw_station_row *row,
                                                 const char *what,
                                                 const double months_C[ISW_CELL_NORMALS],
                                                 double *above_K, struct isw_error *error) {
  *above_K = 0.0;
  for (int month = 0; month < ISW_YEAR_MONTHS; month++) {
    const double above = months_C[month] - months_C[ISW_YEAR_MONTHS + month];
    if (above > ISW_MOST_INVERTED_K)
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "%s:%d: %s: tmin_%d is above tmax_%d by %.1f K\nCorrect the row, or the "
                           "names of the columns if they are exchanged",
                           row->file, row->line, what, month + 1, month + 1, above);
    if (above > *above_K) *above_K = above;
  }
  return ISW_OK;
}

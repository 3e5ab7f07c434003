#include "output/station_table.h"

#include <math.h>

#include "output/csv_field.h"
#include "output/json_values.h"

enum { DECIMALS = 2 };

void isw_output_append_station_header(GString *out, bool ids) {
  g_string_append_printf(out, "%sname,lat,lon,elev,period,year_spread", ids ? "id," : "");
  for (int m = 1; m <= ISW_YEAR_MONTHS; m++) g_string_append_printf(out, ",tmin_%d", m);
  for (int m = 1; m <= ISW_YEAR_MONTHS; m++) g_string_append_printf(out, ",tmax_%d", m);
  g_string_append_c(out, '\n');
}

static void append_number(GString *out, double value) {
  g_string_append_c(out, ',');
  isw_output_append_json_number(out, value, DECIMALS);
}

void isw_output_append_station_row(GString *out, bool ids, const struct isw_station_record *station,
                                   const char *period, const struct isw_normals *normals) {
  if (ids) {
    isw_output_append_csv_text(out, station->id != NULL ? station->id : "");
    g_string_append_c(out, ',');
  }
  const char *const texts[] = {station->name, station->lat_text, station->lon_text};
  for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) {
    if (i > 0) g_string_append_c(out, ',');
    isw_output_append_csv_text(out, texts[i]);
  }
  g_string_append_c(out, ',');
  if (!isnan(station->elevation_m)) {
    char number[G_ASCII_DTOSTR_BUF_SIZE];
    g_string_append(out, g_ascii_formatd(number, sizeof number, "%.10g", station->elevation_m));
  }
  g_string_append_printf(out, ",%s", period);
  if (normals->has_year_spread)
    append_number(out, normals->year_spread_K);
  else
    g_string_append_c(out, ',');
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) append_number(out, normals->tmin_C[m]);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) append_number(out, normals->tmax_C[m]);
  g_string_append_c(out, '\n');
}

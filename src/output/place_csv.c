#include "output/place_csv.h"

#include "output/csv_field.h"
#include "output/place_record.h"

enum { VALUE_COLUMNS = 15 }; /* behind the names */

void isw_output_append_place_header(GString *out, bool crop_column, bool record) {
  if (crop_column) g_string_append(out, isw_output_crop_column);
  g_string_append(
      out,
      "name,lat,lon,variety,season,score,best_sow,sow_from,sow_to,window_days,"
      "transplant,harvest,growing_days,limit,frost_risk,bolt_risk,years,edge,cut_from,cut_to");
  if (record) g_string_append(out, isw_output_record_columns);
  g_string_append_c(out, '\n');
}

static void append_fields(GString *out, const struct isw_plan *plan, const struct isw_site *site,
                          int v, int s, const struct isw_result *r) {
  static const double percent = 100.0;
  char limit[ISW_LIMIT_NAME_SIZE];
  const char *const texts[] = {site->name, site->lat_text, site->lon_text,
                               plan->sheet->varieties[plan->varieties[v]].name,
                               plan->sheet->seasons[plan->seasons[s]].name};
  for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) {
    if (i > 0) g_string_append_c(out, ',');
    isw_output_append_csv_text(out, texts[i]);
  }
  if (site->no_data) {
    for (int c = 0; c < VALUE_COLUMNS; c++) g_string_append_c(out, ',');
    return;
  }
  isw_output_append_csv_tenths(out, r->score_tenths);
  isw_output_append_csv_date(out, r->best_sow_day);
  isw_output_append_csv_date(out, r->window.from_day);
  isw_output_append_csv_date(out, r->window.to_day);
  g_string_append_printf(out, ",%d", r->window.days);
  isw_output_append_csv_date(out, r->transplant_day);
  isw_output_append_csv_date(out, r->harvest_day);
  g_string_append_printf(out, ",%d,", r->growing_days);
  isw_output_append_csv_text(out, isw_growth_limit_name(plan->sheet, r->limit, limit));
  isw_output_append_csv_tenths(out, isw_growth_round_tenths(percent * r->frost_risk));
  isw_output_append_csv_tenths(out, isw_growth_round_tenths(percent * r->bolt_risk));
  isw_output_append_csv_years(out, r->years);
  g_string_append_printf(out, ",%d", r->edge);
  isw_output_append_csv_date(out, r->cut_from_day);
  isw_output_append_csv_date(out, r->cut_to_day);
}

void isw_output_append_place_rows(GString *out, const struct isw_plan *plan,
                                  const struct isw_site *site, const struct isw_result *results,
                                  bool crop_column) {
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++) {
      if (crop_column) isw_output_append_csv_crop(out, plan->sheet->crop);
      append_fields(out, plan, site, v, s, &results[isw_growth_result_index(plan, v, s)]);
      g_string_append_c(out, '\n');
    }
}

void isw_output_append_record_rows(GString *out, const struct isw_plan *plan,
                                   const struct isw_site *site, const struct isw_place *place,
                                   bool crop_column) {
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++) {
      const int r = isw_growth_result_index(plan, v, s);
      if (crop_column) isw_output_append_csv_crop(out, plan->sheet->crop);
      append_fields(out, plan, site, v, s, &place->results[r].result);
      isw_output_append_record_fields(out, plan, v, s, site->no_data ? NULL : place->backtest);
      g_string_append_c(out, '\n');
    }
}

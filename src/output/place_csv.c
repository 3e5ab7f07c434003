#include "output/place_csv.h"

#include "output/csv_field.h"

static void append_date(GString *out, int day) {
  char date[ISW_DATE_SIZE];
  g_string_append_c(out, ',');
  if (day >= 0) g_string_append(out, isw_base_format_month_day(day, date));
}

static void append_tenths(GString *out, int tenths) {
  g_string_append_printf(out, ",%d.%d", tenths / 10, tenths % 10);
}

void isw_output_append_place_header(GString *out) {
  g_string_append(
      out,
      "name,lat,lon,variety,season,score,best_sow,sow_from,sow_to,window_days,"
      "transplant,harvest,growing_days,limit,frost_risk,bolt_risk,years,edge,cut_from,cut_to\n");
}

void isw_output_append_place_rows(GString *out, const struct isw_plan *plan,
                                  const struct isw_site *site, const struct isw_result *results) {
  static const double percent = 100.0;
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      const struct isw_result *r = &results[isw_growth_result_index(plan, v, s)];
      char limit[ISW_LIMIT_NAME_SIZE];
      const char *const texts[] = {site->name, site->lat_text, site->lon_text,
                                   plan->sheet->varieties[plan->varieties[v]].name,
                                   plan->sheet->seasons[plan->seasons[s]].name};
      for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) {
        if (i > 0) g_string_append_c(out, ',');
        isw_output_append_csv_text(out, texts[i]);
      }
      append_tenths(out, r->score_tenths);
      append_date(out, r->best_sow_day);
      append_date(out, r->window.from_day);
      append_date(out, r->window.to_day);
      g_string_append_printf(out, ",%d", r->window.days);
      append_date(out, r->transplant_day);
      append_date(out, r->harvest_day);
      g_string_append_printf(out, ",%d,", r->growing_days);
      isw_output_append_csv_text(out, isw_growth_limit_name(plan->sheet, r->limit, limit));
      append_tenths(out, isw_growth_round_tenths(percent * r->frost_risk));
      append_tenths(out, isw_growth_round_tenths(percent * r->bolt_risk));
      g_string_append_c(out, ',');
      if (r->years >= 0) g_string_append_printf(out, "%d", r->years);
      g_string_append_printf(out, ",%d", r->edge);
      append_date(out, r->cut_from_day);
      append_date(out, r->cut_to_day);
      g_string_append_c(out, '\n');
    }
  }
}

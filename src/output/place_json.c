#include "output/place_json.h"

#include "base/units.h"
#include "output/json_values.h"
#include "output/place_record.h"

/* A coordinate as given where that is a JSON number; "+44.2" and "044.2" are none. */
static void append_coordinate(GString *out, const char *text, double value) {
  if (g_regex_match_simple("^-?(0|[1-9][0-9]*)(\\.[0-9]+)?([eE][-+]?[0-9]+)?$", text, 0, 0)) {
    g_string_append(out, text);
    return;
  }
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_string_append(out, g_ascii_formatd(number, sizeof number, "%.10g", value));
}

static void append_months(GString *out, const char *key, const double month_C[ISW_YEAR_MONTHS],
                          enum isw_unit unit) {
  isw_output_append_json_key(out, key);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    g_string_append(out, m == 0 ? "[" : ", ");
    isw_output_append_json_number(out, isw_base_from_celsius(month_C[m], unit), 2);
  }
  g_string_append_c(out, ']');
}

static void append_other_windows(GString *out, const struct isw_place_result *result) {
  isw_output_append_json_key(out, "other_windows");
  g_string_append_c(out, '[');
  for (int i = 0; i < result->n_other_windows; i++) {
    g_string_append(out, i == 0 ? "{" : ", {");
    isw_output_append_json_date(out, "sow_from", result->other_windows[i].from_day);
    g_string_append(out, ", ");
    isw_output_append_json_date(out, "sow_to", result->other_windows[i].to_day);
    g_string_append_c(out, '}');
  }
  g_string_append_c(out, ']');
}

static void append_stages(GString *out, const struct isw_plan *plan,
                          const struct isw_place_result *result, enum isw_unit unit) {
  isw_output_append_json_key(out, "stages");
  g_string_append_c(out, '[');
  int sow = result->result.best_sow_day;
  for (int k = 0; sow >= 0 && k < result->sowing.n_stages; k++) {
    const struct isw_stage_run *run = &result->sowing.runs[k];
    g_string_append(out, k == 0 ? "\n          {" : ",\n          {");
    isw_output_append_json_key(out, "stage");
    isw_output_append_json_text(out, plan->sheet->varieties[0].stages[k].name);
    g_string_append(out, ", ");
    isw_output_append_json_date(out, "from", isw_base_wrap_day(sow + run->from_after));
    g_string_append(out, ", ");
    isw_output_append_json_date(out, "to", isw_base_wrap_day(sow + run->to_after - 1));
    g_string_append(out, ", \"mean_temperature\": ");
    isw_output_append_json_number(out, isw_base_from_celsius(run->mean_C, unit), 1);
    g_string_append(out, ", \"fit\": ");
    isw_output_append_json_number(out, run->fit, 2);
    g_string_append_c(out, '}');
  }
  g_string_append_c(out, ']');
}

static void append_result(GString *out, const struct isw_plan *plan, int v, int s,
                          const struct isw_place_result *full, enum isw_unit unit) {
  static const double percent = 100.0;
  const struct isw_result *r = &full->result;
  char limit[ISW_LIMIT_NAME_SIZE];
  g_string_append(out, "        {\"variety\": ");
  isw_output_append_json_text(out, plan->sheet->varieties[plan->varieties[v]].name);
  g_string_append(out, ", \"season\": ");
  isw_output_append_json_text(out, plan->sheet->seasons[plan->seasons[s]].name);
  g_string_append_printf(out, ", \"score\": %d.%d, ", r->score_tenths / 10, r->score_tenths % 10);
  isw_output_append_json_date(out, "best_sow", r->best_sow_day);
  g_string_append(out, ",\n          ");
  isw_output_append_json_date(out, "sow_from", r->window.from_day);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "sow_to", r->window.to_day);
  g_string_append_printf(out, ", \"window_days\": %d, ", r->window.days);
  isw_output_append_json_date(out, "transplant", r->transplant_day);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "harvest", r->harvest_day);
  g_string_append_printf(out, ",\n          \"growing_days\": %d, \"limit\": ", r->growing_days);
  isw_output_append_json_text(out, isw_growth_limit_name(plan->sheet, r->limit, limit));
  g_string_append(out, ", \"frost_risk\": ");
  isw_output_append_json_number(out, percent * r->frost_risk, 1);
  g_string_append(out, ", \"bolt_risk\": ");
  isw_output_append_json_number(out, percent * r->bolt_risk, 1);
  g_string_append(out, ",\n          ");
  isw_output_append_json_years(out, "years", r->years);
  g_string_append_printf(out, ", \"edge\": %d, ", r->edge);
  isw_output_append_json_date(out, "cut_from", r->cut_from_day);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "cut_to", r->cut_to_day);
  g_string_append(out, ", ");
  append_other_windows(out, full);
  g_string_append(out, ",\n          ");
  append_stages(out, plan, full, unit);
  g_string_append_c(out, '}');
}

static void append_span(GString *out, const struct isw_plan *plan, const struct isw_span *span) {
  isw_output_append_json_key(out, "span");
  if (span->days.days == 0) {
    g_string_append(out, "null");
    return;
  }
  g_string_append_c(out, '{');
  isw_output_append_json_date(out, "sow_from", span->days.from_day);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "sow_to", span->days.to_day);
  g_string_append(out, ", ");
  isw_output_append_json_key(out, "types");
  for (int i = 0; i < span->n_runs; i++) {
    const struct isw_type_run *run = &span->runs[i];
    g_string_append(out, i == 0 ? "[{" : ",\n            {");
    isw_output_append_json_key(out, "variety");
    isw_output_append_json_text(out, plan->sheet->varieties[run->variety].name);
    g_string_append(out, ", ");
    isw_output_append_json_date(out, "from", run->from_day);
    g_string_append(out, ", ");
    isw_output_append_json_date(out, "to", run->to_day);
    g_string_append_c(out, '}');
  }
  g_string_append(out, "]}");
}

static void append_name(GString *out, const char *key, const char *name) {
  isw_output_append_json_key(out, key);
  isw_output_append_json_text(out, name);
  g_string_append(out, ", ");
}

/* What it would take for a window; `shift` in the unit of the rest. */
static void append_opening(GString *out, const struct isw_sheet *sheet,
                           const struct isw_opening *opening, enum isw_unit unit) {
  static const char *const by[] = {[ISW_OPENS_SHELTER] = "shelter",
                                   [ISW_OPENS_START] = "start",
                                   [ISW_OPENS_SHIFT] = "shift",
                                   [ISW_OPENS_NOT] = "nothing"};
  isw_output_append_json_key(out, "opening");
  if (opening->by == ISW_OPENS_ITSELF) {
    g_string_append(out, "null");
    return;
  }
  const bool opens = opening->by != ISW_OPENS_NOT;
  const char *start = opening->start == ISW_START_DIRECT ? "direct" : "nursery";
  g_string_append_c(out, '{');
  append_name(out, "by", by[opening->by]);
  append_name(out, "shelter",
              opening->by == ISW_OPENS_SHELTER ? sheet->shelters[opening->shelter].name : NULL);
  append_name(out, "start", opening->by == ISW_OPENS_START ? start : NULL);
  isw_output_append_json_key(out, "shift");
  if (opening->by == ISW_OPENS_SHIFT)
    isw_output_append_json_number(out, opening->shift_K / isw_base_difference_to_kelvin(1.0, unit),
                                  1);
  else
    g_string_append(out, "null");
  g_string_append(out, ",\n            ");
  append_name(out, "variety", opens ? sheet->varieties[opening->variety].name : NULL);
  isw_output_append_json_date(out, "sow_from", opens ? opening->result.window.from_day : -1);
  g_string_append(out, ", ");
  isw_output_append_json_date(out, "sow_to", opens ? opening->result.window.to_day : -1);
  g_string_append(out, ", ");
  isw_output_append_json_years(out, "years", opens ? opening->result.years : -1);
  g_string_append_c(out, '}');
}

static void append_picks(GString *out, const struct isw_plan *plan, const struct isw_place *place,
                         enum isw_unit unit) {
  g_string_append(out, "      \"picks\": [");
  for (int s = 0; s < plan->n_seasons; s++) {
    struct isw_pick pick = place->seasons[s].pick;
    g_string_append(out, s == 0 ? "\n        {\"season\": " : ",\n        {\"season\": ");
    isw_output_append_json_text(out, plan->sheet->seasons[plan->seasons[s]].name);
    g_string_append(out, ", \"variety\": ");
    isw_output_append_json_text(
        out, pick.variety >= 0 ? plan->sheet->varieties[pick.variety].name : NULL);
    g_string_append_printf(out, ", \"risky\": %s,\n          ",
                           pick.variety >= 0 && pick.risky ? "true" : "false");
    append_span(out, plan, &place->seasons[s].span);
    g_string_append(out, ",\n          ");
    append_opening(out, plan->sheet, &place->seasons[s].opening, unit);
    g_string_append_c(out, '}');
  }
  g_string_append(out, "]");
}

void isw_output_append_json_top(GString *out, const struct isw_plan *plan) {
  g_string_append_printf(out, "{\"isosow\": \"%s\", \"crop\": ", ISOSOW_VERSION);
  isw_output_append_json_text(out, plan->sheet->crop);
  g_string_append(out, ", ");
}

void isw_output_append_json_start(GString *out, const struct isw_plan *plan) {
  isw_output_append_json_top(out, plan);
  g_string_append(out, "\"places\": [");
}

void isw_output_append_json_place_head(GString *out, const struct isw_place *place, bool first) {
  g_string_append(out, first ? "\n    {\"name\": " : ",\n    {\"name\": ");
  isw_output_append_json_text(out, place->name);
  g_string_append(out, ", \"lat\": ");
  append_coordinate(out, place->lat_text, place->lat_deg);
  g_string_append(out, ", \"lon\": ");
  append_coordinate(out, place->lon_text, place->lon_deg);
  g_string_append_printf(
      out, ", \"hemisphere\": \"%s\", \"period\": ", place->south ? "south" : "north");
  isw_output_append_json_text(out, place->period);
}

void isw_output_append_json_place(GString *out, const struct isw_plan *plan,
                                  const struct isw_place *place, bool fahrenheit, bool first) {
  enum isw_unit unit = fahrenheit ? ISW_UNIT_F : ISW_UNIT_C;
  isw_output_append_json_place_head(out, place, first);
  if (place->no_data) {
    g_string_append(out, ", \"normals\": null, \"results\": [], \"picks\": []}");
    return;
  }
  g_string_append_printf(out, ",\n      \"normals\": {\"unit\": \"%s\",\n        ",
                         isw_base_unit_name(unit));
  append_months(out, "tmin", place->normals.tmin_C, unit);
  g_string_append(out, ",\n        ");
  append_months(out, "tmax", place->normals.tmax_C, unit);
  g_string_append(out, "},\n      \"results\": [\n");
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      int r = isw_growth_result_index(plan, v, s);
      if (r > 0) g_string_append(out, ",\n");
      append_result(out, plan, v, s, &place->results[r], unit);
    }
  }
  g_string_append(out, "],\n");
  append_picks(out, plan, place, unit);
  if (place->backtest != NULL) isw_output_append_json_record(out, plan, place->backtest);
  g_string_append_c(out, '}');
}

void isw_output_append_json_end(GString *out) {
  g_string_append(out, "]}\n");
}

void isw_output_append_json_crops_start(GString *out) {
  g_string_append_printf(out, "{\"isosow\": \"%s\", \"crops\": [\n", ISOSOW_VERSION);
}

void isw_output_append_json_next_crop(GString *out) {
  g_string_append(out, ",\n");
}

void isw_output_append_json_crops_end(GString *out) {
  g_string_append(out, "]}\n");
}

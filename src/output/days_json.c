#include "output/days_json.h"

#include "output/json_values.h"
#include "output/place_json.h"

static const char *variety_name(const struct isw_plan *plan, int v) {
  return v < 0 ? NULL : plan->sheet->varieties[plan->varieties[v]].name;
}

static const char *season_name(const struct isw_plan *plan, int s) {
  return s < 0 ? NULL : plan->sheet->seasons[plan->seasons[s]].name;
}

static void append_named(GString *out, const char *key, const char *text) {
  isw_output_append_json_key(out, key);
  isw_output_append_json_text(out, text);
  g_string_append(out, ", ");
}

static void append_dated(GString *out, const char *key, int day) {
  isw_output_append_json_date(out, key, day);
  g_string_append(out, ", ");
}

/* ---- one sowing day ---- */

void isw_output_append_sowing_start(GString *out, const struct isw_plan *plan, int day) {
  isw_output_append_json_top(out, plan);
  append_dated(out, "sow", day);
  g_string_append(out, "\"places\": [");
}

static void append_next_window(GString *out, const struct isw_plan *plan,
                               const struct isw_next_window *next) {
  isw_output_append_json_key(out, "next_window");
  if (next->v < 0) {
    g_string_append(out, "null");
    return;
  }
  g_string_append_c(out, '{');
  append_named(out, "variety", variety_name(plan, next->v));
  append_named(out, "season", season_name(plan, next->s));
  append_dated(out, "sow_from", next->window.from_day);
  isw_output_append_json_date(out, "sow_to", next->window.to_day);
  g_string_append_c(out, '}');
}

static void append_sowing(GString *out, const struct isw_place_days *days, int v, int day) {
  static const double percent = 100.0;
  const struct isw_day_answer answer = isw_survey_ask_day(days, v, day);
  char limit[ISW_LIMIT_NAME_SIZE];
  g_string_append_c(out, '{');
  append_named(out, "variety", variety_name(days->plan, v));
  g_string_append_printf(out, "\"score\": %d.%d, ", answer.score_tenths / 10,
                         answer.score_tenths % 10);
  isw_output_append_json_years(out, "years", answer.years);
  g_string_append_printf(out, ", \"good\": %s, ", answer.good ? "true" : "false");
  append_dated(out, "transplant", answer.transplant_day);
  append_dated(out, "harvest", answer.harvest_day);
  g_string_append_printf(out, "\"growing_days\": %d, ", answer.growing_days);
  append_named(out, "limit", isw_growth_limit_name(days->plan->sheet, answer.limit, limit));
  g_string_append(out, "\"frost_risk\": ");
  isw_output_append_json_number(out, percent * answer.frost_risk, 1);
  g_string_append(out, ", \"bolt_risk\": ");
  isw_output_append_json_number(out, percent * answer.bolt_risk, 1);
  g_string_append_c(out, '}');
}

void isw_output_append_sowing_place(GString *out, const struct isw_place_days *days, int day,
                                    bool first) {
  const struct isw_plan *plan = days->plan;
  const struct isw_next_window next = isw_survey_next_window(days, -1, day);
  isw_output_append_json_place_head(out, days->place, first);
  if (days->place->no_data) {
    g_string_append(out,
                    ", \"season\": null, \"start\": null, \"type\": null, \"next_window\": null, "
                    "\"sowings\": []}");
    return;
  }
  g_string_append(out, ",\n      ");
  append_named(out, "season", season_name(plan, days->season[day]));
  append_named(out, "start",
               isw_survey_start_on(days, 0, day) == ISW_START_DIRECT ? "direct" : "nursery");
  append_named(out, "type", variety_name(plan, isw_survey_type_on(days, day)));
  append_next_window(out, plan, &next);
  g_string_append(out, ",\n      \"sowings\": [");
  for (int v = 0; v < plan->n_varieties; v++) {
    g_string_append(out, v == 0 ? "\n        " : ",\n        ");
    append_sowing(out, days, v, day);
  }
  g_string_append(out, "]}");
}

/* ---- planting plans ---- */

void isw_output_append_cuts_start(GString *out, const struct isw_plan *plan, int from_day,
                                  int to_day, int every) {
  isw_output_append_json_top(out, plan);
  g_string_append(out, "\"cut\": {");
  append_dated(out, "from", from_day);
  isw_output_append_json_date(out, "to", to_day);
  g_string_append_printf(out, "}, \"every\": %d, \"places\": [", every);
}

void isw_output_append_cuts_place(GString *out, const struct isw_place_days *days, int n,
                                  const struct isw_planned_cut *cuts, bool first) {
  isw_output_append_json_place_head(out, days->place, first);
  g_string_append(out, ",\n      \"cuts\": [");
  for (int i = 0; i < n; i++) {
    const struct isw_planned_cut *cut = &cuts[i];
    g_string_append(out, i == 0 ? "\n        {" : ",\n        {");
    append_dated(out, "cut", cut->cut_day);
    append_named(out, "variety", variety_name(days->plan, cut->v));
    append_dated(out, "sow", cut->sow_day);
    append_dated(out, "transplant", cut->transplant_day);
    append_dated(out, "harvest", cut->harvest_day);
    isw_output_append_json_years(out, "years", cut->v < 0 ? -1 : cut->years);
    g_string_append_c(out, '}');
  }
  g_string_append(out, "]}");
}
